"""What stands behind or before size and pitch: series, class, hand, length.

Source of the names: ASME B1.1 and its forerunner, the American National series
(NC, NF, NEF, NS); BS 84, BS 93, BS 811; ASME B1.20.1; ISO 228-1; JIS B 0226. The
nicknames are common practice, no published source.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import cache

from kbgen.units.designation import System
from kbgen.units.length import MM, LengthRead, closes_quote
from kbgen.units.prepared import NUMBER, figure
from kbgen.units.quantity import Length

__all__ = [
    "Series",
    "Tail",
    "hand_before",
    "length_after",
    "number_before",
    "series_before",
    "tail_at",
]


@dataclass(frozen=True, slots=True)
class Series:
    """A series as named: its system, and its letters where the system has several."""

    system: System
    letters: str | None = None


_U = System.UNIFIED
_STANDARD = r"brit(?:ish|\.)? st(?:andar|an)?d\.?"
# Spellings in small letters, most particular first.
_NAMES: tuple[tuple[Series, str], ...] = (
    (
        Series(_U, "UNEF"),
        r"u\.?n\.?r?\.?e\.?f\.?|n\.?e\.?f\.?|(?:unified |national )+extra[ -]fine|u n e f",
    ),
    (
        Series(_U, "UNC"),
        r"u\.?n\.?r?\.?c\.?|n\.?c\.?|(?:unified |american |national )+coarse|u\.?s\.?s\.?|u n c",
    ),
    (
        Series(_U, "UNF"),
        r"u\.?n\.?r?\.?f\.?|n\.?f\.?|(?:unified |american |national )+fine|s\.?a\.?e\.?|u n f",
    ),
    (Series(_U, "UNS"), r"u\.?n\.?s\.?|n\.?s\.?|unified special|u n s"),
    (Series(_U, "UN"), r"(?:(?:6|8|12|16|20|28|32)-?)?u\.?n\.?"),
    (
        Series(System.WHITWORTH),
        rf"b\.?s\.?w(?:hit)?\.?|whit(?:worth)?\.?(?: coarse)?|{_STANDARD} whitworth|b s w|ww",
    ),
    (Series(System.BSF), rf"b\.?s\.?f\.?|{_STANDARD} fine|b s f"),
    (
        Series(System.BRASS),
        rf"b\.?s\.?b(?:rass)?\.?|{_STANDARD} brass|british brass|brass thread",
    ),
    (
        Series(System.CYCLE),
        r"b\.?s\.?c\.?(?:y(?:cle)?\.?)?|c\.?e\.?i\.?|cycle(?=[.,;)]|$)"
        rf"|(?:{_STANDARD} )?cycle thread|{_STANDARD} cycle",
    ),
    (Series(System.NPSM), r"n\.?p\.?s\.?m\.?"),
    (Series(System.NPT), r"n\.?p\.?t\.?f?"),
    (Series(System.NPS), r"n\.?p\.?s\.?|i\.?p\.?s?\.?"),
    (Series(System.PIPE), r"b\.?s\.?p\.?(?:p\.?)?|gas thread"),
    (Series(System.SEWING), r"sm"),
    (Series(System.HOUSE), r"house(?: thread)?"),
)
_END = r"(?![a-z0-9])"
_HAND = (
    r"(?P<left>l\.? ?[/-]?h\.?t?(?![a-z])(?:[ -]threads?\b)?"
    r"|left[ -]?hand(?:ed)?(?:[ -](?:threads?|threaded|helix)\b)?|left[ -]thread(?:ed)?\b"
    r"|(?:reversed?|backwards?|anti-?clockwise)[ -]thread(?:s|ed)?\b|left(?=\)))"
    r"|(?P<right>r\.?h\.?(?![a-z])(?: threads?\b)?|right[ -]?hand(?:ed)?(?:[ -](?:threads?"
    r"|threaded)\b)?)"
)
# A side and not a hand: "left-hand side", "the left-hand cover".
_SIDE = (
    r"(?! (?:side|end|corner|edge|cover|lever|knob|one|door|half|column|picture|panel|wall"
    r"|page|margin|pillar|leg|plate|drawer)\b)"
)
_NOUN = (
    r"(?:(?:machine|set|cap|grub|clamp|wood|thumb|brass|steel|hex|slotted|needle|gib) )?"
    r"(?:screws?|bolts?|nuts?|studs?|taps?|dies?|threads?|holes?|rods?)"
)


@cache
def _series_pattern() -> re.Pattern[str]:
    names = "|".join(f"(?P<s{place}>{names})" for place, (_, names) in enumerate(_NAMES))
    return re.compile(rf"[ \n]?(?:[,(\[/-] ?)?(?:{names}){_END}")


@cache
def _before_pattern() -> re.Pattern[str]:
    names = "|".join(f"(?P<s{place}>{names})" for place, (_, names) in enumerate(_NAMES))
    glued = r"(?:(?P<sm>sm)|(?P<g>g)|(?P<w>w))[ -]?$"
    return re.compile(rf"(?<![a-z0-9./])(?:(?:{names})(?:[ ,:-]{{1,2}}| thread )$|{glued})")


@cache
def _patterns() -> dict[str, re.Pattern[str]]:
    return {
        "inch_class": re.compile(
            r"(?:(?: ?- ?| |,? ?\(?class )(?P<both>[1-3][ab](?:/[1-3][ab])?)"
            r"|(?: ?-|,? ?\(?(?:class|cl\.?) )(?P<old>[1-5]))\)?(?![a-wyz0-9]|x\D|\.\d|[/:])"
        ),
        "metric_class": re.compile(
            r"(?: ?- ?| )(?P<both>[3-9][efgh](?:[3-9][efgh])?(?:/[3-9][efgh](?:[3-9][efgh])?)?)"
            rf"{_END}"
        ),
        "hand": re.compile(rf"(?: ?-| ?,| ?;)? ?(?:with an? |an? )?\(?(?:{_HAND})\)?{_SIDE}"),
        "hand_far": re.compile(
            rf"[ ,]+{_NOUN}(?:,? (?:with an? |an? )?\(?|, ?)(?:{_HAND})\)?{_SIDE}"
        ),
        # Of the thread, in a clause of its own: "M8x1, and mind, it is left-handed".
        "hand_said": re.compile(
            r",? (?:(?:and|but|which|that|mind|note|though),? ){0,3}"
            r"(?:(?:(?:it|this|that|which) (?:is|has)|it's|is|are|has) (?:an? )?"
            rf"(?:{_HAND})\)?{_SIDE}"
            r"|(?:an? )?(?P<left2>left[ -]?handed|left[ -]?hand(?:ed)? thread(?:s|ed)?"
            r"|left[ -]?threaded)(?=[.,;:!?)]|$| (?:too|so|as|because|here|to|not)\b))"
        ),
        "hand_short": re.compile(r"\. ?(?P<left>l\.?h\b\.?)(?P<right>(?!))?"),
        "hand_before": re.compile(
            rf"(?<![a-z])(?P<the>the )?(?:{_HAND})(?:,|:| is| of|;)?(?: an?)?[ \n]$"
        ),
        "number": re.compile(r"(?:#|\b(?:no|nr|num)(?:\.|°)? ?|\bnumber[ -]|\bsize )[ ]?$"),
        "tpi": re.compile(
            r",? ?\(?(?:-|@ ?)?(?:t\.?p\.?i\b\.?|th(?:rea)?ds?\.?[ -]?(?:per|to the|to an|an?|/"
            r"|in an|to one|p)[ -.]?(?:inch\b|in\b\.?)|(?:per|/) ?inch\b|山)\)?"
        ),
        "length": re.compile(
            r"(?:[ -]?x[ -]?|(?P<marked>,? ?\bl ?= ?)| by (?:an? )?"
            r"|, ?(?=\S+ ?(?:mm|\"|in(?:ch(?:es)?)?\.?) (?:long|lg)))"
            rf"(?P<number>{NUMBER})(?:[ -]?(?P<unit>mm\b|cm\b|\"|''|in(?:ch(?:es)?)?\b))?"
            r"(?![\d/.]?\d| ?(?:tpi|pitch|threads?\b))"
        ),
    }


@dataclass(frozen=True, slots=True)
class Tail:
    """What a tail says, and the end of the last word of it.

    Shape: ``series_at`` is where the series is named, ``per_inch`` whether
    threads per inch were spelled out.
    """

    end: int
    series: Series | None = None
    series_at: tuple[int, int] | None = None
    fit_class: str | None = None
    left_hand: bool = False
    per_inch: bool = False


_GLUED = {"sm": System.SEWING, "g": System.PIPE, "w": System.WHITWORTH}


def number_before(low: str, at: int) -> int:
    """Return where "No." or # begins before a number size at ``at``; ``at`` where none does."""
    match = _patterns()["number"].search(low[max(0, at - 10) : at])
    return at - len(match[0]) if match else at


