"""Strength classes of screws: what a stated class can bear, in its weakest and strongest reading.

Sources: ISO 898-1:2013, ISO 3506-1, SAE J429, ASTM A307, F467 and F468 (see
``standards/strength.csv``).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache

from kbgen.units.designation import System, Thread
from kbgen.units.standards.load import number, table

__all__ = [
    "SAID",
    "STRONGEST",
    "UNKNOWN_CLASS",
    "WEAKEST",
    "Strength",
    "is_american",
    "proof_load",
    "readings_of",
    "strength_rows",
    "strengths",
    "strongest_made",
    "weakest_made",
]

INCH_MM = 25.4
PSI_MPA = 0.006894757293168361
KSI_MPA = 1000 * PSI_MPA

# Where only a tensile strength is stated its proof stress lies between these shares:
# 33/60 ksi (SAE J429 grade 1, the weakest) and 120/150 ksi (grade 8, the strongest).
WEAKEST_SHARE = 33 / 60
STRONGEST_SHARE = 120 / 150

WEAKEST = {False: "4.6", True: "grade 1"}
STRONGEST = {False: "12.9", True: "grade 8"}
"""The weakest and the strongest class in use, of American threads and of all others."""

SAID = "{standard} {name} ({basis} {proof} N/mm²)"
UNKNOWN_CLASS = "'{stated}' is no strength class known here; known are {known}"


@dataclass(frozen=True, slots=True)
class Strength:
    """One reading of a strength class at one diameter.

    Shape: ``proof_mpa`` is what is reckoned with; ``basis`` says whether that is
    the proof stress, the yield strength or a share of the tensile strength.
    """

    name: str
    standard: str
    proof_mpa: float
    tensile_mpa: float | None
    basis: str

    def __str__(self) -> str:
        return SAID.format(
            standard=self.standard,
            name=self.name,
            basis=self.basis,
            proof=f"{self.proof_mpa:.0f}",
        )


@dataclass(frozen=True, slots=True)
class Row:
    """One row of the table. Units: millimetres and N/mm²."""

    grade: str
    standard: str
    over_mm: float
    to_mm: float | None
    proof: float | None
    yield_: float | None
    tensile: float | None


def strengths(stated: str, thread: Thread, diameter_mm: float) -> tuple[Strength, ...]:
    """Return every reading of a stated strength, weakest first.

    Shape: accepts ``8.8``, ``class 10.9``, ``SAE 5``, ``grade 1 or 2``, ``A2-70``,
    ``brass``, ``stainless``, ``18-8``, ``UTS 125 ksi``, ``60000 psi``.
    Raises: ValueError for what is no strength.
    """
    tensile = _TENSILE.search(stated)
    if tensile is not None:
        return _from_tensile(float(tensile[1].replace(",", "")), tensile[2])
    found: list[Strength] = []
    for name in _names(stated, thread):
        rows = [row for row in strength_rows() if row.grade == name]
        for standard in dict.fromkeys(row.standard for row in rows):
            row = _at([row for row in rows if row.standard == standard], diameter_mm)
            found.extend(readings_of(row))
    if not found:
        known = ", ".join(dict.fromkeys(row.grade for row in strength_rows()))
        raise ValueError(UNKNOWN_CLASS.format(stated=stated, known=known))
    return tuple(sorted(found, key=lambda strength: strength.proof_mpa))


def weakest_made(thread: Thread, diameter_mm: float) -> Strength:
    """Return the weakest class in use for such a thread, assumed where none is stated."""
    return strengths(WEAKEST[is_american(thread)], thread, diameter_mm)[0]


def strongest_made(thread: Thread, diameter_mm: float) -> Strength:
    """Return the strongest class in use for such a thread."""
    return strengths(STRONGEST[is_american(thread)], thread, diameter_mm)[-1]


def proof_load(strength: Strength, area_mm2: float) -> float:
    """Return the load at the proof stress. Units: newtons."""
    return strength.proof_mpa * area_mm2


_TENSILE = re.compile(r"(\d[\d,]*(?:\.\d+)?)\s*(ksi|psi|MPa|N/mm²)")
_STAINLESS = re.compile(r"A[1-5]-(50|70|80)", re.ASCII)
_METRIC_CLASS = re.compile(r"(?<![\d.])(?:[34568]|9|10|12)\.[689](?![\d.])")
_GRADE = re.compile(r"(?:(?<![\w.])|(?<=sae)|(?<=gr)|(?<=grade))(5\.2|[124578])(?![\w.])")


def is_american(thread: Thread) -> bool:
    """Return whether a thread's screws are made in the strength grades of SAE J429."""
    return thread.system in (System.UNIFIED, System.UNKNOWN) and thread.inch_size


