"""A thread as its designation states it: the value, its canonical form, its size and pitch.

Sources of the sizes: ASME B1.1 (number sizes, 0.060 in + 0.013 in a number),
BS 93 (BA: p = 0.9^N mm, d = 6 p^1.2 mm, pitches and diameters as tabled),
ISO 261, JIS B 0226, ASME B1.20.1, ISO 228-1.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

__all__ = ["System", "Thread"]

MM_PER_INCH = Fraction(254, 10)


class System(StrEnum):
    """The family of standards that a designation belongs to."""

    UNIFIED = "unified"
    METRIC = "metric"
    WHITWORTH = "BSW"
    BSF = "BSF"
    BA = "BA"
    BRASS = "BSB"
    CYCLE = "BSCy"
    SEWING = "SM"
    NPT = "NPT"
    NPS = "NPS"
    NPSM = "NPSM"
    PIPE = "G"
    HOUSE = "house"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True, order=True)
class Thread:
    """A thread designation, whole or said in part.

    Shape: ``size`` is written as the system writes it: ``1/4``, ``1 1/8`` or a
    number size ``10`` (unified); ``6`` (metric, millimetres); ``4`` (BA);
    ``9/64`` (sewing); ``1/8`` (pipe). It is None where only a pitch was said.
    ``tpi`` is for inch threads and BA has neither; ``pitch`` (mm) is for metric
    and for house threads stated by pitch; both None where no pitch was said.
    ``series`` is what was stated (UNC, UNF, UNEF, UN, UNS ...), ``fit_class``
    the class of fit (2A, 6g ...). ``inch_size`` tells a house or unknown size
    in inches from one in millimetres.
    """

    system: System
    size: str | None
    tpi: Fraction | None = None
    pitch: Decimal | None = None
    series: str | None = None
    fit_class: str | None = None
    left_hand: bool = False
    inch_size: bool = True

    @property
    def hand(self) -> str:
        """The hand of the helix, ``right`` or ``left``."""
        return "left" if self.left_hand else "right"
