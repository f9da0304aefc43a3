"""The rows of the published series: one value for each diameter and pitch that a series holds."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from functools import cache

from kbgen.units.designation import MM_PER_INCH, System
from kbgen.units.standards.load import TableError, inches, number, table
from kbgen.units.standards.published import ba_table, g_table, npsm_table, npt_table

__all__ = [
    "SeriesRow",
    "Standing",
    "all_rows",
    "british_rows",
    "metric_rows",
    "pipe_rows",
    "rows_of",
    "sewing_rows",
    "unified_rows",
    "uns_rows",
]

# Number sizes: 0.060 in and 0.013 in a number (ASME B1.1). The three that could
# be whole inches as well are told apart by their pitches.
NUMBER_SIZES = ("0", "1", "2", "3", "4", "5", "6", "8", "10", "12", "14")
FINEST_INCH_TPI = 32


class Standing(StrEnum):
    """What a pair of the table is: held by a standard, or recognised without one."""

    STANDARD = "standard"
    DECLARED = "declared"


@dataclass(frozen=True, slots=True)
class SeriesRow:
    """One diameter with one pitch in one series.

    Shape: ``size`` as in a Thread; ``series`` UNC, UNF, UNEF, UN, UNS, coarse,
    fine, BSW, BSF, BA, BSB, BSCy, SM, NPT, NPSM or G; ``standard`` names the
    authority; ``also_un`` when the constant-pitch series counts the pair too.
    ``area`` is the published stress area (in² for inch sizes, mm² for metric),
    None where none was seen. ``seen`` says where the row was read; a row from
    memory says so and may prevent a false alarm, never assert anything.
    Units: ``pitch`` and ``major_mm`` in millimetres, both exact.
    """

    system: System
    series: str
    size: str
    tpi: Fraction | None
    pitch: Decimal | None
    major_mm: Fraction
    standard: str
    standing: Standing
    seen: str
    note: str = ""
    also_un: bool = False
    area: Decimal | None = None
    choice: int = 1

    @property
    def pitch_mm(self) -> Fraction:
        """The pitch in millimetres, exact."""
        if self.pitch is not None:
            return Fraction(self.pitch)
        assert self.tpi is not None
        return MM_PER_INCH / self.tpi

    @property
    def from_memory(self) -> bool:
        """Whether the row was read in no document."""
        return "memory" in self.seen

    @property
    def label(self) -> str:
        """The series in the words of its standard: ``28-UN``, ``coarse``, ``BSW``."""
        return f"{self.tpi}-UN" if self.series == "UN" else self.series


def number_size(size: str, tpi: Fraction) -> bool:
    """Return whether ``size`` with ``tpi`` is a number size and not so many inches."""
    return size in NUMBER_SIZES and (int(size) > 4 or tpi > FINEST_INCH_TPI)


def unified_inches(size: str, tpi: Fraction) -> Fraction:
    """Return the basic major diameter in inches. Source: ASME B1.1."""
    if number_size(size, tpi):
        return Fraction(60 + 13 * int(size), 1000)
    return inches(size)


@cache
def unified_rows() -> tuple[SeriesRow, ...]:
    """Return UNC, UNF, UNEF and the constant-pitch series. Source: ASME B1.1."""
    columns = ("series", "size", "tpi", "area_in2", "also", "seen", "note")
    return _checked(
        "unified.csv",
        (
            SeriesRow(
                System.UNIFIED,
                row["series"],
                row["size"],
                tpi := Fraction(row["tpi"]),
                None,
                unified_inches(row["size"], tpi) * MM_PER_INCH,
                "ASME B1.1",
                Standing.STANDARD,
                row["seen"],
                row["note"],
                row["also"] == "UN",
                number(row["area_in2"]) if row["area_in2"] else None,
            )
            for row in table("unified.csv", columns)
        ),
    )


@cache
def uns_rows() -> tuple[SeriesRow, ...]:
    """Return the special combinations UNS. Source: ASME B1.1; ANSI/ASME B94.9."""
    return _checked(
        "uns.csv",
        (
            SeriesRow(
                System.UNIFIED,
                "UNS",
                row["size"],
                tpi := Fraction(row["tpi"]),
                None,
                unified_inches(row["size"], tpi) * MM_PER_INCH,
                "ASME B1.1 (UNS)",
                Standing.DECLARED,
                row["seen"],
                row["note"],
            )
            for row in table("uns.csv", ("size", "tpi", "seen", "note"))
        ),
    )


@cache
def metric_rows() -> tuple[SeriesRow, ...]:
    """Return ISO 261 and the obsolete metric pairs. Source: ISO 261; old JIS and DIN 13."""
    columns = (
        *("diameter", "pitch", "series", "choice", "in_262", "area_mm2", "area_seen", "note"),
    )
    current = (
        SeriesRow(
            System.METRIC,
            row["series"],
            row["diameter"],
            None,
            number(row["pitch"]),
            Fraction(number(row["diameter"])),
            "ISO 261",
            Standing.STANDARD,
            "copy",
            row["note"],
            area=number(row["area_mm2"]) if row["area_mm2"] else None,
            choice=int(row["choice"]),
        )
        for row in table("iso261.csv", columns)
    )
    obsolete = (
        SeriesRow(
            System.METRIC,
            f"obsolete {row['series']}",
            row["diameter"],
            None,
            number(row["pitch"]),
            Fraction(number(row["diameter"])),
            "old JIS and DIN 13",
            Standing.DECLARED,
            "memory",
            row["note"],
        )
        for row in table("metric_obsolete.csv", ("diameter", "pitch", "series", "note"))
    )
    return _checked("iso261.csv", current) + _checked("metric_obsolete.csv", obsolete)


@cache
def british_rows() -> tuple[SeriesRow, ...]:
    """Return BSW, BSF, BA, BSB and BSCy. Source: BS 84, BS 93, BS 811; BSB trade practice."""
    whitworth = (
        _inch_row(System(row["series"]), row["series"], row, "BS 84", Standing.STANDARD)
        for row in table("bs84.csv", ("series", "size", "tpi", "note"))
    )
    association = (
        SeriesRow(
            System.BA,
            "BA",
            str(row.number),
            None,
            row.pitch_mm,
            Fraction(row.major_mm),
            "BS 93",
            Standing.STANDARD,
            "copy",
        )
        for row in ba_table()
    )
    brass = (
        _inch_row(System.BRASS, "BSB", row, "trade practice, no standard", Standing.DECLARED)
        for row in table("bsb.csv", ("size", "tpi", "note"))
    )
    cycle = (
        _inch_row(System.CYCLE, "BSCy", row, "BS 811", Standing.STANDARD)
        for row in table("bs811.csv", ("size", "tpi", "note"))
    )
    return (
        _checked("bs84.csv", whitworth)
        + _checked("bs93.csv", association)
        + _checked("bsb.csv", brass)
        + _checked("bs811.csv", cycle)
    )


@cache
def sewing_rows() -> tuple[SeriesRow, ...]:
    """Return the sewing-machine series. Source: JIS B 0226, mostly from memory."""
    return _checked(
        "jis_b0226.csv",
        (
            SeriesRow(
                System.SEWING,
                "SM",
                row["size"],
                Fraction(row["tpi"]),
                None,
                inches(row["size"]) * MM_PER_INCH,
                "JIS B 0226",
                Standing.DECLARED,
                row["grade"],
                row["evidence"],
            )
            for row in table("jis_b0226.csv", ("size", "tpi", "grade", "evidence"))
        ),
    )


@cache
def pipe_rows() -> tuple[SeriesRow, ...]:
    """Return NPT, NPSM, NPS and G. Source: ASME B1.20.1, ISO 228-1."""
    american = "ASME B1.20.1"
    taper = (
        _pipe_row(System.NPT, row.size, row.tpi, row.major_in, american) for row in npt_table()
    )
    straight = (
        _pipe_row(system, row.size, row.tpi, row.external_major_in[1], american)
        for row in npsm_table()
        for system in (System.NPSM, System.NPS)
    )
    parallel = (
        _pipe_row(System.PIPE, row.size, row.tpi, row.major_mm / Decimal("25.4"), "ISO 228-1")
        for row in g_table()
    )
    return (
        _checked("b1_20_1_npt.csv", taper)
        + _checked("b1_20_1_npsm.csv", straight)
        + _checked("iso228.csv", parallel)
    )


_TABLES: tuple[Callable[[], tuple[SeriesRow, ...]], ...] = (
    unified_rows,
    uns_rows,
    metric_rows,
    british_rows,
    sewing_rows,
    pipe_rows,
)


@cache
def all_rows() -> tuple[SeriesRow, ...]:
    """Return every row of every series."""
    return tuple(row for rows in _TABLES for row in rows())


@cache
def rows_of(system: System) -> tuple[SeriesRow, ...]:
    """Return the rows of one system, none for house and unknown threads."""
    return tuple(row for row in all_rows() if row.system is system)


def _inch_row(
    system: System, series: str, row: dict[str, str], standard: str, standing: Standing
) -> SeriesRow:
    major = inches(row["size"]) * MM_PER_INCH
    return SeriesRow(
        *(system, series, row["size"], Fraction(row["tpi"]), None, major),
        *(standard, standing, "copy", row["note"]),
    )


def _pipe_row(
    system: System, size: str, tpi: Fraction, major_in: Decimal, standard: str
) -> SeriesRow:
    major = Fraction(major_in) * MM_PER_INCH
    return SeriesRow(
        *(system, system.value, size, tpi, None, major, standard, Standing.STANDARD, "copy")
    )


def _checked(name: str, rows: Iterator[SeriesRow]) -> tuple[SeriesRow, ...]:
    found = tuple(rows)
    seen: set[tuple[str, str, Fraction]] = set()
    for row in found:
        key = (row.system + row.series, row.size, row.pitch_mm)
        if key in seen:
            raise TableError(f"{name}: {row.size} with pitch {row.pitch_mm} mm stands twice")
        if not row.pitch_mm < row.major_mm:
            raise TableError(f"{name}: {row.size}: the pitch is wider than the diameter")
        seen.add(key)
    return found
