"""Tightness said in words and turns, never turned into a made-up number."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

__all__ = ["BASES", "Tightness"]

BASES = ("snug", "finger-tight", "seated")


@dataclass(frozen=True, slots=True, order=True)
class Tightness:
    """A tightness by feel, and the turn from there.

    Shape: ``base`` is one of ``BASES``; ``turn_deg`` is positive for a further
    turn, negative for backing off, 0 for none.
    Units: degrees.
    """

    base: str
    turn_deg: Fraction = Fraction(0)

    def __post_init__(self) -> None:
        if self.base not in BASES:
            raise ValueError(f"expected one of {', '.join(BASES)}, found '{self.base}'")

    def __str__(self) -> str:
        if not self.turn_deg:
            return self.base
        turn = abs(self.turn_deg)
        shown = str(turn) if turn.denominator == 1 else f"{float(turn):.4g}"
        return f"{self.base} {'+' if self.turn_deg > 0 else '-'} {shown} deg"
