"""Tolerances around a figure: ``± 1``, ``+/- 10 %``, ``(±1)``, ``+1/-0``, ``+0 -2``."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from kbgen.units.prepared import NUMBER, Figure, figure

__all__ = ["RANGE_MARK", "Spread", "bound_to_figure", "spread_at"]

# What stands between the two figures of a range. The tilde and the division sign
# are the range marks of Japanese and of Scandinavian and Italian sheets.
RANGE_MARK = r"-|\.{2,3}|…|~|÷"


@dataclass(frozen=True, slots=True)
class Spread:
    """How far a figure may lie below and above what is stated.

    Shape: ``below`` and ``above`` are not negative, in the unit of the figure or
    as shares of it where ``shares`` says so; ``opened`` where a bracket stands
    before it that is still to close; ``end`` is where the last figure ends.
    """

    below: Fraction
    above: Fraction
    shares: bool
    opened: bool
    end: int

    def of(self, one: Figure) -> tuple[Figure, Figure]:
        """Return the least and the greatest figure around ``one``."""
        by = one.value if self.shares else Fraction(1)
        least = max(Fraction(0), one.value - by * self.below)
        return Figure(least, one.slack), Figure(one.value + by * self.above, one.slack)

    def closed(self, low: str, end: int) -> int:
        """Return where a spread ends whose last word ends at ``end``: behind its bracket."""
        return end + 1 if self.opened and low[end : end + 1] == ")" else end


@cache
def spread_patterns() -> tuple[re.Pattern[str], ...]:
    share = r"(?: ?(?P<share>%|per ?cent\b))?"
    return (
        re.compile(
            rf" ?(?P<open>\()?(?:±|\+ ?/ ?-|\+-|plus[ -]or[ -]minus|plus[-/]minus) ?"
            rf"(?P<both>{NUMBER}){share}"
        ),
        re.compile(
            rf" ?(?P<open>\()?\+ ?(?P<above>{NUMBER})(?: ?%)? ?[/,;]? ?- ?"
            rf"(?P<below>{NUMBER}){share}"
        ),
        re.compile(
            rf" ?(?P<open>\()?-(?P<below>{NUMBER})(?: ?%)? ?[/,;]? ?\+ ?(?P<above>{NUMBER}){share}"
        ),
    )


@cache
def bound_pattern() -> re.Pattern[str]:
    return re.compile(r"\d ?(?:[+±÷]|/ ?[+-]) ?$")


def spread_at(low: str, at: int) -> Spread | None:
    """Return the tolerance that begins at ``at``, right behind a figure or its unit."""
    match = next((m for pattern in spread_patterns() if (m := pattern.match(low, at))), None)
    if match is None:
        return None
    sides = match.groupdict()
    try:
        below = figure(sides.get("both") or sides["below"]).value
        above = figure(sides.get("both") or sides["above"]).value
    except ZeroDivisionError:
        return None
    worth = Fraction(1, 100) if match["share"] else Fraction(1)
    return Spread(
        below * worth, above * worth, bool(match["share"]), bool(match["open"]), match.end()
    )


def bound_to_figure(low: str, at: int) -> bool:
    """Return whether a sign binds the figure at ``at`` to one before it: it says nothing alone."""
    return bound_pattern().search(low[max(0, at - 5) : at]) is not None