def series_before(plain: str, low: str, at: int, since: int = 0) -> tuple[Series, int] | None:
    """Return the series named right before ``at``, and where its name begins.

    Shape: nothing before ``since`` is looked at.
    """
    start = max(since, at - 28)
    match = _before_pattern().search(low[start:at])
    if match is None or match.lastgroup is None:
        return None
    begin = start + match.start()
    if match.lastgroup in _GLUED:
        capital = plain[begin].isupper() or match.lastgroup == "sm"
        return (Series(_GLUED[match.lastgroup]), begin) if capital else None
    return _NAMES[int(match.lastgroup[1:])][0], begin


def hand_before(low: str, at: int, since: int = 0) -> tuple[bool, int] | None:
    """Return whether a left hand is named right before ``at``, and where its name begins.

    "the left-hand M4" tells where the screw sits, not how it is cut.
    """
    start = max(since, at - 40)
    match = _patterns()["hand_before"].search(low[start:at])
    if match is None or (match["the"] and "thread" not in match[0]):
        return None
    return match["left"] is not None, start + match.start() + len(match["the"] or "")


def tail_at(low: str, at: int, *, metric: bool = False) -> Tail:
    """Return what stands behind a size and pitch that end at ``at``."""
    patterns = _patterns()
    tail = Tail(at)
    match = patterns["tpi"].match(low, at)
    if match is not None and not metric:
        tail = Tail(match.end(), per_inch=True)
    match = None if metric else _series_pattern().match(low, tail.end)
    if match is not None and match.lastgroup is not None:
        name = match.lastgroup
        series = _NAMES[int(name[1:])][0]
        end = match.end() + (1 if "(" in match[0] and low[match.end() :][:1] == ")" else 0)
        if match[name].count(".") == 1 and low[end - 1] == "." and match[name][:4] != "whit":
            end -= 1  # The full stop of the sentence is no part of the name.
        tail = Tail(end, series, match.span(name), per_inch=tail.per_inch)
        if not tail.per_inch and (spelled := patterns["tpi"].match(low, end)) is not None:
            tail = Tail(spelled.end(), series, tail.series_at, per_inch=True)
    fit_class = None
    match = patterns["metric_class" if metric else "inch_class"].match(low, tail.end)
    if match is not None and (metric or match["both"] or tail.series is not None):
        fit_class = match["both"] if metric or match["both"] else match["old"]
        end = match.end()
    else:
        end = tail.end
    left, after = _hand_after(low, end)
    tail = Tail(after, tail.series, tail.series_at, fit_class, left, tail.per_inch)
    return tail if after == end else _behind_hand(low, tail, metric=metric)


