"""Threads: one designation, or the thread that begins at a place of a text.

Shape: the canonical forms (``1/4-20 UNC-2A LH``, ``M6x1-6g``, ``4 BA``,
``SM9/64-40``, ``G1/8``, ``3/16-28 house``, ``?-20``, ``M?x0.7``, ``1/4-?``) and
every usual way of writing or saying them.
"""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction
from functools import cache, lru_cache

from kbgen.text import NotationError, Span
from kbgen.units.complete import NO_HOUSE, HouseThreads, complete
from kbgen.units.context import speaks_of_threads
from kbgen.units.designation import System, Thread
from kbgen.units.inch import inch_at
from kbgen.units.metric import lay_metric_at, metric_at
from kbgen.units.prepared import prepare
from kbgen.units.reads import Asked, ThreadRead
from kbgen.units.tail import Series, tail_at

__all__ = ["parse_thread", "pitch_alone_at", "thread_at"]


@cache
def _patterns() -> dict[str, re.Pattern[str]]:
    return {
        "per_inch": re.compile(
            r"(?P<tpi>\d{1,3}(?:\.5|[ -]1/2)?)(?=[ -]?(?:t|/ ?inch|per inch|in an inch|山))"
        ),
        "to_the_inch": re.compile(r" (?:per|to the|to an|in an) inch\b"),
        "saw": re.compile(
            r" (?:\w+ ){0,2}(?:saw|blade|hacksaw|bandsaw|jigsaw|saws|blades|teeth)\b"
        ),
        "saw_before": re.compile(r"\b(?:saw|blade|hacksaw|blades)\b[^.;]{0,24}$"),
        "partial": re.compile(
            r"(?P<sm>sm)?(?P<size>\?|(?:\d{1,2} )?\d{1,2}/\d{1,2}|\d{1,3}(?:\.\d{1,4})?)-"
            r"(?P<tpi>\?|\d{1,3}(?:\.5)?)"
        ),
        "metric": re.compile(r"m(?P<size>\?|\d{1,3}(?:\.\d)?)x(?P<pitch>\?|\d?\.?\d{1,3})"),
        "house": re.compile(
            r"(?P<size>(?:\d{1,2} )?\d{1,2}/\d{1,2}|m?\d{1,3}(?:\.\d{1,4})?)"
            r"(?:-(?P<tpi>\d{1,3}(?:\.5)?)| ?x ?(?P<pitch>\d?\.?\d{1,3})) house\b"
            r"(?: thread)?(?P<left> lh\b)?"
        ),
        "first": re.compile(r"[.,]?\d"),
    }


def thread_at(asked: Asked, at: int) -> ThreadRead | None:
    """Return the thread whose first figure begins at ``at``; None where none does."""
    low = asked.low
    before = low[at - 1 : at]
    if before in ("-", "x") and low[at - 2 : at - 1] == "?":
        return _pitch_alone(low, at)
    if low.find("house", at, at + 24) >= 0 and not before.isalnum():
        found = _patterns()["house"].match(low, at)
        if found is not None:
            return ThreadRead(_house(found), at, found.end())
    if before == "m" or low[max(0, at - 7) : at].endswith(("em ", "em-", "m ", "m-", "metric ")):
        read = metric_at(asked, at)
        if read is not None:
            return read
    if before.isalpha() and not low[max(0, at - 2) : at].endswith(("sm", "g", "w", "ba")):
        return None
    read = inch_at(asked, at)
    if read is not None:
        return read
    read = pitch_alone_at(low, at)
    return read if read is not None else lay_metric_at(asked, at)


def _pitch_alone(low: str, at: int) -> ThreadRead | None:
    """Return the thread of which only the pitch is written, ``?-20`` or ``M?x0.7``."""
    start = at - 3 if low[at - 1] == "x" else at - 2
    match = _patterns()["metric" if low[at - 1] == "x" else "partial"].match(low, max(0, start))
    if match is None or low[max(0, start - 1) : start].isalnum():
        return None
    tail = tail_at(low, match.end(), metric=low[at - 1] == "x")
    thread = _partial(match, low[: tail.end], NO_HOUSE)
    return None if thread is None else ThreadRead(thread, start, tail.end)


