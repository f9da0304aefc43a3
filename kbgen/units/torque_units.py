"""The units of torque and their spellings: a closed table, no prefix algebra.

Source of the factors: NIST SP 811, appendix B.8, and the exact definitions
behind it (lbf = 4.4482216152605 N, kgf = 9.80665 N, in = 25.4 mm).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

__all__ = ["UNITS", "TorqueUnit", "UnitRead", "unit_at"]

_LBF = Fraction("4.4482216152605")
_KGF = Fraction("9.80665")
_INCH = Fraction("0.0254")


@dataclass(frozen=True, slots=True)
class TorqueUnit:
    """A unit of torque. Units: ``newton_metres`` is the worth of one."""

    name: str
    newton_metres: Fraction


@dataclass(frozen=True, slots=True)
class UnitRead:
    """A unit read in a text.

    Shape: ``unit`` is None where the spelling names a force or nothing that
    could be told (``12 lb``); ``doubtful`` marks a spelling that is a torque
    only where a tightness is spoken of (``nm``, ``lb/ft``).
    """

    unit: TorqueUnit | None
    end: int
    doubtful: bool = False


UNITS: dict[str, TorqueUnit] = {
    name: TorqueUnit(name, worth)
    for name, worth in (
        ("N·m", Fraction(1)),
        ("cN·m", Fraction(1, 100)),
        ("mN·m", Fraction(1, 1000)),
        ("N·cm", Fraction(1, 100)),
        ("N·mm", Fraction(1, 1000)),
        ("lbf·ft", _LBF * 12 * _INCH),
        ("lbf·in", _LBF * _INCH),
        ("ozf·in", _LBF / 16 * _INCH),
        ("kgf·m", _KGF),
        ("kgf·cm", _KGF / 100),
        ("gf·cm", _KGF / 100_000),
    )
}

_DOT = r"\.?(?: ?[·.*x-] ?| )?"
_METRE = r"met(?:re|er)s?"
_POUND = r"(?:lbs?f?|pounds?(?:[ -]force)?)"
_FOOT = r"(?:ft|feet|foot)"
_INCHES = r"(?:inch(?:es)?|ins?)"
_OUNCE = r"(?:ozs?f?|ounces?(?:[ -]force)?)"
_KILO = r"(?:kg[fs]?|kp|kilo(?:gram(?:me)?)?s?(?:[ -]force)?|kiloponds?)"
_GRAM = r"(?:gf|g|gram(?:me)?s?(?:[ -]force)?)"

# Longest and most particular spellings first; the group is the unit's place in
# UNITS. All of it in small letters: what capitals decide is looked at afterwards.
SPELLINGS: tuple[tuple[str, str], ...] = (
    ("cN·m", rf"cn{_DOT}m|centi[ -]?newtons?[ -]?{_METRE}"),
    ("mN·m", rf"mn{_DOT}m|milli[ -]?newtons?[ -]?{_METRE}"),
    ("N·cm", rf"n{_DOT}cm|newtons?[ -]?centi{_METRE}"),
    ("N·mm", rf"n{_DOT}mm|newtons?[ -]?milli{_METRE}"),
    ("N·m", rf"n{_DOT}m|newtons?{_DOT}{_METRE}|newtons?{_DOT}m"),
    ("lbf·ft", rf"{_POUND}{_DOT}{_FOOT}|{_FOOT}{_DOT}{_POUND}"),
    ("lbf·in", rf"{_POUND}{_DOT}{_INCHES}|{_INCHES}{_DOT}{_POUND}"),
    ("ozf·in", rf"{_OUNCE}{_DOT}{_INCHES}|{_INCHES}{_DOT}{_OUNCE}"),
    ("kgf·cm", rf"{_KILO}{_DOT}(?:cm|centi{_METRE})|(?:cm|centi{_METRE}){_DOT}{_KILO}"),
    ("kgf·m", rf"{_KILO}{_DOT}(?:m|{_METRE})|(?:m|{_METRE})[·.*-]?{_KILO}"),
    ("gf·cm", rf"{_GRAM}{_DOT}(?:cm|centi{_METRE})|cm[·.*-]?gf?"),
)
# Read as the torque only where a tightness is spoken of.
DOUBTFUL: tuple[tuple[str, str], ...] = (
    ("lbf·ft", rf"{_POUND} ?(?:/|per) ?{_FOOT}|{_FOOT} ?(?:/|per) ?{_POUND}"),
    ("lbf·in", rf"{_POUND} ?(?:/|per) ?{_INCHES}|{_INCHES} ?(?:/|per) ?{_POUND}"),
    ("ozf·in", rf"{_OUNCE} ?(?:/|per) ?{_INCHES}|{_INCHES} ?(?:/|per) ?{_OUNCE}"),
    ("kgf·cm", rf"{_KILO} ?(?:/|per) ?cm"),
    ("kgf·m", rf"{_KILO} ?(?:/|per) ?m"),
)
# A force alone, where a torque was meant: which arm, nobody can tell.
_FORCES = rf"{_POUND}|{_KILO}|{_OUNCE}|newtons?|n"


@cache
def unit_patterns() -> tuple[re.Pattern[str], re.Pattern[str], re.Pattern[str]]:
    def joined(rows: tuple[tuple[str, str], ...]) -> str:
        return "|".join(f"(?P<u{place}>{spelling})" for place, (_, spelling) in enumerate(rows))

    end = r"(?![a-z0-9²³])"
    gap = r"(?: of)?(?: an?)?[ -]?"
    return (
        re.compile(rf"{gap}(?:{joined(SPELLINGS)}){end}"),
        re.compile(rf"{gap}(?:{joined(DOUBTFUL)}){end}"),
        re.compile(rf"{gap}(?:{_FORCES}){end}"),
    )


@cache
def preposition_pattern() -> re.Pattern[str]:
    # "12 lb in the box" is a weight and a preposition; "12 lb in on the nut" is a torque.
    return re.compile(
        r" in (?!(?:of|for|on|to|and|or|is|at|max|min|then|plus|torque|maximum|not|with|if|dry"
        r"|when|but|as|than|per)\b)[a-z]"
    )


def unit_at(plain: str, low: str, at: int) -> UnitRead | None:
    """Return the unit of torque that begins at ``at``, behind its number; None where none does."""
    certain, doubtful, forces = unit_patterns()
    match = certain.match(low, at)
    if match is not None:
        assert match.lastgroup is not None
        name = SPELLINGS[int(match.lastgroup[1:])][0]
        written = plain[at : match.end()].lstrip(" -")
        if name in ("lbf·in", "ozf·in"):
            place = low.find(" in", at, match.end())
            if place > 0 and preposition_pattern().match(low, place) and match[0].endswith(" in"):
                return None
        small = name == "N·m" and (written.startswith("n") and len(written) <= 3)
        great = name == "N·m" and written.replace(" ", "") == "NM"
        if name == "mN·m" and written.startswith(("M", "mn")):
            return None
        return UnitRead(UNITS[name], match.end(), small or great)
    match = doubtful.match(low, at)
    if match is not None:
        assert match.lastgroup is not None
        name = DOUBTFUL[int(match.lastgroup[1:])][0]
        return UnitRead(UNITS[name], match.end(), True)
    match = forces.match(low, at)
    return None if match is None else UnitRead(None, match.end(), True)