def _behind_hand(low: str, tail: Tail, *, metric: bool) -> Tail:
    """Return ``tail`` with the series and the class that stand behind the hand."""
    if tail.series is None and not metric:
        match = _series_pattern().match(low, tail.end)
        if match is not None and match.lastgroup is not None and not match[0].startswith("("):
            name = match.lastgroup
            series = _NAMES[int(name[1:])][0]
            tail = replace(tail, end=match.end(), series=series, series_at=match.span(name))
    if tail.fit_class is None:
        match = _patterns()["metric_class" if metric else "inch_class"].match(low, tail.end)
        if match is not None and match["both"]:
            tail = replace(tail, end=match.end(), fit_class=match["both"])
    return tail


def _hand_after(low: str, at: int) -> tuple[bool, int]:
    for name in ("hand", "hand_far", "hand_said", "hand_short"):
        match = _patterns()[name].match(low, at)
        if match is not None:
            end = match.end()
            if match[0].endswith(")") and "(" not in match[0]:
                end -= 1
            left = match["left"] or match.groupdict().get("left2")
            return left is not None, end
    return False, at


def length_after(low: str, at: int, *, metric: bool) -> LengthRead | None:
    """Return the length that follows a designation.

    Shape: a length without a unit is in the unit of the thread.
    """
    match = _patterns()["length"].match(low, at)
    if match is None:
        return None
    try:
        one = figure(match["number"])
    except ZeroDivisionError:
        return None
    unit, end = match["unit"], match.end()
    if unit == '"' and closes_quote(low, match.start("unit")):
        unit, end = None, match.start("unit")
    if unit is None and not metric and one.value > (25 if match["marked"] else 12):
        return None
    name = unit if unit in ("mm", "cm") else "mm" if metric and unit is None else "in"
    if match["marked"] and unit is None and one.value >= 2:
        # Parts lists of sewing machines state lengths in millimetres beside inch threads.
        name = "mm"
    millimetres = one.value * MM[name]
    if not millimetres:
        return None
    length = Length(millimetres, millimetres)
    return LengthRead(length, match.start("number"), end, one, one, name)
