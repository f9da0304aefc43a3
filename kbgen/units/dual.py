"""Statements in two units, held to each other at the precision written."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache

from kbgen.text import NotationError
from kbgen.units.length import MM, LengthRead, length_at
from kbgen.units.prepared import Figure, Prepared, prepare, significant
from kbgen.units.torque import PLACE, Torque, TorqueRead, angle_at, parse_torque, torque_at
from kbgen.units.torque_units import UNITS, TorqueUnit
from kbgen.units.verdict import Objection

__all__ = [
    "DISAGREE",
    "LOOK_AGAIN",
    "POINT_SLIPPED",
    "ROUNDING",
    "SLIPS",
    "TENS",
    "WOULD_AGREE",
    "Dual",
    "between_pattern",
    "dual_length",
    "dual_torque",
    "parse_torque_stated",
    "torques_agree",
]

# What floating point may add to a sum of two products; far below any written figure.
ROUNDING = 1e-9

# Slips that are made, and what they do: stated unit, unit that was meant, in words.
SLIPS = (
    ("lbf·ft", "lbf·in", "foot was written for inch"),
    ("lbf·in", "lbf·ft", "inch was written for foot"),
    ("N·m", "cN·m", "a centi was lost"),
    ("N·m", "mN·m", "a milli was lost"),
    ("cN·m", "N·m", "a centi too many"),
    ("mN·m", "N·m", "a milli too many"),
    ("N·m", "kgf·m", "N was written for kgf"),
    ("kgf·m", "N·m", "kgf was written for N"),
    ("kgf·cm", "N·cm", "kgf was written for N"),
    ("N·cm", "kgf·cm", "N was written for kgf"),
    ("kgf·m", "kgf·cm", "metre was written for centimetre"),
    ("kgf·cm", "kgf·m", "centimetre was written for metre"),
    ("N·m", "N·cm", "metre was written for centimetre"),
    ("N·m", "kgf·cm", "N·m was written for kgf·cm"),
    ("kgf·cm", "N·m", "kgf·cm was written for N·m"),
    ("lbf·in", "ozf·in", "pound was written for ounce"),
    ("ozf·in", "lbf·in", "ounce was written for pound"),
    ("N·m", "lbf·ft", "N·m was written for lbf·ft"),
    ("N·m", "lbf·in", "N·m was written for lbf·in"),
    ("lbf·ft", "N·m", "lbf·ft was written for N·m"),
    ("lbf·in", "N·m", "lbf·in was written for N·m"),
)
TENS = ((Fraction(10), "ten times too great"), (Fraction(1, 10), "ten times too small"))

DISAGREE = "{first} {unit} is {converted} {other}, not {second} (NIST SP 811)"
WOULD_AGREE = "{figure} {meant} would agree: {words}; correct one of the two"
POINT_SLIPPED = "the second figure is {words}: the point slipped; correct one of the two"
LOOK_AGAIN = "look the figure up again and correct one of the two"


@dataclass(frozen=True, slots=True)
class Dual:
    """A second statement of the same value, in another unit.

    Shape: ``end`` is where the whole statement ends; ``start`` and ``stop`` is
    where the second figure stands; ``message`` is empty where both agree.
    """

    end: int
    start: int
    stop: int
    message: str = ""
    hint: str = ""

    @property
    def agrees(self) -> bool:
        """Whether the two statements say the same at the precision written."""
        return not self.message


@cache
def between_pattern() -> re.Pattern[str]:
    """Return what leads from a value to the same value in another unit."""
    return re.compile(
        r"(?P<mark> ?[(\[] ?| ?/ ?| ?= ?| ?[≈~] ?| or |,? (?:that is|i\.e\.?|which is|being"
        r"|equals),? |, | - )"
        r"(?:or |about |approx(?:imately|\.)? ?|roughly |some |equals |= ?|≈ ?|~ ?|that is,? "
        r"|i\.e\.,? |ca?\. ?|circa |nominally |equal to |max\.? |maximum |no more than |at most "
        r"|up to )*(?=[\d.])"
    )


def dual_torque(ready: Prepared, first: TorqueRead) -> Dual | None:
    """Return the second statement behind ``first``, None where none is made."""
    found: Dual | None = None
    end, opened = first.end, ""
    while (match := between_pattern().match(ready.low, end)) is not None:
        second = torque_at(ready, match.end())
        if second is None or second.torque.unit in (None, first.torque.unit):
            break
        agrees = torques_agree(first, second)
        if match["mark"] in (", ", " - ") and not agrees and found is None:
            break
        opened = opened or match["mark"].strip()
        end = _closed(ready.low, opened, second.end)
        if found is None or (found.agrees and not agrees):
            message, hint = ("", "") if agrees else _torque_message(first, second)
            found = Dual(end, match.end(), second.end, message, hint)
        else:
            found = Dual(end, found.start, found.stop, found.message, found.hint)
    return found


def _closed(low: str, mark: str, end: int) -> int:
    closing = {"(": ")", "[": "]"}.get(mark.strip()[:1])
    return end + 1 if closing and low[end : end + 1] == closing else end


def torques_agree(first: TorqueRead, second: TorqueRead) -> bool:
    """Return whether two torques are the same at the precision each is written with."""
    assert first.torque.unit is not None
    assert second.torque.unit is not None
    return all(
        _meet(one, first.torque.unit.newton_metres, two, second.torque.unit.newton_metres)
        for one, two in _sides(first, second)
    )


def _sides(first: TorqueRead, second: TorqueRead) -> Iterator[tuple[Figure, Figure]]:
    """Yield the figures to hold to each other; a limit is held to the figure it limits."""
    for one, two in (
        (first.low_figure, second.low_figure),
        (first.high_figure, second.high_figure),
    ):
        if one is not None and two is not None:
            yield one, two


def _meet(one: Figure, worth: Fraction, two: Figure, other_worth: Fraction) -> bool:
    """Return whether two figures can be one value: what each was rounded by bridges the gap."""
    first, second = float(worth), float(other_worth)
    apart = abs(float(one.value) * first - float(two.value) * second)
    return apart <= (float(one.slack) * first + float(two.slack) * second) * (1 + ROUNDING)


def _torque_message(first: TorqueRead, second: TorqueRead) -> tuple[str, str]:
    one, two = first.torque.unit, second.torque.unit
    assert one is not None
    assert two is not None
    message = DISAGREE.format(
        first=_shown(first),
        unit=one.name,
        converted=_converted(first, one, two),
        other=two.name,
        second=_shown(second),
    )
    for stated, meant, words in SLIPS:
        if stated == two.name and _agree_as(first, one, second, UNITS[meant]):
            return message, WOULD_AGREE.format(figure=_shown(second), meant=meant, words=words)
        if stated == one.name and _agree_as(first, UNITS[meant], second, two):
            return message, WOULD_AGREE.format(figure=_shown(first), meant=meant, words=words)
    for factor, words in TENS:
        if _agree_as(first, one, second, TorqueUnit("", two.newton_metres / factor)):
            return message, POINT_SLIPPED.format(words=words)
    return message, LOOK_AGAIN


def _agree_as(first: TorqueRead, one: TorqueUnit, second: TorqueRead, two: TorqueUnit) -> bool:
    return all(_meet(a, one.newton_metres, b, two.newton_metres) for a, b in _sides(first, second))


def _shown(read: TorqueRead) -> str:
    low, high = read.torque.low, read.torque.high
    shown = [significant(side, 6) for side in (low, high) if side is not None]
    return "..".join(dict.fromkeys(shown))


def _converted(read: TorqueRead, one: TorqueUnit, two: TorqueUnit) -> str:
    factor = one.newton_metres / two.newton_metres
    sides = (read.torque.low, read.torque.high)
    return "..".join(
        dict.fromkeys(significant(side * factor, 3) for side in sides if side is not None)
    )


def parse_torque_stated(text: str) -> tuple[Torque, tuple[Objection, ...]]:
    """Return the torque that the whole of ``text`` states, and what stands against it.

    Shape: as ``parse_torque``, or the same torque in two units, ``12 N·m (9 lbf·ft)``: the
    first figure counts, and a second that disagrees is objected to.
    Raises: NotationError where the text is no torque.
    """
    try:
        return parse_torque(text), ()
    except NotationError:
        ready = prepare(text)
        place = PLACE.search(ready.low)
        read = torque_at(ready, place.start()) if place else None
        if read is None or read.torque.unit is None or ready.low[: read.start].strip(" ~"):
            raise
        dual = dual_torque(ready, read)
        if dual is None:
            raise
        torque, end = read.torque, dual.end
        if torque.then_deg is None and (then := angle_at(ready.low, end)):
            torque, end = replace(torque, then_deg=then[0]), then[1]
        if ready.low[end:].strip(" ."):
            raise
        second = ready.span(dual.start, dual.stop)
        made = Objection("torque-units-disagree", dual.message, dual.hint, second)
        return torque, () if dual.agrees else (made,)


def dual_length(ready: Prepared, first: LengthRead) -> Dual | None:
    """Return the second statement behind ``first``, None where none is made."""
    match = between_pattern().match(ready.low, first.end)
    if match is None or match["mark"] in (", ", " - "):
        return None
    second = length_at(ready, match.end())
    if second is None or _metric(second.unit) is _metric(first.unit):
        return None
    agrees = all(
        _meet(one, MM[first.unit], two, MM[second.unit])
        for one, two in (
            (first.low_figure, second.low_figure),
            (first.high_figure, second.high_figure),
        )
    )
    mark = match["mark"].strip()
    if mark in ("/", "or") and not agrees:
        return None
    end = _closed(ready.low, match["mark"], second.end)
    if agrees:
        return Dual(end, match.end(), second.end)
    message = (
        f"{_length(first)} is {_length(first, second.unit)}, not {_length(second)} (NIST SP 811)"
    )
    return Dual(end, match.end(), second.end, message, "measure again and correct one of the two")


def _metric(unit: str) -> bool:
    return unit in ("mm", "cm", "m", "µm")


def _length(read: LengthRead, unit: str | None = None) -> str:
    worth = MM[unit or read.unit]
    sides = (read.length.low_mm / worth, read.length.high_mm / worth)
    shown = dict.fromkeys(significant(side) for side in sides)
    return f"{'..'.join(shown)} {unit or read.unit}"
