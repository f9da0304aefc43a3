"""One link from one thing to another, and the line that says so."""

from __future__ import annotations

from enum import StrEnum
from typing import NamedTuple

from kbgen.links.reference import Reference

__all__ = ["Edge", "Relation"]


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
