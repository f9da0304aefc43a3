"""One link from one thing to another: with the line that says so, and among all of a tree."""

from __future__ import annotations

from enum import StrEnum
from typing import NamedTuple

from kbgen.links.reference import Reference

__all__ = ["Edge", "Lead", "Relation"]


class Relation(StrEnum):
    """Why one thing leads to another."""

    PROSE = "prose"
    FAMILY = "family"
    HEADING = "heading"
    FASTENER = "fastener"
    PART = "part"
    SPARE = "spare"
    RECORDING = "recording"
    CHAPTER = "chapter"
    FIT = "fit"
    SUCCESSOR = "successor"
    ANSWER = "answer"
    REPEATED = "repeated"
    ABOUT = "about"
    THREAD = "thread"

    __hash__ = str.__hash__  # it equals its text; asked a million times in a large tree


class Edge(NamedTuple):
    """A link with its place.

    Shape: ``origin`` is the note, family, register row, part, recording, chapter or question
    that leads to ``target``; ``path``, ``line`` and ``column`` (1-based) are where the
    target is named. Sorted by place.
    """

    path: str
    line: int
    column: int
    origin: Reference
    target: Reference
    relation: Relation


class Lead(NamedTuple):
    """A link among all that are published.

    Shape: ``number`` counts them by file and place, from 0; the place itself is left out,
    so that a graph stands as long as every file says the same in the same order.
    """

    number: int
    path: str
    origin: Reference
    target: Reference
    relation: Relation
