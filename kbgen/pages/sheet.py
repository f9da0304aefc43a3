"""How large a bench card can be set so that it stays on one sheet of A4, Letter or A5.

A style cannot shrink text to a page, so the size is reckoned from the words. All measures
are hundredths of the sheet's printed width, in which the three sheets are nearly alike.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import ceil

from kbgen.pages.readable import plain
from kbgen.pages.views import CauseView, NoteView, Page

__all__ = ["SHEET", "SIZES", "Sheet", "sheet_of"]

SIZES = (150, 138, 126, 115, 107, 100, 92, 84, 76, 68, 60, 54, 48)
"""The sizes a card is set in, in hundredths; the style has a class for each."""

SHEET = 140.0
"""How high a sheet is: Letter's 144.9, the lowest, less a reserve."""

SOLE = 34.0
"""The foot with its code and its bar, which is the same at every size."""

LINE = 3.4
"""A line of text at the size 100."""

LETTERS = 86
"""How many letters a line of that size holds from edge to edge."""


LEGIBLE = 92
"""Below this size the causes are left to the page: what stays is read at arm's length."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """How a card is set: its size, in how many columns its labels stand, and its causes."""

    size: int
    columns: int
    causes: tuple[CauseView, ...]


@dataclass(frozen=True, slots=True)
class _Letters:
    """How many letters each thing on a card has; ``labels`` what they are for, how tight."""

    title: int
    families: int
    cautions: tuple[int, ...]
    labels: tuple[tuple[int, int], ...]
    swapped: int
    causes: tuple[int, ...]
    tools: int
    fix: int
    works_when: int


def sheet_of(page: Page, note: NoteView) -> Sheet:
    """Return the largest setting of a note's card that should stay on one sheet."""
    columns = 3 if len(note.fasteners) > 5 else 2
    letters = _letters(page, note)
    size = _size(letters, columns)
    if size >= LEGIBLE:
        return Sheet(size, columns, note.causes)
    return Sheet(_size(replace(letters, causes=()), columns), columns, ())


def _letters(page: Page, note: NoteView) -> _Letters:
    """Count the letters of all that a card could show."""
    pairs = (f"{plain(one)} and {plain(two)}" for one, two in (m.threads for m in note.mixups))
    return _Letters(
        len(page.title),
        len(", ".join(plain(family.text) for family in page.families)) + 40,
        tuple(
            len(plain(" ".join((c.hazard, c.consequence, c.avoid, c.defer_to))))
            for c in note.cautions
        ),
        tuple((len(plain(label.where)), len(plain(label.tightness))) for label in note.fasteners),
        len("; ".join(pairs)),
        tuple(len(plain(f"{c.cause}: {c.tell}. Then: {c.fix}")) for c in note.causes),
        len("Tools: " + ", ".join(note.tools)),
        len(plain(note.fix)),
        len(plain(note.works_when)),
    )


def _size(letters: _Letters, columns: int) -> int:
    fitting = (size for size in SIZES if _height(letters, columns, size / 100) <= SHEET)
    return next(fitting, SIZES[-1])


def _height(letters: _Letters, columns: int, size: float) -> float:
    """Return how high a card should be when it is set so."""
    return SOLE + LINE * size * sum(_lines(letters, columns, size))


def _wrapped(letters: int, size: float, share: float = 1.0) -> int:
    """Return how many lines words take in a share of the width."""
    return ceil(letters * size / (LETTERS * share))


def _lines(letters: _Letters, columns: int, size: float) -> Iterator[float]:
    """Yield the height of each thing on a card, in lines of its text."""
    yield 1.6 * _wrapped(letters.title, size, 0.54)
    yield 1.0 * _wrapped(letters.families, size)
    for caution in letters.cautions:
        yield 0.75 + _wrapped(caution, size, 0.76)
    yield from _rows(letters.labels, columns, size)
    yield 0.4 + 1.1 * _wrapped(letters.swapped, size, 0.9) if letters.swapped else 0.0
    for cause in letters.causes:
        yield 0.2 + _wrapped(cause, size, 0.94)
    yield 0.3 + _wrapped(letters.tools, size)
    yield 1.1 * _wrapped(letters.fix, size, 0.88)
    yield 1.1 * _wrapped(letters.works_when, size, 0.88)
    yield 1.75 * (2 + bool(letters.labels) + bool(letters.causes))  # the headings


def _rows(labels: tuple[tuple[int, int], ...], columns: int, size: float) -> Iterator[float]:
    """Yield the height of each row of labels."""
    share = 0.94 / columns
    heights = [
        0.8 * _wrapped(where, size, 1.1 * share) + 2.6 + _wrapped(tight, size, 0.85 * share) + 0.5
        for where, tight in labels
    ]
    for at in range(0, len(heights), columns):
        yield max(heights[at : at + columns])