def pitch_alone_at(low: str, at: int) -> ThreadRead | None:
    """Return the threads per inch stated at ``at`` with no size: ``20 TPI``."""
    match = _patterns()["per_inch"].match(low, at)
    if match is None:
        return None
    tail = tail_at(low, match.end())
    end = tail.end
    if not tail.per_inch:
        spoken = _patterns()["to_the_inch"].match(low, match.end())
        if spoken is None or not speaks_of_threads(low, at, spoken.end()):
            return None
        end = spoken.end()
    if _patterns()["saw"].match(low, tail.end) or _patterns()["saw_before"].search(
        low[max(0, at - 40) : at]
    ):
        return None
    tpi = Fraction(match["tpi"].replace(" 1/2", ".5").replace("-1/2", ".5"))
    if not tpi:
        return None
    thread = Thread(System.UNKNOWN, None, tpi, left_hand=tail.left_hand)
    return ThreadRead(thread, at, end)


@lru_cache(maxsize=4096)  # a tree names few threads, each many times
def parse_thread(text: str, house: HouseThreads = NO_HOUSE) -> Thread:
    """Return the thread that the whole of ``text`` designates.

    Shape: a designation, whole or said in part; nothing else may stand beside
    it but a length, which is left aside.
    Raises: NotationError where the text is no designation.
    """
    ready = prepare(text)
    low = ready.low.strip()
    thread = _canonical(low, house)
    if thread is not None:
        return thread
    for match in _patterns()["first"].finditer(ready.low):
        read = thread_at(Asked(ready, house, alone=True), match.start())
        if read is None:
            break
        end = read.length.end if read.length else read.end
        if ready.low[: read.start].strip() or ready.low[end:].strip(" ."):
            break
        return read.thread
    raise NotationError(
        f"expected a thread such as '1/4-20 UNC', 'M6x1' or '4 BA', found '{text.strip()}'",
        text,
        Span(0, len(text)),
        "write size and pitch, and the series where two series share them",
    )


def _canonical(low: str, house: HouseThreads) -> Thread | None:
    """Return the thread of a form that only the canonical notation has, None for another."""
    found = _patterns()["house"].fullmatch(low)
    if found is not None:
        return _house(found)
    for name in ("partial", "metric"):
        match = _patterns()[name].match(low)
        if match is not None and "?" in match[0]:
            return _partial(match, low, house)
    return None


def _house(match: re.Match[str]) -> Thread:
    size, tpi, pitch = match["size"], match["tpi"], match["pitch"]
    metric = size.startswith("m") or (pitch is not None and "/" not in size)
    return Thread(
        System.HOUSE,
        size.lstrip("m"),
        Fraction(tpi) if tpi else None,
        Decimal(pitch) if pitch else None,
        left_hand=match["left"] is not None,
        inch_size=not metric,
    )


def _partial(match: re.Match[str], low: str, house: HouseThreads) -> Thread | None:
    groups = match.groupdict()
    size = None if groups["size"] == "?" else groups["size"]
    metric = "pitch" in groups
    second = groups["pitch"] if metric else groups["tpi"]
    if size is None and second == "?":
        return None
    tail = tail_at(low, match.end(), metric=metric)
    if low[tail.end :].strip():
        return None
    series = Series(System.METRIC) if metric else tail.series
    if groups.get("sm"):
        series = Series(System.SEWING)
    thread = Thread(
        series.system if series else System.UNKNOWN,
        size,
        None if metric or second == "?" else Fraction(second),
        Decimal(second) if metric and second != "?" else None,
        series=series.letters if series else None,
        left_hand=tail.left_hand,
        inch_size=not metric,
    )
    return thread if size is None or second == "?" else complete(thread, house)
