"""A thread as its designation states it: the value, its canonical form, its size and pitch.

Sources of the sizes: ASME B1.1 (number sizes, 0.060 in + 0.013 in a number),
BS 93 (BA: p = 0.9^N mm, d = 6 p^1.2 mm, pitches and diameters as tabled),
ISO 261, JIS B 0226, ASME B1.20.1, ISO 228-1.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from functools import cache, total_ordering

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


# The systems whose name stands behind size and pitch.
_NAMED_BEHIND = frozenset(
    {
        *(System.WHITWORTH, System.BSF, System.BRASS, System.CYCLE),
        *(System.NPT, System.NPS, System.NPSM),
    }
)
_PLACE = {system: place for place, system in enumerate(System)}


@total_ordering
@dataclass(frozen=True, slots=True)
class Thread:
    """A thread designation, whole or said in part.

    Shape: ``size`` is written as the system writes it: ``1/4``, ``1 1/8`` or a
    number size ``10`` (unified); ``6`` (metric, millimetres); ``4`` (BA);
    ``9/64`` (sewing); ``1/8`` (pipe). It is None where only a pitch was said.
    ``tpi`` is for inch threads and BA has neither; ``pitch`` (mm) is for metric
    and for house threads stated by pitch; both None where no pitch was said.
    ``series`` is what was stated (UNC, UNF, UNEF, UN, UNS ...), or the one
    published series that holds the pair where none was; ``fit_class`` is the
    class of fit (2A, 6g ...). ``inch_size`` tells a house or unknown size in
    inches from one in millimetres. Threads sort by system, then diameter, then
    pitch, coarse before fine.
    Raises: ValueError for what is no designation (a negative pitch, two pitches,
    neither size nor pitch).
    """

    system: System
    size: str | None
    tpi: Fraction | None = None
    pitch: Decimal | None = None
    series: str | None = None
    fit_class: str | None = None
    left_hand: bool = False
    inch_size: bool = True

    def __post_init__(self) -> None:
        if self.size is not None and _size_pattern().fullmatch(self.size) is None:
            raise ValueError(f"expected a size such as 1/4, 10 or 6, found '{self.size}'")
        if self.size is None and self.tpi is None and self.pitch is None:
            raise ValueError("a thread states a size or a pitch, found neither")
        if self.tpi is not None and self.pitch is not None:
            raise ValueError("a thread states threads per inch or a pitch, found both")
        if (self.tpi or 1) <= 0 or (self.pitch or 1) <= 0:
            raise ValueError("a pitch is above zero")
        if self.system is System.BA and (self.size is None or not self.size.isdigit()):
            raise ValueError(f"a BA size is a whole number, found '{self.size}'")

    @property
    def hand(self) -> str:
        """The hand of the helix, ``right`` or ``left``."""
        return "left" if self.left_hand else "right"

    @property
    def whole(self) -> bool:
        """Whether both size and pitch are stated (BA states its pitch with its size)."""
        if self.system is System.BA:
            return True
        return self.size is not None and (self.tpi is not None or self.pitch is not None)

    def __str__(self) -> str:
        """Return the canonical designation."""
        text = self._figures()
        if self.system is System.UNIFIED:
            text += f" {self.series}" if self.series else ""
        elif self.system in _NAMED_BEHIND or self.system is System.HOUSE:
            text += f" {self.system.value}"
        if self.fit_class:
            text += f"{' ' if self.system is System.PIPE else '-'}{self.fit_class}"
        return f"{text} LH" if self.left_hand else text

    def __lt__(self, other: object) -> bool:
        if not isinstance(other, Thread):
            return NotImplemented
        return self._order() < other._order()

    def _figures(self) -> str:
        """Return size and pitch as the system writes them."""
        size = self.size or "?"
        if self.system is System.BA:
            return f"{size} BA"
        if self.system is System.PIPE:
            return f"G{size}"
        if self.system is System.METRIC:
            return f"M{size}x{_plain(self.pitch)}"
        if self.pitch is not None:
            return f"{size}x{_plain(self.pitch)}"
        prefix = "SM" if self.system is System.SEWING else ""
        return f"{prefix}{size}-{_tpi(self.tpi)}"

    def _order(self) -> tuple[int, Fraction, Fraction, str]:
        size = sum((Fraction(part) for part in (self.size or "0").split()), Fraction(0))
        if self.system is System.BA:
            size = -size
        elif size.denominator == 1 and self.system is not System.METRIC and size > 4:
            # Number sizes go before the inch sizes they are smaller than.
            size /= 1000
        pitch = Fraction(self.pitch or 0) or (MM_PER_INCH / self.tpi if self.tpi else Fraction(0))
        return (_PLACE[self.system], size, -pitch, str(self))


@cache
def _size_pattern() -> re.Pattern[str]:
    return re.compile(r"(?:\d{1,2} )?\d{1,2}/\d{1,2}|\d{1,3}(?:\.\d{1,4})?")


def _plain(pitch: Decimal | None) -> str:
    """Return a pitch in millimetres without trailing zeros, ``?`` where none was said."""
    if pitch is None:
        return "?"
    text = f"{pitch:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _tpi(tpi: Fraction | None) -> str:
    """Return threads per inch, ``11.5`` for eleven and a half, ``?`` where none was said."""
    if tpi is None:
        return "?"
    return str(tpi.numerator) if tpi.denominator == 1 else f"{float(tpi):g}"
