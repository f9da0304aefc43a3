"""Lengths: the value, its canonical form in millimetres."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from kbgen.units.prepared import significant

__all__ = ["Length"]


@dataclass(frozen=True, slots=True, eq=False)
class Length:
    """A length or a range of lengths.

    Shape: ``low_mm`` and ``high_mm`` are equal where one length was stated.
    Two lengths are equal when their canonical forms are.
    Units: millimetres, exact. Source: NIST SP 811 (the inch is 25.4 mm).
    """

    low_mm: Fraction
    high_mm: Fraction

    def __post_init__(self) -> None:
        if not 0 <= self.low_mm <= self.high_mm:
            raise ValueError(f"a length runs upward from 0, got {self.low_mm}..{self.high_mm} mm")

    def __str__(self) -> str:
        low, high = _micrometre(self.low_mm), _micrometre(self.high_mm)
        return f"{low} mm" if low == high else f"{low}..{high} mm"

    def __eq__(self, other: object) -> bool:
        return str(self) == str(other) if isinstance(other, Length) else NotImplemented

    def __hash__(self) -> int:
        return hash(str(self))


def _micrometre(value: Fraction) -> str:
    """Return millimetres to the micrometre, or to four figures where that is finer."""
    over, under = value.numerator, value.denominator
    if over < under:
        return significant(value)
    whole = (2000 * over + under) // (2 * under)
    return f"{whole // 1000}.{whole % 1000:03d}".rstrip("0").rstrip(".")
