"""Complete what a designation leaves to the tables, and only what they leave no doubt about.

A pair that one published series holds is that series; a series that gives a
size one pitch states the pitch. What two series would both do stays as said.
"""

from __future__ import annotations

from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from functools import cache, lru_cache

from kbgen.text import NotationError
from kbgen.units.designation import System, Thread
from kbgen.units.standards import SeriesRow, Standing, all_rows, pitches_of, series_of

__all__ = [
    "NO_HOUSE",
    "HouseThreads",
    "complete",
    "inch_size",
    "metric_sizes",
    "rows_for_pair",
    "with_metric_pitch",
]

_AMERICAN_CLASSES = frozenset("123")


@dataclass(frozen=True, slots=True)
class HouseThreads:
    """The threads that the workshop has declared as its own.

    Shape: threads of the system ``house``, right-handed and without class.
    """

    threads: frozenset[Thread] = frozenset()

    @classmethod
    def of(cls, texts: Iterable[str]) -> HouseThreads:
        """Return the house threads written in ``texts``; what cannot be read declares nothing."""
        from kbgen.units.thread import parse_thread  # reading needs this module first

        found: set[Thread] = set()
        for text in texts:
            bare = " ".join(text.split()).removesuffix(" LH")
            with suppress(NotationError):
                thread = parse_thread(bare if bare.lower().endswith("house") else f"{bare} house")
                found.add(replace(thread, left_hand=False, fit_class=None))
        return cls(frozenset(found))

    @property
    def named(self) -> str:
        """All of them in one line, in order: what depends on them is kept under it."""
        return _named(self.threads)

    def holds(self, thread: Thread) -> Thread | None:
        """Return the house thread of the size and pitch of ``thread``, None where none is."""
        wanted = Thread(
            System.HOUSE,
            thread.size,
            thread.tpi,
            thread.pitch,
            inch_size=thread.inch_size and thread.system is not System.METRIC,
        )
        return wanted if wanted in self.threads else None


@lru_cache(maxsize=8)
def _named(threads: frozenset[Thread]) -> str:
    return "; ".join(sorted(map(str, threads)))


NO_HOUSE = HouseThreads()


@cache
def rows_for_pair(size: str, tpi: Fraction) -> tuple[SeriesRow, ...]:
    """Return the rows of every inch series that hold this pair."""
    return series_of(Thread(System.UNKNOWN, size, tpi))


@cache
def metric_sizes() -> frozenset[Decimal]:
    """Return the nominal diameters of the metric series, obsolete ones included."""
    return frozenset(Decimal(row.size) for row in all_rows() if row.system is System.METRIC)


@cache
def _decimal_sizes() -> dict[tuple[int, int], str]:
    """Return the sizes by their diameter in so many places: 0.250 is 1/4, 0.190 is 10."""
    found: dict[tuple[int, int], str] = {}
    rows = sorted(
        (row for row in all_rows() if row.tpi is not None),
        key=lambda row: (row.system is not System.UNIFIED, row.standing is not Standing.STANDARD),
    )
    for row in rows:
        if row.system in (System.NPT, System.NPS, System.NPSM, System.PIPE):
            continue
        inches = row.major_mm / Fraction(254, 10)
        for places in (3, 4):
            scaled = inches * 10**places
            for key in {int(scaled), round(scaled), int(scaled + Fraction(1, 2))}:
                found.setdefault((places, key), row.size)
    return found


def inch_size(decimal: str) -> str:
    """Return the size that a diameter in decimal inches stands for, else the decimal itself.

    Source: ASME B1.1 (decimal designations of number and fractional sizes).
    """
    digits = decimal.partition(".")[2]
    whole = decimal.partition(".")[0] or "0"
    padded = digits.ljust(3, "0")
    size = _decimal_sizes().get((len(padded), int(whole + padded)))
    return size if size is not None else f"{int(whole)}.{digits}"


def complete(thread: Thread, house: HouseThreads = NO_HOUSE) -> Thread:
    """Return ``thread`` with what the published tables leave no doubt about.

    Shape: the only pitch that a stated series gives a size; the only series
    that holds a bare pair. A metric size without its pitch stays as it is:
    whether coarse was meant, only its reader knows.
    """
    if thread.system is System.UNKNOWN:
        return _paired(thread, house)
    if thread.whole or thread.size is None or thread.system is System.METRIC:
        return thread
    rows = [row for row in pitches_of(thread) if thread.series in (None, row.series)]
    if thread.series in ("UN", "UNS") or thread.system is System.SEWING:
        return thread
    if len({row.tpi for row in rows}) != 1:
        return thread
    return replace(thread, tpi=rows[0].tpi)


def with_metric_pitch(thread: Thread) -> Thread:
    """Return a metric size said alone with the pitch that it implies.

    Shape: coarse where ``series`` says nothing else, fine where it says so; the
    thread as it is where the tables leave a choice.
    Source: ISO 261 (a designation without pitch means the coarse one).
    """
    if thread.whole:
        return thread
    rows = [row for row in pitches_of(thread) if row.system is System.METRIC]
    wanted = "fine" if thread.series == "fine" else "coarse"
    chosen = [row for row in rows if row.series == wanted]
    if not chosen and wanted == "coarse":
        chosen = [row for row in rows if row.series == "obsolete coarse"]
        if len(rows) > 1:
            chosen = []
    if len(chosen) != 1:
        return thread
    return replace(thread, pitch=chosen[0].pitch, series=None)


def _paired(thread: Thread, house: HouseThreads) -> Thread:
    if not thread.whole or thread.pitch is not None:
        held = house.holds(thread) if thread.whole else None
        return held or thread
    assert thread.size is not None and thread.tpi is not None
    rows = rows_for_pair(thread.size, thread.tpi)
    american = [r for r in rows if r.system is System.UNIFIED and r.standing is Standing.STANDARD]
    british = [row for row in rows if row.system in (System.WHITWORTH, System.BSF)]
    if thread.fit_class and thread.fit_class[0] in _AMERICAN_CLASSES:
        british = []
    if american and not british:
        # Of UNF and 28-UN, the series by name: that is how ASME B1.1 designates the pair.
        named = [row for row in american if row.series != "UN"] or american
        return replace(thread, system=System.UNIFIED, series=named[0].series)
    if american:
        return thread
    held = house.holds(thread)
    if held is not None:
        return replace(held, left_hand=thread.left_hand, fit_class=thread.fit_class)
    others = {
        row.system: row
        for row in rows
        # 1/4 of a pipe thread is no diameter: only its name makes a pipe thread of a pair.
        if row.system is not System.PIPE
        and not (row.system is System.SEWING and row.seen == "memory low")
    }
    if len(others) != 1:
        return thread
    (row,) = others.values()
    series = "UNS" if row.system is System.UNIFIED else None
    return replace(thread, system=row.system, series=series)