def _names(stated: str, thread: Thread) -> tuple[str, ...]:
    """Return the grades of the table that a text names, in its order."""
    text = stated.strip()
    stainless = _STAINLESS.findall(text)
    if stainless:
        return tuple(f"A-{grade}" for grade in stainless)
    lower = text.lower()
    for word in ("naval brass", "brass", "18-8", "a307", "machine screw"):
        if word in lower:
            return (word.upper() if word == "a307" else word,)
    if "stainless" in lower or "cres" in lower.split():
        return ("18-8", "A-50", "A-70", "A-80")
    american = any(word in lower for word in ("sae", "grade", "gr ", "gr.")) or (
        "class" not in lower and is_american(thread) and _METRIC_CLASS.search(text) is None
    )
    if american:
        return tuple(f"grade {grade}" for grade in _GRADE.findall(lower))
    return tuple(_METRIC_CLASS.findall(text))


def readings_of(row: Row) -> tuple[Strength, ...]:
    """Return what a row of the table may mean: two shares where it has a tensile strength alone."""
    if row.proof is not None:
        return (Strength(row.grade, row.standard, row.proof, row.tensile, "proof stress"),)
    if row.yield_ is not None:
        return (Strength(row.grade, row.standard, row.yield_, row.tensile, "yield strength"),)
    assert row.tensile is not None
    return _shares(row.grade, row.standard, row.tensile)


def _from_tensile(value: float, unit: str) -> tuple[Strength, ...]:
    factor = {"ksi": KSI_MPA, "psi": PSI_MPA}.get(unit, 1.0)
    return _shares(f"{value:g} {unit}", "stated tensile strength", value * factor)


def _shares(name: str, standard: str, tensile: float) -> tuple[Strength, ...]:
    return tuple(
        Strength(name, standard, share * tensile, tensile, f"{share:.0%} of tensile strength")
        for share in (WEAKEST_SHARE, STRONGEST_SHARE)
    )


def _at(rows: list[Row], diameter_mm: float) -> Row:
    """Return the row for a diameter; beyond the largest size the last row stands in."""
    fitting = [row for row in rows if row.over_mm < diameter_mm - 1e-6 or row.over_mm == 0]
    return max(fitting, key=lambda row: row.over_mm)


@cache
def strength_rows() -> tuple[Row, ...]:
    """Return the rows of the table of strength classes."""
    columns = (
        *("grade", "standard", "size_unit", "over", "to"),
        *("proof", "yield", "tensile", "unit", "note"),
    )
    return tuple(_row(cells) for cells in table("strength.csv", columns))


def _row(cells: dict[str, str]) -> Row:
    length = INCH_MM if cells["size_unit"] == "in" else 1.0
    stress = PSI_MPA if cells["unit"] == "psi" else 1.0

    def scaled(name: str, factor: float) -> float | None:
        return float(number(cells[name])) * factor if cells[name] else None

    return Row(
        cells["grade"],
        cells["standard"],
        scaled("over", length) or 0.0,
        scaled("to", length),
        *(scaled(name, stress) for name in ("proof", "yield", "tensile")),
    )
