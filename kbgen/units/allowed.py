"""Whether the words around a size and a number let the two be a thread."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from kbgen.units.complete import rows_for_pair
from kbgen.units.context import (
    bears_thread,
    counts_pages,
    counts_something,
    is_code,
    names_symbol,
    names_thread_soon,
    says_nothing_else,
    speaks_against,
    speaks_for,
    told_by_clock,
)
from kbgen.units.designation import Thread
from kbgen.units.reads import Asked
from kbgen.units.sizes import Size
from kbgen.units.standards import SeriesRow, Standing, number_size
from kbgen.units.tail import length_after

__all__ = ["Pair", "pair_allowed"]


LARGEST_WHOLE_INCHES = 4
# Behind a decimal fewer threads are seldom meant: 0.120-4 is a version.
FEWEST_OF_A_DECIMAL = 6


@dataclass(frozen=True, slots=True)
class Pair:
    """A size and a number behind it, read as a thread for now.

    Shape: ``sep`` is the sign between the two, without spaces; ``numbered``
    where "No." or # stands before; ``explicit`` where series, class or threads
    per inch are named; ``per_inch`` where it is the last.
    """

    thread: Thread
    size: Size
    start: int
    end: int
    sep: str
    numbered: bool
    explicit: bool
    per_inch: bool


def pair_allowed(asked: Asked, pair: Pair) -> bool:
    """Return whether the context lets ``pair`` be a thread."""
    counted = pair.size.number and not (
        pair.numbered or pair.size.marked or pair.sep or pair.per_inch
    )
    if pair.explicit and not counted:
        return True
    thread = pair.thread
    assert thread.size is not None
    assert thread.tpi is not None
    rows = rows_for_pair(thread.size, thread.tpi)
    tabled = bool(rows) or asked.house.holds(thread) is not None
    if pair.size.number:
        return _number_size(asked, pair, rows, tabled)
    return _fraction(asked, pair, tabled)


def _fraction(asked: Asked, pair: Pair, tabled: bool) -> bool:
    """Return whether a fraction or a decimal and a number are size and threads per inch."""
    low = asked.low
    soon = names_thread_soon(low, pair.end, strictly=True)
    if not soon and (counts_something(low, pair.end) or counts_pages(low, pair.start)):
        return False
    if pair.sep == "-":
        likely = pair.size.places == 0 or (pair.thread.tpi or 0) >= FEWEST_OF_A_DECIMAL
        return tabled or (likely and pair.size.places in (0, 3, 4))
    if pair.sep in ("x", "*", "by") or (pair.size.marked and pair.sep in ("", ",")):
        return tabled or soon
    if pair.sep or not tabled:
        return False
    if soon or bears_thread(low, pair.start):
        return True
    # "half twelve" is a time of day; "quarter twenty" never was one.
    clock = pair.size.text == "1/2" and (pair.thread.tpi or 0) <= 12
    return asked.ready.was_spoken(pair.start, pair.end) and not clock


def _number_size(asked: Asked, pair: Pair, rows: tuple[SeriesRow, ...], tabled: bool) -> bool:
    """Return whether two whole numbers are a number size and its threads per inch."""
    low, sep = asked.low, pair.sep
    size, tpi = pair.thread.size, pair.thread.tpi
    if not (pair.size.marked or pair.numbered) and (
        size is None or tpi is None or _whole_inches(size, tpi)
    ):
        return False
    if sep == "," or (not tabled and not (pair.numbered and sep == "-")):
        return False
    if pair.numbered:
        return True
    spoken = asked.ready.was_spoken(pair.start, pair.end)
    if asked.alone:
        return sep in ("-", "x", "by", "/") or spoken
    if is_code(low, pair.start):
        return False
    soon = names_thread_soon(low, pair.end, strictly=True)
    counts = counts_something(low, pair.end) or names_symbol(asked.ready.plain, pair.end)
    if counts and not soon:
        return False
    if sep == "-" and not spoken:
        return _hyphenated(low, pair, _standard(rows), soon)
    if soon:
        return True
    long = length_after(low, pair.end, metric=False) is not None
    return (long or bears_thread(low, pair.start)) and not told_by_clock(low, pair.start)


def _hyphenated(low: str, pair: Pair, standard: bool, soon: bool) -> bool:
    """Return whether ``10-32`` is a number size here: where something speaks for a thread."""
    if soon:
        return standard or not speaks_against(low, pair.start, pair.start)
    if speaks_against(low, pair.start, pair.end):
        return False
    whole = says_nothing_else(low, pair.start, pair.end)
    if whole or bears_thread(low, pair.start):
        return True
    if length_after(low, pair.end, metric=False) is not None:
        return standard
    return standard and speaks_for(low, pair.start, pair.end)


def _whole_inches(size: str, tpi: Fraction) -> bool:
    """Return whether a small whole number can only be inches: nobody writes 1-8 for one inch."""
    return int(size) <= LARGEST_WHOLE_INCHES and not number_size(size, tpi)


def _standard(rows: tuple[SeriesRow, ...]) -> bool:
    """Return whether one of ``rows`` is in a standard series, or was in the one before it (NS)."""
    return any(row.standing is Standing.STANDARD or row.note.startswith("NS") for row in rows)
