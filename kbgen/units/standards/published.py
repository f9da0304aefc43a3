"""Tables whose dimensions are published size by size: BA and the pipe threads."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import cache

from kbgen.units.standards.load import number, table

__all__ = [
    "BaRow",
    "GRow",
    "NpsmRow",
    "NptRow",
    "ba_table",
    "g_table",
    "npsm_table",
    "npt_table",
]


@dataclass(frozen=True, slots=True)
class BaRow:
    """One BA size. Units: millimetres. Source: BS 93."""

    number: int
    pitch_mm: Decimal
    major_mm: Decimal
    effective_mm: Decimal
    minor_mm: Decimal


@dataclass(frozen=True, slots=True)
class NptRow:
    """One taper pipe size: pitch diameters at the small end and hand-tight. Units: inches."""

    size: str
    tpi: Fraction
    major_in: Decimal
    e0_in: Decimal
    e1_in: Decimal
    l1_in: Decimal


@dataclass(frozen=True, slots=True)
class NpsmRow:
    """One straight pipe size: limits (least, greatest). Units: inches. Source: ASME B1.20.1."""

    size: str
    tpi: Fraction
    external_major_in: tuple[Decimal, Decimal]
    external_pitch_in: tuple[Decimal, Decimal]
    internal_pitch_in: tuple[Decimal, Decimal]
    internal_minor_in: tuple[Decimal, Decimal]


@dataclass(frozen=True, slots=True)
class GRow:
    """One parallel pipe size with its tolerances. Units: millimetres. Source: ISO 228-1."""

    size: str
    tpi: Fraction
    major_mm: Decimal
    pitch_diameter_mm: Decimal
    minor_mm: Decimal
    pitch_tolerance_mm: Decimal
    major_tolerance_mm: Decimal
    minor_tolerance_mm: Decimal


@cache
def ba_table() -> tuple[BaRow, ...]:
    """Return BS 93 as published."""
    columns = ("number", "pitch", "major", "effective", "minor")
    return tuple(
        BaRow(int(row["number"]), *(number(row[name]) for name in columns[1:]))
        for row in table("bs93.csv", columns)
    )


@cache
def npt_table() -> tuple[NptRow, ...]:
    """Return NPT as published."""
    columns = ("size", "tpi", "major", "e0", "e1", "l1", "seen")
    return tuple(
        NptRow(row["size"], Fraction(row["tpi"]), *(number(row[name]) for name in columns[2:6]))
        for row in table("b1_20_1_npt.csv", columns)
    )


@cache
def npsm_table() -> tuple[NpsmRow, ...]:
    """Return NPSM as published."""
    places = ("external_major", "external_pitch", "internal_pitch", "internal_minor")
    pairs = tuple((f"{place}_min", f"{place}_max") for place in places)
    columns = ("size", "tpi", *(name for pair in pairs for name in pair))
    return tuple(
        NpsmRow(
            row["size"],
            Fraction(row["tpi"]),
            *((number(row[least]), number(row[greatest])) for least, greatest in pairs),
        )
        for row in table("b1_20_1_npsm.csv", columns)
    )


@cache
def g_table() -> tuple[GRow, ...]:
    """Return ISO 228-1 as published."""
    columns = (
        *("size", "tpi", "major", "pitch_diameter", "minor"),
        *("pitch_tolerance", "major_tolerance", "minor_tolerance"),
    )
    return tuple(
        GRow(row["size"], Fraction(row["tpi"]), *(number(row[name]) for name in columns[2:]))
        for row in table("iso228.csv", columns)
    )
