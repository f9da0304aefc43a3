"""Read an inch thread at a number: a size, threads per inch, and the words around them.

Shape: ``1/4-20 UNC-2A``, ``#10-32``, ``.250-20``, ``5/16 by 18``, ``1/4" x 20
tpi``, ``SM9/64-40``; what names its system without a pitch is read next door.
"""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction
from functools import cache

from kbgen.units.allowed import Pair, pair_allowed
from kbgen.units.complete import complete, rows_for_pair
from kbgen.units.context import is_code, names_many_soon
from kbgen.units.designation import System, Thread
from kbgen.units.length import closes_quote
from kbgen.units.named import association_at, named_at
from kbgen.units.reads import Asked, ThreadRead
from kbgen.units.sizes import Size, size_at
from kbgen.units.tail import (
    Series,
    Tail,
    hand_before,
    length_after,
    number_before,
    series_before,
    tail_at,
)

__all__ = ["inch_at"]

FEWEST_TPI, MOST_TPI = 3, 120


@cache
def _patterns() -> dict[str, re.Pattern[str]]:
    return {
        "pair": re.compile(
            r"(?P<sep> ?- ?| ?[x*山] ?| ?/ ?| by |,? (?:with |at |and )?|(?<=\"))"
            r"(?P<tpi>\d{1,3}(?:\.5|[ -]1/2)?)"
            r"(?!\d|[.,]\d|/(?!(?:\d{1,2}/)?\d{1,2}-\d\d(?!\d)|m\d))"
        ),
        "after": re.compile(
            r"(?: ?\"| ?mm\b|[ -]?inch(?:es)?\b(?! ?-)|[ -]?in\b(?=[).,;:]|$| long| wide| dia)"
            r"|[-.:]\d|/(?!(?:\d{1,2}/)?\d{1,2}-\d\d(?!\d)|m\d)\d?|-[a-z]{0,2}\d|-[a-z]\b|[a-z_]|\.[a-z]{2,4}\b)"
        ),
    }


def inch_at(asked: Asked, at: int) -> ThreadRead | None:
    """Return the inch thread whose size begins at ``at``; None where none does."""
    size = size_at(asked.low, at)
    if size is None:
        return None
    if size.number:
        found = association_at(asked, at, size.digits_end)
        if found is not None:
            return found
    match = _patterns()["pair"].match(asked.low, size.end)
    if match is not None:
        read = _pair(asked, size, match)
        if read is not None:
            return read
    return named_at(asked, size)


def _pair(asked: Asked, size: Size, match: re.Match[str]) -> ThreadRead | None:
    """Return the thread of a size and threads per inch, where the context lets it be one."""
    low = asked.low
    tpi = _tpi(match["tpi"])
    if tpi is None:
        return None
    tail = tail_at(low, match.end())
    text, start = _counted(asked, size, tpi, tail)
    begin = number_before(low, start) if size.number else start
    if begin != start and is_code(low, start):
        return None
    named = series_before(asked.ready.plain, low, begin, asked.since)
    series = tail.series or (named[0] if named else None)
    if tail.end == match.end() and _runs_on(low, tail.end):
        return None
    if size.number and begin == start and not size.marked and _is_sewing(series):
        return None
    thread = _thread(text, tpi, series, tail)
    pair = Pair(
        thread,
        size,
        start,
        tail.end,
        match["sep"].strip(),
        begin != start,
        bool(series or tail.fit_class or tail.per_inch),
        tail.per_inch,
    )
    if not (asked.alone and not size.number) and not pair_allowed(asked, pair):
        return None
    series_at = tail.series_at
    if named is not None and tail.series is None:
        begin, series_at = named[1], (named[1], start)
    hand = hand_before(low, begin, asked.since)
    if hand is not None:
        begin = hand[1]
        thread = replace(thread, left_hand=thread.left_hand or hand[0])
    return ThreadRead(
        complete(thread, asked.house),
        begin,
        tail.end,
        series_at,
        length_after(low, tail.end, metric=False),
    )


def _is_sewing(series: Series | None) -> bool:
    return series is not None and series.system is System.SEWING


def _runs_on(low: str, end: int) -> bool:
    """Return whether what follows a pair makes something else of it: a unit, a code, a word."""
    if _patterns()["after"].match(low, end) is None:
        return False
    quoted = low[end : end + 1] == '"' and closes_quote(low, end)
    return not quoted and length_after(low, end, metric=False) is None


def _counted(asked: Asked, size: Size, tpi: Fraction, tail: Tail) -> tuple[str, int]:
    """Return the size, its whole number told from a count: "2 1/4-20 screws" are two."""
    if size.count is None or not rows_for_pair(size.part, tpi):
        return size.text, size.start
    mixed = rows_for_pair(size.text, tpi)
    series = tail.series
    if series is not None and series.letters:
        fits = any(row.series == series.letters for row in mixed)
        own = any(row.series == series.letters for row in rows_for_pair(size.part, tpi))
        many = not asked.alone and names_many_soon(asked.low, tail.end)
        # One of them is as likely a mixed size that no series holds as a count.
        count = own and (many or (not fits and size.count > 1))
    else:
        many = size.count > 1 or names_many_soon(asked.low, tail.end)
        count = many and not (mixed and asked.alone)
    return (size.part, size.part_at) if count else (size.text, size.start)


def _thread(text: str, tpi: Fraction, series: Series | None, tail: Tail) -> Thread:
    return Thread(
        series.system if series else System.UNKNOWN,
        text,
        tpi,
        series=series.letters if series else None,
        fit_class=tail.fit_class.upper() if tail.fit_class else None,
        left_hand=tail.left_hand,
    )


def _tpi(written: str) -> Fraction | None:
    tpi = Fraction(written.replace(" 1/2", ".5").replace("-1/2", ".5"))
    return tpi if FEWEST_TPI <= tpi <= MOST_TPI else None
