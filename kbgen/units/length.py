"""Read a length at a number: ``8 mm``, ``3/8 in``, ``1/4 to 1/2 inch``, ``24-3/8``."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from kbgen.text import NotationError, Span
from kbgen.units.context import names_many_soon
from kbgen.units.prepared import NUMBER, Figure, Prepared, figure, prepare
from kbgen.units.quantity import Length
from kbgen.units.spread import RANGE_MARK, bound_to_figure, spread_at

__all__ = [
    "MM",
    "NO_LENGTH",
    "LengthRead",
    "closes_quote",
    "length_at",
    "length_patterns",
    "parse_length",
]

# How far back a quotation is followed.
QUOTATION = 300
NO_LENGTH = "expected a length such as '8 mm' or '3/8 in', found '{text}'"

MM = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
    "in": Fraction(254, 10),
    "thou": Fraction(254, 10000),
    "ft": Fraction(3048, 10),
    "µm": Fraction(1, 1000),
}


@dataclass(frozen=True, slots=True)
class LengthRead:
    """A length read in a text, with the figures its comparison needs."""

    length: Length
    start: int
    end: int
    low_figure: Figure
    high_figure: Figure
    unit: str


@cache
def length_patterns() -> dict[str, re.Pattern[str]]:
    """Return the patterns that lengths are read with, by name."""
    following = (
        r"(?=[).,;:!?\]]|$| ?[/(=x×]| (?:long|wide|deep|thick|high|tall|across|apart|diameter"
        r"|dia|od|id|bore|of|or|to|and|by|from|at|past|above|below|square|round|screws?|bolts?"
        r"|nuts?|studs?|drill|bit|hex|drive|length|gap|hole|shaft|rod|pin|clearance|is|was|are"
        r"|less|more|longer|shorter|wider|deeper|too|max|min)\b)"
    )
    return {
        "unit": re.compile(
            r"(?: of)?(?: an?)?(?:[ -]?(?P<mm>mm|millimet(?:re|er)s?)\b|[ -]?(?P<cm>cm"
            r"|centimet(?:re|er)s?)\b|[ -]?(?P<um>µm|microns?|micromet(?:re|er)s?)\b"
            r"|[ -]?(?P<thou>thou(?:sandths?(?: of an inch)?)?|mils?)\b|[ -](?P<m>met(?:re"
            r"|er)s?)\b|[ -]?(?P<ft>ft)\b"
            r"|[ -]?(?P<in>inch(?:es)?\b|(?<! )\"|\"(?!\w)|''|in\.(?= [a-z])"
            rf"|in(?:\.|\b){following}))(?!\^|²|2\b)"
        ),
        "inch_anyway": re.compile(
            r"[ -]?in\b\.?(?! (?:total|all|each|every|the|an?|my|our|your|this|that|one|half|front"
            r"|place|use|turn|[a-z]+ing)\b)"
        ),
        "in_parts": re.compile(r"[./]\d+$"),
        "quote": re.compile(r'(?P<opens>(?<![^\s(\[{:=-])"(?=\S))|"'),
        "range": re.compile(rf"(?: ?(?:{RANGE_MARK}) ?| to | and | or )(?P<second>{NUMBER})"),
        "mixed": re.compile(r"(?P<whole>\d{1,2})-(?P<part>\d{1,2}/(?:2|4|8|16|32|64))(?![\d/-])"),
        "number": re.compile(NUMBER),
        "film": re.compile(
            r"[ -]?(?:film|slides?|camera|cameras|negatives?|lens|jack|cannon|shell|gun)\b"
        ),
    }


def length_at(ready: Prepared, at: int) -> LengthRead | None:
    """Return the length whose first figure begins at ``at``; None where none does."""
    low = ready.low
    patterns = length_patterns()
    match = patterns["number"].match(low, at)
    if match is None or bound_to_figure(low, at):
        return None
    end = match.end()
    unit = _unit(low, end)
    if unit is not None and _counts(ready, match, unit[1]):
        return None
    second: Figure | None = None
    if unit is None:
        spread = spread_at(low, end)
        after = _unit(low, spread.closed(low, spread.end)) if spread is not None else None
        if spread is not None and after is not None:
            first = _figure(match[0])
            return None if first is None else _made(at, after[1], *spread.of(first), after[0])
        between = patterns["range"].match(low, end)
        if between is not None and (after := _unit(low, between.end())) is not None:
            second, unit = _figure(between["second"]), after
    if unit is None:
        return _mixed(low, at)
    first = _figure(match[0])
    if first is None:
        return None
    name, end = unit
    if name == "mm" and patterns["film"].match(low, end):
        return None
    if name == "in" and low[end - 1] == '"' and closes_quote(low, end - 1):
        return None
    if second is None:
        spread = spread_at(low, end)
        if spread is not None:
            after = _unit(low, spread.end)
            if after is None or after[0] == name:
                stop = spread.closed(low, after[1] if after else spread.end)
                return _made(at, stop, *spread.of(first), name)
        between = patterns["range"].match(low, end)
        if between is not None and " and" not in between[0] and " or" not in between[0]:
            after = _unit(low, between.end())
            if after is not None and after[0] == name:
                other = _figure(between["second"])
                if other is not None and other.value > first.value:
                    second, end = other, after[1]
    return _made(at, end, first, second or first, name)


def _figure(written: str) -> Figure | None:
    try:
        return figure(written)
    except ZeroDivisionError:
        return None


def _counts(ready: Prepared, match: re.Match[str], end: int) -> bool:
    """Return whether a word before a fraction in figures counts things: "two 1/2 in screws"."""
    whole, blank, _ = match[0].partition(" ")
    if not blank or "/" not in match[0] or not names_many_soon(ready.low, end):
        return False
    at = match.start() + len(whole)
    return ready.was_spoken(match.start(), at) and not ready.was_spoken(at + 1, match.end())


def _unit(low: str, at: int) -> tuple[str, int] | None:
    match = length_patterns()["unit"].match(low, at)
    if match is None or match.lastgroup is None:
        # After a fraction or a decimal, "in" is seldom a preposition.
        match = length_patterns()["inch_anyway"].match(low, at)
        if match is None or not length_patterns()["in_parts"].search(low[max(0, at - 6) : at]):
            return None
        return "in", match.end()
    part_of = low.startswith((" of", " a ", " an "), at)
    if part_of and not length_patterns()["in_parts"].search(low[max(0, at - 6) : at]):
        # "3/8 of an inch" is a length, "12 a metre" is a price.
        return None
    return {"um": "µm"}.get(match.lastgroup, match.lastgroup), match.end()


def closes_quote(low: str, at: int) -> bool:
    """Return whether the mark at ``at`` ends a quotation that was opened before."""
    since = max(0, at - QUOTATION)
    opened = low.rfind("“", since, at)
    if opened >= 0 and '"' not in low[opened:at]:
        return True
    marks = [
        match["opens"] is not None for match in length_patterns()["quote"].finditer(low, since, at)
    ]
    return bool(marks) and marks[-1]


def _made(at: int, end: int, first: Figure, second: Figure, unit: str) -> LengthRead | None:
    low_figure, high_figure = sorted((first, second), key=lambda one: one.value)
    factor = MM[unit]
    if not high_figure.value:
        return None
    length = Length(low_figure.value * factor, high_figure.value * factor)
    return LengthRead(length, at, end, low_figure, high_figure, unit)


def _mixed(low: str, at: int) -> LengthRead | None:
    """Return the inches of a mixed number joined by a hyphen: ``24-3/8``."""
    match = length_patterns()["mixed"].match(low, at)
    if match is None:
        return None
    numerator, denominator = map(int, match["part"].split("/"))
    if not numerator % 2 or numerator >= denominator:
        return None
    value = figure(match[0])
    return _made(at, match.end(), value, value, "in")


def parse_length(text: str) -> Length:
    """Return the length that the whole of ``text`` states.

    Shape: a figure, a range or a tolerance with its unit.
    Raises: NotationError where the text is no length.
    """
    ready = prepare(text)
    low = ready.low
    for match in re.finditer(r"[.,]?\d", low):
        read = length_at(ready, match.start())
        if read is None or low[: read.start].strip() or low[read.end :].strip(" ."):
            break
        return read.length
    raise NotationError(
        NO_LENGTH.format(text=text.strip()),
        text,
        Span(0, len(text)),
        "write a figure and mm or in",
    )
