"""A stated figure, where it stands, and what its sentence is about."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

from kbgen.content import Place
from kbgen.units import Stated

__all__ = ["Fault", "Scan", "Statement", "Unreadable", "Where", "faults_of"]


class Where(StrEnum):
    """In what kind of place a figure is stated."""

    FRONT = "front matter"
    REGISTER = "register"
    RECORD = "record"
    PROSE = "prose"
    TABLE = "table"
    CAPTION = "caption"
    CORRECTION = "correction"
    DISPUTED = "disputed"


@dataclass(frozen=True, slots=True)
class Fault:
    """What the units check objects to, at the smallest text at fault.

    Shape: ``line`` and ``column`` are 1-based, in the statement's file.
    """

    code: str
    message: str
    hint: str
    line: int
    column: int


@dataclass(frozen=True, slots=True)
class Statement:
    """One figure that the tree states.

    Shape: ``path``, ``line`` and ``column`` are where it stands, 1-based. ``before`` is the
    sentence before, of speech alone, where that one states no figure of the kind: "Now the
    bracket screw. It is …". ``subject``
    is the register row it is about, as FAMILY/ROW, where that is certain from the
    file alone. ``sentence`` is the sentence it stands in and ``at`` its place there;
    ``row`` is what names its place beside the sentence: the first cell of its table
    row, or what a correction is about; ``named`` are the register rows that the
    sentence, or the row's first cell, links to. ``withdrawn`` is true for what a
    correction says *was* stated: exempt from judgement. ``said_at_s`` is the second of
    the recording at which a caption says it. ``faults`` are the objections to it.
    """

    path: str
    line: int
    column: int
    where: Where
    value: Stated
    subject: str | None = None
    sentence: str = ""
    at: int = 0
    row: str = ""
    named: tuple[str, ...] = ()
    withdrawn: bool = False
    before: str = ""
    said_at_s: float | None = None
    faults: tuple[Fault, ...] = ()


@dataclass(frozen=True, slots=True)
class Unreadable:
    """A field that must be a figure and cannot be read as one.

    Shape: ``kind`` is the kind of figure that the field holds.
    """

    path: str
    line: int
    column: int
    kind: str
    as_written: str
    message: str
    hint: str


@dataclass(frozen=True, slots=True)
class Scan:
    """What is stated in one file, in its order, and the fields that could not be read."""

    statements: tuple[Statement, ...]
    unreadable: tuple[Unreadable, ...]


def faults_of(stated: Stated, text: str, place_of: Callable[[int], Place]) -> tuple[Fault, ...]:
    """Return the objections to a value in ``text`` with their places, blanks passed over."""
    found = []
    for objection in stated.objections:
        at_fault = objection.span.of(text)
        blanks = len(at_fault) - len(at_fault.lstrip())
        place = place_of(objection.span.start + blanks)
        found.append(
            Fault(objection.code, objection.message, objection.hint, place.line, place.column)
        )
    return tuple(found)
