"""Judge a thread: what the published series say of it, with the authority named."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from functools import cache, lru_cache

from kbgen.text import Span
from kbgen.units.complete import NO_HOUSE, HouseThreads, complete, rows_for_pair
from kbgen.units.designation import System, Thread
from kbgen.units.standards import SeriesRow, Standing, neighbours, pitches_of, rows_of, series_of
from kbgen.units.verdict import Judgement, Objection, Verdict

__all__ = ["judge"]

_STANDARD = {
    System.UNIFIED: "ASME B1.1",
    System.METRIC: "ISO 261",
    System.WHITWORTH: "BS 84",
    System.BSF: "BS 84",
    System.BA: "BS 93",
    System.BRASS: "trade practice",
    System.CYCLE: "BS 811",
    System.SEWING: "JIS B 0226",
    System.NPT: "ASME B1.20.1",
    System.NPS: "ASME B1.20.1",
    System.NPSM: "ASME B1.20.1",
    System.PIPE: "ISO 228-1",
}


@lru_cache(maxsize=4096)
def judge(thread: Thread, house: HouseThreads = NO_HOUSE) -> Judgement:
    """Return the verdict on ``thread``, the series that holds it and the standard.

    Shape: the spans of the objections cover the canonical form.
    """
    thread = complete(thread, house)
    if house.holds(thread) is not None and thread.system in (System.HOUSE, System.UNKNOWN):
        return Judgement(Verdict.DECLARED, "house", "the workshop's house threads")
    if thread.system is System.HOUSE:
        return _contradictory(
            thread,
            "thread-not-declared",
            f"{thread} is not among the workshop's house threads",
            "declare it in content/threads.yaml with its basis",
        )
    if not thread.whole:
        return _unstated(thread, _partly(thread))
    rows = _rows_of_series(thread)
    if rows:
        return _held(thread, rows)
    if thread.system is System.UNKNOWN:
        return _bare(thread)
    if thread.series == "UNS":
        return _explicit_special(thread)
    if thread.system is System.SEWING:
        return Judgement(Verdict.DECLARED, "SM", "JIS B 0226")
    if _too_large(thread):
        return _unstated(thread, f"{thread} is larger than the tables that it could be held to")
    return _refused(thread)


def _rows_of_series(thread: Thread) -> tuple[SeriesRow, ...]:
    """Return the rows that hold the thread in the series it states."""
    rows = series_of(thread)
    if thread.system is System.UNKNOWN:
        return ()
    if thread.series is None or thread.system is not System.UNIFIED:
        return rows
    if thread.series == "UN":
        return tuple(row for row in rows if row.series == "UN" or row.also_un)
    return tuple(row for row in rows if row.series == thread.series)


def _held(thread: Thread, rows: tuple[SeriesRow, ...]) -> Judgement:
    row = min(rows, key=lambda row: row.standing is not Standing.STANDARD)
    standard = row.standing is Standing.STANDARD
    series = row.label if thread.series != "UN" else f"{thread.tpi}-UN"
    return Judgement(Verdict.STANDARD if standard else Verdict.DECLARED, series, row.standard, ())


def _bare(thread: Thread) -> Judgement:
    """Judge a pair whose series was not said and does not follow."""
    rows = series_of(thread)
    if rows:
        names = " or ".join(_labels(rows))
        return _unstated(thread, f"{thread} may be {names}", "say which series it is")
    if _too_large(thread):
        return _unstated(thread, f"{thread} is larger than the tables that it could be held to")
    return _refused(thread)


def _labels(rows: tuple[SeriesRow, ...]) -> tuple[str, ...]:
    """Return the series of ``rows``, each with its standard, each once."""
    found: dict[str, None] = {}
    for row in rows:
        found.setdefault(f"{row.label} ({row.standard})" if row.series != "UNS" else "UNS")
    return tuple(found)


def _explicit_special(thread: Thread) -> Judgement:
    """Judge a stated UNS: any pair, save one that a standard series holds already."""
    standard = tuple(r for r in series_of(thread) if r.standing is Standing.STANDARD)
    if not standard:
        return Judgement(Verdict.DECLARED, "UNS", "ASME B1.1 (UNS)")
    return _wrong_series(thread, standard)


def _refused(thread: Thread) -> Judgement:
    """Judge a pair that its series does not hold."""
    if thread.system is not System.UNKNOWN and thread.size and thread.tpi:
        rows = rows_for_pair(thread.size, thread.tpi)
        others = tuple(row for row in rows if not (row.from_memory and row.system is System.SEWING))
        if others:
            return _wrong_series(thread, others)
    known = pitches_of(replace(thread, series=None, fit_class=None))
    standard = _STANDARD.get(thread.system, "any series (ASME B1.1, BS 84, BS 811, JIS B 0226)")
    message = f"{_short(thread)} is not in {standard}"
    if known:
        message += f"; {_size(thread)} takes {_choices(thread, known)}"
    near = [row for row in neighbours(thread) if row not in known]
    hint = "measure the diameter and the pitch again"
    if near:
        hint = f"{_name(near[0])} is; measure the diameter again"
    return _contradictory(thread, "thread-in-no-series", message, hint)


def _wrong_series(thread: Thread, rows: tuple[SeriesRow, ...]) -> Judgement:
    stated = thread.series or thread.system.value
    pair = _short(replace(thread, system=System.UNKNOWN, series=None, fit_class=None))
    own = pitches_of(replace(thread, fit_class=None))
    own = tuple(row for row in own if thread.series in (None, row.series))
    message = f"{pair} is {' or '.join(_labels(rows))}, not {stated}"
    hint = "correct the series or the pitch"
    if own:
        takes = " or ".join(_pitch(row) for row in own)
        hint = f"{_size(thread)} {stated} takes {takes}: correct the series or the pitch"
    hint += _near_sizes(thread)
    return _contradictory(thread, "series-on-wrong-pair", message, hint)


def _near_sizes(thread: Thread) -> str:
    """Return the sizes near a mixed one that take the stated series at this pitch.

    "1 1/4-20 UNC" may be one screw of 1/4-20, or a size misread.
    """
    whole, blank, part = (thread.size or "").partition(" ")
    if not blank or thread.tpi is None:
        return ""
    held = [row for row in rows_for_pair(part, thread.tpi) if row.series == thread.series]
    if not held:
        return ""
    return f"; {_name(held[0])} is another size: if {whole} counts screws, say so in words"


def _choices(thread: Thread, rows: tuple[SeriesRow, ...]) -> str:
    """Return the pitches that a size takes, with their series, current ones first."""
    ordered = sorted(rows, key=lambda row: (row.standing is not Standing.STANDARD, -row.pitch_mm))
    if any(row.standing is Standing.STANDARD for row in ordered):
        ordered = [row for row in ordered if row.standing is Standing.STANDARD]
    shown: dict[str, None] = {}
    for row in ordered[:8]:
        label = row.series if thread.system is System.METRIC else row.label
        shown.setdefault(f"{_pitch(row)} ({label})")
    names = list(shown)
    return " or ".join(names) if len(names) < 3 else f"{', '.join(names[:-1])} or {names[-1]}"


def _pitch(row: SeriesRow) -> str:
    if row.pitch is not None:
        return f"{row.pitch.normalize():f}"
    return str(row.tpi)


def _name(row: SeriesRow) -> str:
    thread = Thread(
        row.system,
        row.size,
        row.tpi,
        row.pitch if row.system is not System.BA else None,
        series=row.series if row.system is System.UNIFIED else None,
        inch_size=row.system is not System.METRIC,
    )
    return str(thread)


def _size(thread: Thread) -> str:
    return f"M{thread.size}" if thread.system is System.METRIC else str(thread.size)


def _short(thread: Thread) -> str:
    return str(replace(thread, left_hand=False, fit_class=None))


def _too_large(thread: Thread) -> bool:
    limit = _largest_mm(thread.system)
    if limit is None or thread.size is None or pitches_of(thread):
        return False
    size = sum((Fraction(part) for part in thread.size.split()), Fraction(0))
    if thread.system is System.METRIC:
        return size > limit
    if size.denominator == 1 and size > 4 and thread.tpi and thread.tpi > 8:
        return False
    return size * Fraction(254, 10) > limit


@cache
def _largest_mm(system: System) -> Fraction | None:
    """Return where the tables of a system end; what is larger is not refused for that."""
    open_ended = (System.METRIC, System.UNIFIED, System.WHITWORTH, System.BSF, System.BRASS)
    if system is System.UNKNOWN:
        return max(row.major_mm for row in rows_of(System.UNIFIED))
    return max(row.major_mm for row in rows_of(system)) if system in open_ended else None


def _partly(thread: Thread) -> str:
    if thread.size is None:
        return f"{thread} states a pitch and no diameter"
    return f"{thread} states a diameter and no pitch"


def _unstated(thread: Thread, message: str, hint: str = "measure the rest") -> Judgement:
    return Judgement(
        Verdict.UNSTATED,
        objections=(Objection("thread-said-in-part", message, hint, _whole(thread)),),
    )


def _contradictory(thread: Thread, code: str, message: str, hint: str) -> Judgement:
    return Judgement(
        Verdict.CONTRADICTORY, objections=(Objection(code, message, hint, _whole(thread)),)
    )


def _whole(thread: Thread) -> Span:
    return Span(0, len(str(thread)))
