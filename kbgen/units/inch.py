"""Read an inch thread at a number: a size, threads per inch, and the words around them.

Shape: ``1/4-20 UNC-2A``, ``#10-32``, ``.250-20``, ``5/16 by 18``, ``1/4" x 20
tpi``, ``1/4 BSW``, ``UNC 1/4``, ``SM9/64-40``, ``1/8 IP``, ``2 BA``.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache
from math import gcd

from kbgen.units.complete import HouseThreads, complete, inch_size, rows_for_pair
from kbgen.units.context import (
    bears_thread,
    counts_something,
    is_code,
    names_many_soon,
    names_symbol,
    names_thread_soon,
    speaks_against,
    told_by_clock,
)
from kbgen.units.designation import System, Thread
from kbgen.units.prepared import Prepared
from kbgen.units.quantity import Length
from kbgen.units.standards import SeriesRow, Standing
from kbgen.units.tail import Series, Tail, hand_before, length_after, series_before, tail_at

__all__ = ["ThreadRead", "inch_at"]


@dataclass(frozen=True, slots=True)
class ThreadRead:
    """A thread read in a text.

    Shape: ``start`` and ``end`` in the prepared text; ``series_at`` where the
    series is named; ``length`` what follows as a length, with its place.
    """

    thread: Thread
    start: int
    end: int
    series_at: tuple[int, int] | None = None
    length: tuple[Length, int, int] | None = None


# The systems whose sizes are whole numbers as often as fractions; 1 BSW is one inch.
_WITH_WHOLE_SIZES = frozenset(
    {System.UNIFIED, System.PIPE, System.NPT, System.WHITWORTH, System.BSF}
)


@cache
def _patterns() -> dict[str, re.Pattern[str]]:
    return {
        "size": re.compile(
            r"(?:(?P<whole>[1-9]\d?)(?P<gap>[ -]| - ?))?(?P<num>\d{1,2})/(?P<den>2|4|8|16|32"
            r"|64)(?!\d)"
            r"|(?P<dec>[0-4]?\.\d{2,4})(?!\d)|(?P<int>\d{1,2})(?!\d)"
        ),
        "whole": re.compile(r"(?P<whole>)(?P<num>)(?P<dec>)(?P<int>\d{1,2})(?=/\d)"),
        "mark": re.compile(
            r"(?: ?(?:\"|'')|[ -]?in(?:ch(?:es)?|\.)?(?![a-z]))?(?: (?:dia(?:meter|m)?\b\.?|od\b))?"
        ),
        "pair": re.compile(
            r"(?P<sep> ?- ?| ?[x*山] ?| ?/ ?| by |,? (?:with |at |and )?"
            r"|(?<=\"))(?P<tpi>\d{1,3}(?:\.5|[ -]1/2)?)"
            r"(?![\d/]|[.,]\d)"
        ),
        "after": re.compile(
            r"(?: ?\"| ?mm\b|[ -]?in(?:ch(?:es)?)?\b(?! ?-)|[-/.:]\d|[a-z_]|\.[a-z]{2,4}\b)"
        ),
        "number": re.compile(r"(?:#|\b(?:no|nr|num)(?:\.|°)? ?|\bnumber[ -]|\bsize )[ ]?$"),
        "ba": re.compile(r"(?:[ -]?b\.?a\b\.?| b a\b)(?! (?:degree|in |\(|hons|graduate|flight))"),
        "ba_before": re.compile(r"\bb\.?a\.? ?(?:no\.? ?)?$"),
        "threaded": re.compile(r"(?: (?:coarse|fine))?[ -]thread(?:s|ed)?\b(?! per)"),
        "per_inch_after": re.compile(
            r",? ?\(?(?P<tpi>\d{1,2})(?= ?(?:tpi|t\.p\.i|threads? (?:per|to)))"
        ),
    }


def inch_at(
    ready: Prepared, at: int, house: HouseThreads, *, alone: bool = False
) -> ThreadRead | None:
    """Return the inch thread whose size begins at ``at``; None where none does.

    Shape: ``alone`` says that the text is a designation, so that no context
    need speak for it.
    """
    low = ready.low
    patterns = _patterns()
    size = patterns["size"].match(low, at)
    if size is None:
        return None
    if size["int"] is not None:
        found = _british_association(low, at, size.end())
        if found is not None:
            return found
    if size["num"] and not _reduced(size):
        # "10/32 screw": a slash for the hyphen, no fraction is written so.
        size = None if size["whole"] else patterns["whole"].match(low, at)
        if size is None:
            return None
    mark = patterns["mark"].match(low, size.end())
    assert mark is not None
    marked = mark.end() > size.end()
    pair = patterns["pair"].match(low, mark.end())
    if pair is not None:
        read = _pair_read(ready, at, size, marked, pair, house, alone)
        if read is not None:
            return read
    return _size_read(ready, at, size, mark.end(), house, alone)


def _reduced(size: re.Match[str]) -> bool:
    numerator, denominator = int(size["num"]), int(size["den"])
    return 0 < numerator < denominator and gcd(numerator, denominator) == 1


def _british_association(low: str, at: int, end: int) -> ThreadRead | None:
    """Return the BA size of a whole number; BA runs from 0 to 25 (BS 93)."""
    patterns = _patterns()
    number = int(low[at:end])
    if number > 25:
        return None
    start = at
    match = patterns["ba"].match(low, end)
    if match is not None:
        end = match.end()
        if low[match.end() - 1] == "." and match[0].count(".") == 1:
            end -= 1
        numbered = patterns["number"].search(low[max(0, at - 10) : at])
        start = at - len(numbered[0]) if numbered else at
    else:
        before = patterns["ba_before"].search(low[max(0, at - 10) : at])
        if before is None or counts_something(low, end):
            return None
        start = at - len(before[0])
    tail = tail_at(low, end)
    hand = hand_before(low, start)
    if tail.series is not None:
        tail = Tail(end)
    thread = Thread(System.BA, str(number), left_hand=tail.left_hand or bool(hand and hand[0]))
    return ThreadRead(
        thread,
        hand[1] if hand else start,
        tail.end,
        None,
        length_after(low, tail.end, metric=False),
    )


def _size_text(size: re.Match[str]) -> str:
    if size["num"]:
        part = f"{int(size['num'])}/{size['den']}"
        return f"{size['whole']} {part}" if size["whole"] else part
    if size["dec"]:
        return inch_size(size["dec"])
    return str(int(size["int"]))


def _pair_read(
    ready: Prepared,
    at: int,
    size: re.Match[str],
    marked: bool,
    pair: re.Match[str],
    house: HouseThreads,
    alone: bool,
) -> ThreadRead | None:
    """Return the thread of a size and threads per inch, where the context lets it be one."""
    low = ready.low
    patterns = _patterns()
    tpi = _tpi(pair["tpi"])
    if tpi is None:
        return None
    text, start = _size_text(size), at
    tail = tail_at(low, pair.end())
    if size["whole"]:
        text, start = _counted(low, size, tpi, text, tail, alone)
    number = patterns["number"].search(low[max(0, start - 10) : start]) if size["int"] else None
    named = series_before(ready.plain, low, start - (len(number[0]) if number else 0))
    series = tail.series or (named[0] if named else None)
    thread = _thread(text, tpi, series, tail)
    explicit = bool(series or tail.fit_class or tail.per_inch)
    if tail.end == pair.end() and _runs_on(low, start, pair.end()):
        return None
    if size["int"] and not number and not marked and thread.system is System.SEWING:
        return None
    if not alone or size["int"]:
        numbered = number is not None and not is_code(low, start)
        if number is not None and is_code(low, start):
            return None
        if not _let(
            ready, start, size, marked, pair, tail, thread, explicit, numbered, house, alone
        ):
            return None
    begin = start
    if number is not None:
        begin = start - len(number[0])
    if named is not None and tail.series is None:
        begin = named[1]
    hand = hand_before(low, begin)
    if hand is not None:
        begin = hand[1]
        thread = replace(thread, left_hand=thread.left_hand or hand[0])
    series_at = tail.series_at or ((named[1], start) if named else None)
    return ThreadRead(
        complete(thread, house),
        begin,
        tail.end,
        series_at,
        length_after(low, tail.end, metric=False),
    )


def _runs_on(low: str, start: int, end: int) -> bool:
    """Return whether what follows a pair makes something else of it: a unit, a code, a word."""
    if _patterns()["after"].match(low, end) is None:
        return False
    quoted = low[start - 1 : start] in ('"', "“") and low[end : end + 1] == '"'
    return not quoted and length_after(low, end, metric=False) is None


def _counted(
    low: str, size: re.Match[str], tpi: Fraction, text: str, tail: Tail, alone: bool
) -> tuple[str, int]:
    """Return the size, its whole number told from a count: "2 1/4-20 screws" are two."""
    at, series = size.start(), tail.series
    part = text.partition(" ")[2]
    if size["gap"] != " " or not rows_for_pair(part, tpi):
        return text, at
    mixed = rows_for_pair(text, tpi)
    if series is not None and series.letters:
        fits = any(row.series == series.letters for row in mixed)
        own = any(row.series == series.letters for row in rows_for_pair(part, tpi))
        count = own and (not fits or (not alone and names_many_soon(low, tail.end)))
    else:
        count = not mixed or (int(size["whole"]) > 1 and not alone)
    return (part, size.start("num")) if count else (text, at)


def _thread(text: str, tpi: Fraction, series: Series | None, tail: Tail) -> Thread:
    system = series.system if series else System.UNKNOWN
    return Thread(
        system,
        text,
        tpi,
        series=series.letters if series else None,
        fit_class=tail.fit_class.upper() if tail.fit_class else None,
        left_hand=tail.left_hand,
    )


def _tpi(written: str) -> Fraction | None:
    tpi = Fraction(written.replace(" 1/2", ".5").replace("-1/2", ".5"))
    return tpi if 3 <= tpi <= 120 else None


def _let(
    ready: Prepared,
    start: int,
    size: re.Match[str],
    marked: bool,
    pair: re.Match[str],
    tail: Tail,
    thread: Thread,
    explicit: bool,
    numbered: bool,
    house: HouseThreads,
    alone: bool,
) -> bool:
    """Return whether the context lets a size and a number be a thread."""
    low = ready.low
    end = tail.end
    sep = pair["sep"].strip()
    counted = size["int"] and not (numbered or marked or sep or tail.per_inch)
    if explicit and not counted:
        return True
    assert thread.size is not None and thread.tpi is not None
    rows = rows_for_pair(thread.size, thread.tpi)
    tabled = bool(rows) or house.holds(thread) is not None
    spoken = ready.was_spoken(start, end)
    if size["int"]:
        return _number_size(
            ready, start, end, sep, rows_standard(rows), tabled, spoken, numbered, alone
        )
    if counts_something(low, end) and not names_thread_soon(low, end, strictly=True):
        return False
    if sep == "-":
        return tabled or bool(size["num"]) or len(size["dec"] or "") > 3
    if sep in ("x", "*", "by") or (marked and sep in ("", ",")):
        return tabled or names_thread_soon(low, end, strictly=True)
    if sep == "" and tabled:
        half_past = size["num"] == "1" and size["den"] == "2" and thread.tpi <= 12
        return (
            (spoken and not half_past)
            or names_thread_soon(low, end, strictly=True)
            or bears_thread(low, start)
        )
    return False


def rows_standard(rows: tuple[SeriesRow, ...]) -> bool:
    """Return whether one of ``rows`` is in a standard series, or was in the one before it (NS)."""
    return any(row.standing is Standing.STANDARD or row.note.startswith("NS") for row in rows)


def _number_size(
    ready: Prepared,
    start: int,
    end: int,
    sep: str,
    standard: bool,
    tabled: bool,
    spoken: bool,
    numbered: bool,
    alone: bool,
) -> bool:
    """Return whether two whole numbers are a number size and its threads per inch."""
    low = ready.low
    if sep == "," or (not tabled and not (numbered and sep == "-")):
        return False
    if numbered:
        return True
    if alone:
        return sep in ("-", "x", "by", "/") or spoken
    soon = names_thread_soon(low, end, strictly=True)
    if is_code(low, start):
        return False
    if (counts_something(low, end) or names_symbol(ready.plain, end)) and not soon:
        return False
    if sep == "-" and not spoken:
        if soon:
            return not speaks_against(low, start, start) or standard
        if speaks_against(low, start, end):
            return False
        whole = not low[:start].strip() and not low[end:].strip(" .?!")
        return standard or whole or bears_thread(low, start)
    if told_by_clock(low, start) and not soon:
        return False
    long = length_after(low, end, metric=False) is not None
    return soon or ((long or bears_thread(low, start)) and not told_by_clock(low, start))


def _size_read(
    ready: Prepared, at: int, size: re.Match[str], end: int, house: HouseThreads, alone: bool
) -> ThreadRead | None:
    """Return the thread of a size with a series and no pitch, or a size said to be threaded."""
    low = ready.low
    patterns = _patterns()
    tail = tail_at(low, end)
    named = series_before(ready.plain, low, at)
    series = tail.series or (named[0] if named else None)
    if size["int"] and size["int"] == "0":
        return None
    unknown = low.startswith("-?", end)
    if unknown:
        tail = tail_at(low, end + 2)
        series = tail.series or (named[0] if named else None)
    if series is None:
        threaded = patterns["threaded"].match(low, end)
        if (size["int"] and not (unknown and alone)) or not (unknown or alone or threaded):
            return None
        thread = Thread(System.UNKNOWN, _size_text(size), left_hand=tail.left_hand)
        return ThreadRead(thread, at, tail.end if unknown else end)
    bare = bool(size["int"]) and end == size.end()
    if bare and series.system not in _WITH_WHOLE_SIZES:
        return None
    if size["int"] and (
        is_code(low, at) or (named and low[named[1] : named[1] + 3] in ("sae", "uss"))
    ):
        return None
    if low[tail.end : tail.end + 8].lstrip(" ").startswith(("spanner", "wrench", "socket")):
        return None
    tpi, finish = None, tail.end
    spelled = patterns["per_inch_after"].match(low, tail.end)
    if spelled is not None:
        tpi = Fraction(int(spelled["tpi"]))
        again = tail_at(low, spelled.end())
        tail = replace(tail, left_hand=tail.left_hand or again.left_hand)
        finish = again.end
    begin = named[1] if named and tail.series is None else at
    if size["int"] and not alone and begin != at and not _spoken_of(low, begin, finish):
        return None
    hand = hand_before(low, begin)
    thread = Thread(
        series.system,
        _size_text(size),
        tpi,
        series=series.letters,
        fit_class=tail.fit_class.upper() if tail.fit_class else None,
        left_hand=tail.left_hand or bool(hand and hand[0]),
    )
    thread = complete(thread, house)
    if size["int"] and not thread.whole and not unknown:
        return None
    return ThreadRead(
        thread,
        hand[1] if hand else begin,
        finish,
        tail.series_at or ((named[1], at) if named else None),
        length_after(low, finish, metric=False),
    )


def _spoken_of(low: str, start: int, end: int) -> bool:
    """Return whether a thread is spoken of right before or behind, or nothing else is said."""
    if not low[:start].strip() and not low[end:].strip(" ."):
        return True
    return names_thread_soon(low, end, strictly=True) or bears_thread(low, start)
