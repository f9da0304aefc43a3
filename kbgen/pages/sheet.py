"""How large a bench card can be set so that it stays on one sheet of A4, Letter or A5.

A style cannot shrink text to a page, so the size is reckoned from the words. All measures
are hundredths of the sheet's printed width, in which the three sheets are nearly alike.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil

from kbgen.pages.readable import plain
from kbgen.pages.views import CauseView, NoteView, Page

__all__ = ["SHEET", "SIZES", "Sheet", "height", "sheet_of"]

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


def sheet_of(page: Page, note: NoteView) -> Sheet:
    """Return the largest setting of a note's card that should stay on one sheet."""
    columns = 3 if len(note.fasteners) > 5 else 2
    whole = Sheet(_size(page, note, columns, note.causes), columns, note.causes)
    if whole.size >= LEGIBLE:
        return whole
    return Sheet(_size(page, note, columns, ()), columns, ())


def _size(page: Page, note: NoteView, columns: int, causes: tuple[CauseView, ...]) -> int:
    fitting = (s for s in SIZES if height(page, note, Sheet(s, columns, causes)) <= SHEET)
    return next(fitting, SIZES[-1])


def height(page: Page, note: NoteView, sheet: Sheet) -> float:
    """Return how high a card should be when it is set so."""
    size = sheet.size / 100
    return SOLE + LINE * size * sum(_lines(page, note, sheet, size))


def _wrapped(words: str, size: float, share: float = 1.0) -> int:
    """Return how many lines words take in a share of the width."""
    return ceil(len(words) * size / (LETTERS * share)) if words else 0


def _lines(page: Page, note: NoteView, sheet: Sheet, size: float) -> Iterator[float]:
    """Yield the height of each thing on a card, in lines of its text."""
    yield 1.6 * _wrapped(page.title, size, 0.54)
    yield 1.0 * _wrapped(", ".join(plain(f.text) for f in page.families) + " " * 40, size)
    for caution in note.cautions:
        words = " ".join((caution.hazard, caution.consequence, caution.avoid, caution.defer_to))
        yield 0.75 + _wrapped(plain(words), size, 0.76)
    yield from _labels(note, sheet.columns, size)
    pairs = "; ".join(f"{plain(one)} and {plain(two)}" for one, two in _swapped(note))
    yield 0.4 + 1.1 * _wrapped(pairs, size, 0.9) if pairs else 0.0
    for cause in sheet.causes:
        yield 0.2 + _wrapped(plain(f"{cause.cause}: {cause.tell}. Then: {cause.fix}"), size, 0.94)
    yield 0.3 + _wrapped("Tools: " + ", ".join(note.tools), size)
    yield 1.1 * _wrapped(plain(note.fix), size, 0.88)
    yield 1.1 * _wrapped(plain(note.works_when), size, 0.88)
    yield 1.75 * (2 + bool(note.fasteners) + bool(sheet.causes))  # the headings


def _labels(note: NoteView, columns: int, size: float) -> Iterator[float]:
    """Yield the height of each row of labels."""
    share = 0.94 / columns
    heights = [
        0.8 * _wrapped(plain(label.where), size, 1.1 * share)
        + 2.6
        + _wrapped(plain(label.tightness), size, 0.85 * share)
        + 0.5
        for label in note.fasteners
    ]
    for at in range(0, len(heights), columns):
        yield max(heights[at : at + columns])


def _swapped(note: NoteView) -> Iterator[tuple[str, str]]:
    for mixup in note.mixups:
        yield mixup.threads
