"""Read a tightness said in words and turns: "snug, then an eighth of a turn"."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from kbgen.text import NotationError, Span
from kbgen.units.prepared import NUMBER, Prepared, figure, prepare
from kbgen.units.tightness import Tightness

__all__ = ["TightnessRead", "parse_tightness", "says_tightness", "tightness_in"]

_WORDS = ("snug", "tight", "seat", " home", "bottom", "nip")


@dataclass(frozen=True, slots=True)
class TightnessRead:
    """A tightness read in a text: the value and where it stands in the prepared text.

    ``plain`` is False for a bare word that may mean something else.
    """

    tightness: Tightness
    start: int
    end: int
    plain: bool


_TURN = (
    rf"(?:an? |one )?(?P<by>{NUMBER})?(?: ?- ?{NUMBER})?(?:[ -]?(?P<deg>°|deg(?:rees?)?\b\.?)"
    r"|(?<=/[248]) more\b(?! than)|(?:[ -](?:of )?(?:an? )?| )(?:full |further |more )?"
    r"(?P<turn>turns?\b|revolutions?\b))"
)
_SNUG = (
    r"snug(?:ged|gly)?(?:[ -]tight)?(?: (?:it|them|the [a-z]+))?(?: (?:down|up))?"
    r"|nip(?:ped)?(?: it| them)?(?:[ -]up|[ -]tight)"
)
_FINGER = r"(?:finger|hand|thumb)s?[ -]?tight(?:en(?:ed)?)?(?: only)?"
_SEATED = (
    r"seat(?:s|ed)?(?: (?:it|them|the [a-z]+))?(?: (?:fully|home|lightly))?|bottom(?:s"
    r"|ed)?(?: (?:it|them))?(?: out)?|(?:screw|run|drive|turn)(?:ed|s)?(?: (?:it|them|in"
    r"|the [a-z]+|fully|right))* home"
)


@cache
def _patterns() -> dict[str, re.Pattern[str]]:
    base = rf"(?P<snug>{_SNUG})|(?P<finger>{_FINGER})|(?P<seated>{_SEATED})"
    more = (
        r"(?:,? ?(?:\+|plus|and then|then|followed by|and|&)|,)"
        r"(?: (?:turn|rotate|tighten|go|give|it|them|by|through|on|another|a further|a|an"
        r"|further|one|more|the|just|about|no more than|only))*"
    )
    back = (
        r",? ?(?:-(?= ?\d)|(?:and |then |and then )?(?:back(?:ed|ing)?|slack(?:en|ened)?"
        r"|loosen(?:ed)?|eased?|unscrew(?:ed)?|undone?|undo|turn(?:ed)? back)"
        r"(?: (?:it|them|off|back|out|by|about|the [a-z]+|through))*)"
    )
    past = (
        r"(?: (?:past|beyond|after|more than|further than|from|off)"
        r"(?: (?:it is|just|being|the point of|when|merely))* )"
    )
    return {
        "word": re.compile(rf"(?<![a-z-])(?:{base})(?![a-z])"),
        "led": re.compile(
            r"(?:(?:finger|hand|thumb)s?[ -]?"
            r"|(?:screw|run|drive|turn)(?:ed|s)?(?: (?:it|them|in|the [a-z]+|fully|right))*)$"
        ),
        "more": re.compile(rf"{more} ?{_TURN}"),
        "back": re.compile(rf"{back} ?{_TURN}"),
        "canonical": re.compile(rf" (?P<sign>[+-]) {_TURN}"),
        "past": re.compile(rf"(?P<back>(?:back(?:ed)? (?:it )?off )(?:an? )?)?{_TURN}{past}$"),
        "fastened": re.compile(
            r"screw|bolt|\bnuts?\b|tighten|torque|turn|driver|spanner|wrench|\bdo (?:it"
            r"|them) up\b|stud"
        ),
        "not": re.compile(
            r" (?:fit|against|as |in |around|over|under the|on the spool|case|bag|little)"
        ),
    }


def says_tightness(low: str) -> bool:
    """Return whether a text in small letters holds a word for a tightness."""
    if "snug" in low or "nip" in low:
        return True
    if "tight" in low and ("finger" in low or "hand" in low or "thumb" in low):
        return True
    if "seat" in low or " home" in low or "bottom" in low:
        # Seated is a tightness only with a turn back from there.
        return "turn" in low or "deg" in low or "°" in low or "revol" in low
    return False


def tightness_in(ready: Prepared) -> list[TightnessRead]:
    """Return the tightnesses said in the text, in order."""
    low = ready.low
    if not says_tightness(low):
        return []
    found: list[TightnessRead] = []
    for start in _places(low):
        match = _patterns()["word"].match(low, start)
        if match is None or (found and start < found[-1].end):
            continue
        read = _read(low, match)
        if read is not None:
            found.append(read)
    return found


def _places(low: str) -> list[int]:
    """Return the places where a word for a tightness may begin, in order."""
    found: set[int] = set()
    for word in _WORDS:
        at = low.find(word)
        while at >= 0:
            found.add(at if word != " home" and word != "tight" else _led_by(low, at))
            at = low.find(word, at + 1)
    return sorted(found)


def _led_by(low: str, at: int) -> int:
    """Return where the words begin that lead to ``at``: "screw it home", "hand tight"."""
    start = max(0, at - 24)
    led = _patterns()["led"].search(low[start:at])
    return at if led is None else start + led.start()


def _read(low: str, match: re.Match[str]) -> TightnessRead | None:
    patterns = _patterns()
    base = "snug" if match["snug"] else "finger-tight" if match["finger"] else "seated"
    start, end = match.span()
    before = low[max(0, start - 60) : start]
    for name, sign in (("canonical", 0), ("more", 1), ("back", -1)):
        turn = patterns[name].match(low, end)
        if turn is None or (base == "seated" and sign > 0):
            continue
        degrees = _degrees(turn)
        if degrees is None:
            continue
        if not sign:
            sign = 1 if turn["sign"] == "+" else -1
        return TightnessRead(Tightness(base, sign * degrees), start, turn.end(), True)
    past = patterns["past"].search(before)
    if past is not None:
        degrees = _degrees(past)
        if degrees is not None:
            sign = -1 if past["back"] or (" from " in past[0][-14:] and "back" in before) else 1
            if base == "seated" and sign > 0:
                return None
            return TightnessRead(
                Tightness(base, sign * degrees), start - len(before) + past.start(), end, True
            )
    if base == "seated":
        return None
    plain = base == "finger-tight" or _alone(low, start, end)
    if not plain:
        near = low[max(0, start - 60) : end + 40]
        if patterns["not"].match(low, end) or not patterns["fastened"].search(near):
            return None
    return TightnessRead(Tightness(base), start, end, plain)


def _alone(low: str, start: int, end: int) -> bool:
    """Return whether the text says a tightness and nothing else."""
    if start > 20 or len(low) - end > 20:
        return False
    before, after = low[:start].strip(), low[end:].strip(" .!")
    return before in ("", "just", "only") and after in ("", ", no more", ", not more")


def _degrees(turn: re.Match[str]) -> Fraction | None:
    by = turn["by"]
    if by is None and turn["deg"]:
        return None
    try:
        value = figure(by).value if by else Fraction(1)
    except ZeroDivisionError:
        return None
    degrees = value if turn["deg"] else value * 360
    return degrees if 0 < degrees <= 3600 else None


def parse_tightness(text: str) -> Tightness:
    """Return the tightness that the whole of ``text`` states in words.

    Shape: ``snug``, ``finger-tight + 90 deg``, ``seated - 90 deg``, or words that
    mean it.
    Raises: NotationError where the text is no such tightness.
    """
    ready = prepare(text)
    low = ready.low
    reads = tightness_in(ready)
    if reads:
        rest = low[: reads[0].start] + low[reads[0].end :]
        if not any(mark.isdigit() for mark in rest):
            return reads[0].tightness
    if low.strip() == "seated":
        return Tightness("seated")
    raise NotationError(
        f"expected a tightness such as 'snug, then an eighth of a turn', found '{text.strip()}'",
        text,
        Span(0, len(text)),
        "say snug, finger-tight or seated, and the turn from there; a figure belongs under torque",
    )
