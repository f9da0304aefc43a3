"""Torques: the value, and how a text states one.

Shape of a statement: a figure, a range, a tolerance or a limit, a unit of the
closed table, and perhaps a further angle: ``8..10 N·m``, ``2 ± 0.2 N·m``,
``max 18 in-lb``, ``2 N·m + 90 deg``.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import cache, lru_cache

from kbgen.text import NotationError, Span
from kbgen.units.prepared import NUMBER, Figure, Prepared, figure, prepare, significant
from kbgen.units.spread import RANGE_MARK, bound_to_figure, spread_at
from kbgen.units.torque_units import UNITS, TorqueUnit, unit_at

__all__ = [
    "CANONICAL",
    "FORCE_ALONE",
    "NO_TORQUE",
    "PLACE",
    "Torque",
    "TorqueRead",
    "angle_at",
    "parse_torque",
    "torque_at",
    "torque_patterns",
]

NEWTON_METRE = UNITS["N·m"]
PLACE = re.compile(r"(?<![\d.,])[.,]?\d|(?<=\.\.)\d")
CANONICAL = re.compile(r"\s*(?P<low>\d+(?:\.\d+)?)?\.\.(?P<high>\d+(?:\.\d+)?)? ?n·m\s*")
NO_TORQUE = "expected a torque such as '4 N·m' or '35 lbf·in', found '{text}'"
FORCE_ALONE = "'{text}' names a force; a torque is a force on an arm"


@dataclass(frozen=True, slots=True, eq=False)
class Torque:
    """A torque, a range of torques or a limit; N·m of torque, never energy.

    Shape: ``low`` and ``high`` are as stated, in ``unit``; equal for one figure,
    None where the range is open. ``unit`` is None where the text does not say
    which. ``then_deg`` is a further turn after the torque is reached. Two
    torques are equal when their canonical forms are.
    Units: ``low_nm`` and ``high_nm`` in newton metres, ``then_deg`` in degrees.
    """

    low: Fraction | None
    high: Fraction | None
    unit: TorqueUnit | None = NEWTON_METRE
    then_deg: Fraction | None = None

    def __post_init__(self) -> None:
        if self.low is None and self.high is None:
            raise ValueError("a torque states at least one figure")
        if (self.low or 0) < 0 or (self.high or 0) < 0:
            raise ValueError("a torque is not negative")
        if self.low is not None and self.high is not None and self.low > self.high:
            raise ValueError(f"a range of torques runs upward, got {self.low}..{self.high}")

    @property
    def low_nm(self) -> Fraction | None:
        """The least torque in newton metres, None where it is open or its unit unknown."""
        return self._in_nm(self.low)

    @property
    def high_nm(self) -> Fraction | None:
        """The greatest torque in newton metres, None where it is open or its unit unknown."""
        return self._in_nm(self.high)

    def __str__(self) -> str:
        text = f"{self._figures()} N·m"
        if self.then_deg is None:
            return text
        return f"{text} + {significant(self.then_deg)} deg"

    def __eq__(self, other: object) -> bool:
        return str(self) == str(other) if isinstance(other, Torque) else NotImplemented

    def __hash__(self) -> int:
        return hash(str(self))

    def _in_nm(self, stated: Fraction | None) -> Fraction | None:
        return None if stated is None or self.unit is None else stated * self.unit.newton_metres

    def _figures(self) -> str:
        if self.unit is None:
            return "?"
        low = "" if self.low is None else _shown(self.low, self.unit.name)
        high = "" if self.high is None else _shown(self.high, self.unit.name)
        return low if low == high else f"{low}..{high}"


@lru_cache(maxsize=1024)
def _shown(stated: Fraction, unit: str) -> str:
    """Return a figure in ``unit`` as newton metres to four figures."""
    return significant(stated * UNITS[unit].newton_metres)


@dataclass(frozen=True, slots=True)
class TorqueRead:
    """A torque read in a text, with what its comparison needs.

    Shape: ``start`` and ``end`` in the prepared text; ``low_figure`` and
    ``high_figure`` as written, None where open; ``doubtful`` marks a unit that
    is a torque only where a tightness is spoken of.
    """

    torque: Torque
    start: int
    end: int
    low_figure: Figure | None
    high_figure: Figure | None
    doubtful: bool
    unit_start: int
    unit_end: int


@cache
def torque_patterns() -> dict[str, re.Pattern[str]]:
    """Return the patterns that torques are read with, by name."""
    number = NUMBER
    most = (
        r"max(?:imum)?\.?|at (?:the )?(?:very )?most|(?:no|not) (?:more|greater|higher|tighter"
        r"|harder) than|(?:not|never|don't)"
        r" (?:[a-z]+ (?:it |them |the [a-z]+ )?)?(?:over|above|past|beyond)|(?:do not|don't"
        r"|never|must not|should not|not|without)"
        r" (?:to )?exceed(?:ing)?|up to|less than|under|below|<=?|[≤≦⩽]|(?:upper )?limit(?:ed)?"
        r"|(?<![.\w])\.\."
    )
    least = (
        r"min(?:imum)?\.?|at (?:the )?(?:very )?least|(?:no|not) (?:less|lower|looser) than"
        r"|not (?:under|below)|more than|over|above|>=?|[≥≧⩾]|lower limit"
    )
    link = r"(?: tightening)?(?: torque)?(?: setting)?(?: of| is| at| to|:| =)?(?: about)? ?"
    return {
        "number": re.compile(number),
        "range": re.compile(
            rf" ?(?:{RANGE_MARK}) ?(?={number})| (?:to|and|or|up to|through) (?={number})"
        ),
        "again": re.compile(rf" ?(?:{RANGE_MARK}) ?(?=\d)| (?:to|up to) (?=\d)|(?<!or) and (?=\d)"),
        "most": re.compile(rf"(?<![a-z])(?:{most}){link}$"),
        "least": re.compile(rf"(?<![a-z])(?:{least}){link}$"),
        "most_after": re.compile(
            rf",? ?\(?(?:max(?:imum)?\b(?!\.?{link}[.\d])\.?|at (?:the )?(?:very )?most\b"
            rf"(?!{link}[.\d])|or (?:less|lower|under"
            r"|below)\b|tops\b|and no (?:more|higher|tighter)\b|(?:upper )?limit\b"
            r"|is the (?:limit|most|maximum)\b)\)?"
        ),
        "least_after": re.compile(
            rf",? ?\(?(?:min(?:imum)?\b(?!\.?{link}[.\d])\.?|at (?:the )?(?:very )?least\b"
            rf"(?!{link}[.\d])|or (?:more"
            r"|higher|over|above)\b|and no less\b|is the (?:least|minimum)\b)\)?"
        ),
        "angle": re.compile(
            r",? ?(?:\+|plus|(?:and )?then|followed by|and(?: then)?|&)"
            r"(?: (?:turn|rotate|tighten|go|give|it|by|through|on|another|a|an|further|one|more"
            r"|the))*"
            rf" ?(?P<by>{number})(?:[ -]?(?P<deg>°|deg(?:rees?)?\b\.?)"
            r"|(?:st|nd|th)?[ -](?:of )?(?:an? )?(?:further |more )?(?P<turn>turns?\b"
            r"|revolutions?\b))(?! (?:back|off|out)\b)"
        ),
    }


def angle_at(low: str, at: int) -> tuple[Fraction, int] | None:
    """Return the further turn that follows at ``at``, in degrees, and where it ends.

    Shape: the steps of a turn said in several are added up.
    """
    turned, end = Fraction(0), at
    while (match := torque_patterns()["angle"].match(low, end)) is not None:
        by = _safe(match["by"])
        if by is None:
            break
        turned += by.value if match["deg"] else by.value * 360
        end = match.end()
    return (turned, end) if end > at else None


def torque_at(ready: Prepared, at: int) -> TorqueRead | None:
    """Return the torque whose first figure begins at ``at``; None where none does."""
    low, plain = ready.low, ready.plain
    quantity = _quantity(plain, low, at)
    if quantity is None or bound_to_figure(low, at):
        return None
    figures, unit_start = quantity
    read = unit_at(plain, low, unit_start)
    assert read is not None
    low_figure: Figure | None = figures[0]
    high_figure: Figure | None = figures[1]
    start, end = at, read.end
    spread = spread_at(low, end)
    if spread is not None and low_figure == high_figure and low_figure is not None:
        low_figure, high_figure = spread.of(low_figure)
        end = spread.end
        again = unit_at(plain, low, end)
        if again is not None and again.unit == read.unit and not spread.shares:
            end = again.end
        end = spread.closed(low, end)
    if low_figure == high_figure:
        after_unit = _second_with_unit(plain, low, end, read.unit)
        if after_unit is not None and low_figure is not None:
            second, end = after_unit
            if second.value >= low_figure.value:
                high_figure = second
        else:
            start, end, low_figure, high_figure = _limited(low, start, end, low_figure)
    if low_figure and high_figure and low_figure.value > high_figure.value:
        low_figure, high_figure = high_figure, low_figure
    then = angle_at(low, end)
    if then is not None:
        end = then[1]
    torque = Torque(
        low_figure.value if low_figure else None,
        high_figure.value if high_figure else None,
        read.unit,
        then[0] if then else None,
    )
    return TorqueRead(
        torque, start, end, low_figure, high_figure, read.doubtful, unit_start, read.end
    )


def _quantity(plain: str, low: str, at: int) -> tuple[tuple[Figure, Figure | None], int] | None:
    """Return the figures before a unit, and where the unit begins; None where none does."""
    patterns = torque_patterns()
    first = patterns["number"].match(low, at)
    if first is None:
        return None
    end = first.end()
    one = _safe(first[0]) if _unit_follows(plain, low, end) else None
    if one is not None:
        return (one, one), end
    if low.startswith("..", end) and _unit_follows(plain, low, end + 2):
        least = _safe(first[0])
        return None if least is None else ((least, None), end + 2)
    spread = spread_at(low, end)
    if spread is not None:
        end = spread.closed(low, spread.end)
        one = _safe(first[0]) if _unit_follows(plain, low, end) else None
        return None if one is None else (spread.of(one), end)
    between = patterns["range"].match(low, end)
    second = patterns["number"].match(low, between.end()) if between else None
    if second is None or unit_at(plain, low, second.end()) is None:
        return None
    one, other = _safe(first[0]), _safe(second[0])
    return None if one is None or other is None else ((one, other), second.end())


def _unit_follows(plain: str, low: str, end: int) -> bool:
    return unit_at(plain, low, end) is not None


def _safe(written: str) -> Figure | None:
    try:
        return figure(written)
    except ZeroDivisionError:
        return None


def _second_with_unit(
    plain: str, low: str, end: int, unit: TorqueUnit | None
) -> tuple[Figure, int] | None:
    """Return the upper figure of a range that states its unit twice: ``8 N·m to 10 N·m``."""
    between = torque_patterns()["again"].match(low, end)
    if between is None or (" and " in between[0] and "between" not in low[max(0, end - 40) : end]):
        return None
    second = torque_patterns()["number"].match(low, between.end())
    figure_read = _safe(second[0]) if second else None
    if second is None or figure_read is None:
        return None
    read = unit_at(plain, low, second.end())
    if read is None or read.unit != unit:
        return None
    return figure_read, read.end


def _limited(
    low: str, start: int, end: int, one: Figure | None
) -> tuple[int, int, Figure | None, Figure | None]:
    """Return the stretch and the figures of a torque stated with a limit."""
    patterns = torque_patterns()
    before = low[max(0, start - 60) : start]
    limits = [(patterns[name].search(before), name) for name in ("most", "least")]
    found = [(match.start(), name) for match, name in limits if match is not None]
    if found:
        # "no less than" holds "less than": the longer of the two is what was said.
        at, name = min(found)
        figures = (None, one) if name == "most" else (one, None)
        return start - len(before) + at, end, *figures
    after = patterns["most_after"].match(low, end)
    if after is not None:
        return start, after.end(), None, one
    after = patterns["least_after"].match(low, end)
    if after is not None:
        return start, after.end(), one, None
    return start, end, one, one


def parse_torque(text: str) -> Torque:
    """Return the torque that the whole of ``text`` states.

    Shape: a figure, a range, a tolerance or a limit with its unit.
    Raises: NotationError where the text is no torque, or names a force for one.
    """
    ready = prepare(text)
    low = ready.low
    canonical = _canonical(low)
    if canonical is not None:
        return canonical
    for place in (match.start() for match in PLACE.finditer(low)):
        read = torque_at(ready, place)
        if read is None:
            break
        if not low[: read.start].strip(" ~") and not low[read.end :].strip(" ."):
            if read.torque.unit is None:
                raise NotationError(
                    FORCE_ALONE.format(text=text.strip()),
                    text,
                    ready.span(read.unit_start, read.unit_end),
                    "write N·m, lbf·ft or lbf·in",
                )
            return read.torque
        break
    raise NotationError(
        NO_TORQUE.format(text=text.strip()),
        text,
        Span(0, len(text)),
        "a figure and a unit of torque; a tightness in words belongs under tightness",
    )


def _canonical(low: str) -> Torque | None:
    """Return the torque of the open canonical forms ``..2 N·m`` and ``1.. N·m``."""
    match = CANONICAL.fullmatch(low)
    if match is None or (match["low"] is None and match["high"] is None):
        return None
    least, most = (Fraction(side) if side else None for side in match.group("low", "high"))
    return Torque(least, most) if least is None or most is None or least <= most else None
