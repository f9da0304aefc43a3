"""Whether two statements of one place can both be true, at the precision they are written in."""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction

from kbgen.units import Length, Stated, System, Thread, Tightness, Torque, dimensions

__all__ = ["agree"]

_SAME_MM = 0.005
_SERIES_SAID = re.compile(
    r"UN|NC|NF|NS|BS|BA|SM|NP|\bW|whit|house|brass|cycle|^\s*M|^\s*G\d|mm", re.IGNORECASE
)
_NUMBER = re.compile(r"\d+(?:[.,](?P<decimals>\d+))?")


def agree(said: Stated, held: Stated) -> bool:
    """Return whether what is said leaves room for what is held to be right.

    What is said in part (a pitch alone, no hand) is held only to that part; the
    names of series are compared where both are written.
    """
    one, other = said.value, held.value
    if isinstance(one, Thread) and isinstance(other, Thread):
        return _threads(one, other, _named(said) and _named(held))
    if isinstance(one, Torque) and isinstance(other, Torque):
        if one.then_deg and other.then_deg and one.then_deg != other.then_deg:
            return False
        return _overlap(
            (one.low_nm, one.high_nm), (other.low_nm, other.high_nm), _slack(said, held)
        )
    if isinstance(one, Length) and isinstance(other, Length):
        return _overlap(
            (one.low_mm, one.high_mm), (other.low_mm, other.high_mm), _slack(said, held)
        )
    if isinstance(one, Tightness) and isinstance(other, Tightness):
        return not one.turn_deg or not other.turn_deg or one.turn_deg == other.turn_deg
    return True


def _named(stated: Stated) -> bool:
    return _SERIES_SAID.search(stated.as_written) is not None


def _threads(said: Thread, held: Thread, named: bool) -> bool:
    if said.left_hand and not held.left_hand:
        return False
    if (
        named
        and said.system is not held.system
        and System.UNKNOWN not in (said.system, held.system)
    ):
        return False
    if said.system is System.BA or held.system is System.BA:
        return said.system is held.system and said.size == held.size
    if said.tpi is None and said.pitch is None:
        said = replace(said, tpi=held.tpi, pitch=held.pitch)
    elif held.tpi is None and held.pitch is None:
        held = replace(held, tpi=said.tpi, pitch=said.pitch)
    if said.size is None or held.size is None:
        return _close(_pitch_mm(said), _pitch_mm(held))
    try:
        one, other = dimensions(said), dimensions(held)
    except ValueError:  # a size that no table holds: compared as written
        return said.size == held.size and _close(_pitch_mm(said), _pitch_mm(held))
    return _close(one.major_mm, other.major_mm) and _close(one.pitch_mm, other.pitch_mm)


def _pitch_mm(thread: Thread) -> float | None:
    if thread.pitch is not None:
        return float(thread.pitch)
    return 25.4 / float(thread.tpi) if thread.tpi is not None else None


def _close(one: float | None, other: float | None) -> bool:
    return one is None or other is None or abs(one - other) < _SAME_MM


Ends = tuple[Fraction | None, Fraction | None]


def _overlap(one: Ends, other: Ends, slack: Fraction) -> bool:
    """Return whether two ranges meet, each widened by ``slack``, a share of itself."""
    (low, high), (other_low, other_high) = one, other
    below = high is not None and other_low is not None and high * (1 + slack) < other_low
    above = low is not None and other_high is not None and low * (1 - slack) > other_high
    return not below and not above


def _slack(one: Stated, other: Stated) -> Fraction:
    """Return how far two figures may differ by rounding: nothing where their units are the same."""
    if _unit(one.as_written) == _unit(other.as_written):
        return Fraction(1, 1000)
    return _half_a_place(one.as_written) + _half_a_place(other.as_written)


def _unit(text: str) -> str:
    """Return the first unit of a figure as written, without points and blanks."""
    words = [re.sub(r"[\s·.\-]", "", word.lower()) for word in re.split(r"[\d,()±/]+", text)]
    return next((word for word in words[1:] if word), "")


def _half_a_place(text: str) -> Fraction:
    number = _NUMBER.search(text)
    if number is None:
        return Fraction(1, 20)
    value = Fraction(number[0].replace(",", "."))
    place = Fraction(1, 10 ** len(number["decimals"] or ""))
    return place / (2 * value) if value else Fraction(0)
