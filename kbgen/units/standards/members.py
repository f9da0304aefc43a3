"""Which series holds a thread, which pitches a diameter takes, and what lies nearest."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from functools import cache

from kbgen.units.designation import MM_PER_INCH, System, Thread
from kbgen.units.standards.load import inches
from kbgen.units.standards.rows import SeriesRow, all_rows, number_size, rows_of

__all__ = ["neighbours", "pitches_of", "series_of", "sizes_with"]

# A size is compared within its kind: a number size is not so many inches,
# 4 BA is not number 4, and 6 mm is not 6 in.
SizeKey = tuple[str, Fraction]


def series_of(thread: Thread) -> tuple[SeriesRow, ...]:
    """Return the rows that hold exactly this size and pitch.

    Shape: rows of the thread's own system; of every system where the system is
    unknown; none where size or pitch was not said.
    """
    pitch = _pitch_mm(thread)
    if pitch is None and thread.system in (System.BA, System.PIPE):
        return pitches_of(thread)
    return tuple(row for row in pitches_of(thread) if row.pitch_mm == pitch)


def pitches_of(thread: Thread) -> tuple[SeriesRow, ...]:
    """Return the rows of this size, whatever the pitch, coarse pitches first."""
    if thread.size is None:
        return ()
    found = [row for key in _keys(thread) for row in _by_size().get(key, ())]
    if thread.system in (System.UNKNOWN, System.HOUSE):
        return tuple(found)
    return tuple(row for row in found if row.system is thread.system)


def sizes_with(thread: Thread) -> tuple[SeriesRow, ...]:
    """Return the rows of this pitch, whatever the size, by rising diameter."""
    pitch = _pitch_mm(thread)
    rows = rows_of(thread.system)
    if thread.system in (System.UNKNOWN, System.HOUSE):
        rows = tuple(row for row in all_rows() if (row.tpi is None) is (thread.tpi is None))
    return tuple(
        sorted((row for row in rows if row.pitch_mm == pitch), key=lambda row: row.major_mm)
    )


def neighbours(thread: Thread, limit: int = 3) -> tuple[SeriesRow, ...]:
    """Return the rows nearest to a pair that no series holds, nearest first.

    Shape: the pitches that this size takes, and the next size below and above
    that takes this pitch; at most ``limit`` of each kind.
    """
    pitch = _pitch_mm(thread)
    if pitch is None:
        return pitches_of(thread)[:limit]
    takes = sorted(pitches_of(thread), key=lambda row: abs(row.pitch_mm - pitch))[:limit]
    major = _nominal_mm(thread)
    near = sizes_with(thread)
    if major is not None:
        near = tuple(sorted(near, key=lambda row: abs(row.major_mm - major)))
    return (*takes, *(row for row in near[:limit] if row not in takes))


def _pitch_mm(thread: Thread) -> Fraction | None:
    if thread.pitch is not None:
        return Fraction(thread.pitch)
    return None if thread.tpi is None else MM_PER_INCH / thread.tpi


def _nominal_mm(thread: Thread) -> Fraction | None:
    for row in pitches_of(thread):
        return row.major_mm
    if thread.size is None:
        return None
    if thread.system is System.BA or (thread.tpi and number_size(thread.size, thread.tpi)):
        return None
    if thread.system is System.METRIC or not thread.inch_size:
        return Fraction(Decimal(thread.size))
    return inches(thread.size) * MM_PER_INCH


def _keys(thread: Thread) -> tuple[SizeKey, ...]:
    """Return the keys under which rows of this size stand."""
    assert thread.size is not None
    if thread.system is System.BA:
        return (("BA", Fraction(thread.size)),)
    if thread.system is System.METRIC or not thread.inch_size:
        return (("mm", Fraction(Decimal(thread.size))),)
    size = inches(thread.size)
    if thread.system in (System.UNIFIED, System.UNKNOWN, System.HOUSE) and size.denominator == 1:
        if thread.tpi is None:
            return (("number", size), ("inch", size))
        return (("number" if number_size(thread.size, thread.tpi) else "inch", size),)
    return (("inch", size),)


@cache
def _by_size() -> dict[SizeKey, tuple[SeriesRow, ...]]:
    found: dict[SizeKey, list[SeriesRow]] = {}
    for row in all_rows():
        found.setdefault(_row_key(row), []).append(row)
    return {
        key: tuple(sorted(rows, key=lambda row: (row.system, -row.pitch_mm)))
        for key, rows in found.items()
    }


def _row_key(row: SeriesRow) -> SizeKey:
    if row.system is System.BA:
        return ("BA", Fraction(row.size))
    if row.system is System.METRIC:
        return ("mm", Fraction(Decimal(row.size)))
    if row.system is System.UNIFIED and row.tpi is not None and number_size(row.size, row.tpi):
        return ("number", Fraction(row.size))
    return ("inch", inches(row.size))
