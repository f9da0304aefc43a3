"""Read a thread that names its system: ``2 BA``, ``1/4 BSW``, ``UNC 1/4``, ``1/8 IP``, ``G1/8``."""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction
from functools import cache

from kbgen.units.complete import complete
from kbgen.units.context import (
    bears_thread,
    counts_something,
    is_code,
    says_nothing_else,
    speaks_of_threads,
)
from kbgen.units.designation import System, Thread
from kbgen.units.reads import Asked, ThreadRead
from kbgen.units.sizes import Size
from kbgen.units.tail import (
    Series,
    Tail,
    hand_before,
    length_after,
    number_before,
    series_before,
    tail_at,
)

__all__ = ["association_at", "named_at"]

LARGEST_BA = 25
# The systems whose sizes are whole numbers as often as fractions; 1 BSW is one inch.
_WITH_WHOLE_SIZES = frozenset(
    {System.UNIFIED, System.PIPE, System.NPT, System.WHITWORTH, System.BSF}
)
_NO_SCREW = ("spanner", "wrench", "socket")


@cache
def _patterns() -> dict[str, re.Pattern[str]]:
    return {
        "behind": re.compile(
            r"(?:[ -]?b\.? ?a\b\.?| british association\b)"
            r"(?! (?:degree|in |\(|hons|graduate|flight))"
        ),
        "ahead": re.compile(r"\b(?:b\.?a\.?|british association) ?(?:no\.? ?)?$"),
        # The caps of lamps, BA15d and BA9s, and whatever code goes on.
        "cap": re.compile(r"[a-z0-9_]| ?[ds]\b"),
        "threaded": re.compile(r"(?: (?:coarse|fine|pipe|gas|lamp))?[ -]thread(?:s|ed)?\b(?! per)"),
        "per_inch": re.compile(r",? ?\(?(?P<tpi>\d{1,2})(?= ?(?:tpi|t\.p\.i|threads? (?:per|to)))"),
    }


def association_at(asked: Asked, at: int, end: int) -> ThreadRead | None:
    """Return the BA size that the whole number from ``at`` to ``end`` is, None where it is none.

    Source: BS 93, sizes 0 to 25.
    """
    low = asked.low
    number = int(low[at:end])
    if number > LARGEST_BA:
        return None
    match = _patterns()["behind"].match(low, end)
    if match is not None:
        end = match.end()
        if low[end - 1] == "." and match[0].count(".") == 1:
            end -= 1
        start = number_before(low, at)
    else:
        ahead = _patterns()["ahead"].search(low[max(asked.since, at - 26) : at])
        flown = "flight" in low[max(0, at - 12) : end + 8]
        coded = _patterns()["cap"].match(low, end) is not None
        if ahead is None or flown or coded or counts_something(low, end):
            return None
        start = at - len(ahead[0])
    tail = tail_at(low, end)
    if tail.series is not None:
        tail = Tail(end)
    hand = hand_before(low, start, asked.since)
    thread = Thread(System.BA, str(number), left_hand=tail.left_hand or bool(hand and hand[0]))
    return ThreadRead(
        thread,
        hand[1] if hand else start,
        tail.end,
        None,
        length_after(low, tail.end, metric=False),
    )


def named_at(asked: Asked, size: Size) -> ThreadRead | None:
    """Return the thread of a size with a series and no pitch, or of a size said to be threaded."""
    low, at, end = asked.low, size.start, size.end
    unknown = low.startswith("-?", end)
    tail = tail_at(low, end + 2 if unknown else end)
    named = series_before(asked.ready.plain, low, at, asked.since)
    series = tail.series or (named[0] if named else None)
    if size.text == "0":
        return None
    if series is None:
        threaded = _patterns()["threaded"].match(low, end)
        if (size.number and not (unknown and asked.alone)) or not (
            unknown or asked.alone or threaded
        ):
            return None
        thread = Thread(System.UNKNOWN, size.text, left_hand=tail.left_hand)
        return ThreadRead(thread, at, tail.end if unknown else end)
    begin = named[1] if named and tail.series is None else at
    if _something_else(asked, size, series, begin, tail.end):
        return None
    tail, tpi = _spelled_behind(low, tail)
    hand = hand_before(low, begin, asked.since)
    thread = Thread(
        series.system,
        size.text,
        tpi,
        series=series.letters,
        fit_class=tail.fit_class.upper() if tail.fit_class else None,
        left_hand=tail.left_hand or bool(hand and hand[0]),
    )
    thread = complete(thread, asked.house)
    if size.number and not thread.whole and not unknown:
        return None
    return ThreadRead(
        thread,
        hand[1] if hand else begin,
        tail.end,
        tail.series_at or ((named[1], at) if named else None),
        length_after(low, tail.end, metric=False),
    )


def _something_else(asked: Asked, size: Size, series: Series, begin: int, end: int) -> bool:
    """Return whether a size and a series are a spanner, a grade of oil, a postcode."""
    low = asked.low
    if low[end : end + 8].lstrip().startswith(_NO_SCREW):
        return True
    if not size.number:
        return False
    if not size.marked and series.system not in _WITH_WHOLE_SIZES:
        return True
    if is_code(low, size.start) or low[begin : begin + 3] in ("sae", "uss"):
        return True
    ahead = begin != size.start
    return ahead and not asked.alone and not _spoken_of(low, begin, end)


def _spoken_of(low: str, start: int, end: int) -> bool:
    """Return whether threads are spoken of near by, or nothing else is said."""
    if says_nothing_else(low, start, end):
        return True
    return bears_thread(low, start) or speaks_of_threads(low, start, end)


def _spelled_behind(low: str, tail: Tail) -> tuple[Tail, Fraction | None]:
    """Return the tail with threads per inch spelled out behind it: ``1/4 BSB 26 tpi``."""
    spelled = _patterns()["per_inch"].match(low, tail.end)
    if spelled is None:
        return tail, None
    again = tail_at(low, spelled.end())
    left = tail.left_hand or again.left_hand
    return replace(tail, end=again.end, left_hand=left), Fraction(int(spelled["tpi"]))
