"""Limits of size of metric threads by tolerance class. Source: ISO 965-1.

The tables rule; where they have no row the standard's formula, rounded to the
R40 series, stands in and the result is marked so.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from math import floor, log10, sqrt

from kbgen.units.designation import Thread
from kbgen.units.profile import METRIC, dimensions
from kbgen.units.standards.load import table
from kbgen.units.tolerance import ClassLimits, rounded

__all__ = ["metric_limits", "metric_partner"]

SOURCE = "ISO 965-1"
FROM_FORMULA = "by formula, rounded to R40: the table of ISO 965-1 has no row for {}"

# Preferred pairs of ISO 965-1: fine, medium and coarse quality.
PARTNERS = {
    "4h": "5H",
    "3h4h": "4H",
    "5h4h": "5H",
    "5h6h": "6H",
    "4g6g": "6H",
    "5g6g": "6H",
    "6e": "6G",
    "6f": "6H",
    "6g": "6H",
    "6h": "6H",
    "7g6g": "6H",
    "8g": "7H",
    "7h6h": "7H",
    "4H": "4h",
    "5H": "4h",
    "6H": "6g",
    "7H": "8g",
    "8H": "8g",
    "6G": "6g",
    "7G": "8g",
}
# ISO 965-2: up to 1.4 mm the usual pair is 5H/6h, above it 6H/6g.
SMALLEST_USUAL_MM = 1.4

PITCH_FACTOR = {3: 0.5, 4: 0.63, 5: 0.8, 6: 1.0, 7: 1.25, 8: 1.6, 9: 2.0}
NUT_PITCH_FACTOR = {4: 0.85, 5: 1.06, 6: 1.32, 7: 1.7, 8: 2.12}
CREST_FACTOR = {4: 0.63, 5: 0.8, 6: 1.0, 7: 1.25, 8: 1.6}
DEVIATION = {"h": (0, 0), "g": (15, 11), "f": (30, 11), "e": (50, 11)}
R40 = (
    *(1.0, 1.06, 1.12, 1.18, 1.25, 1.32, 1.4, 1.5, 1.6, 1.7, 1.8, 1.9, 2.0, 2.12, 2.24, 2.36),
    *(2.5, 2.65, 2.8, 3.0, 3.15, 3.35, 3.55, 3.75, 4.0, 4.25, 4.5, 4.75, 5.0, 5.3, 5.6, 6.0),
    *(6.3, 6.7, 7.1, 7.5, 8.0, 8.5, 9.0, 9.5, 10.0),
)

_CLASS = re.compile(r"([3-9])([efghGH])(?:([3-9])([efghGH]))?")


@dataclass(frozen=True, slots=True)
class Quality:
    """A tolerance class taken apart: grade and position at the pitch and at the crest."""

    pitch_grade: int
    crest_grade: int
    position: str
    external: bool


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a tolerance table. Units: micrometres by column name."""

    over: float
    to: float
    pitch: float
    values: dict[str, int]


def metric_partner(fit_class: str) -> str | None:
    """Return the class usually mated with ``fit_class``, None where none is usual."""
    return PARTNERS.get(fit_class)


def usual_class(thread: Thread) -> str:
    """Return the external class taken where none is stated. Source: ISO 965-2."""
    return "6h" if dimensions(thread).major_mm <= SMALLEST_USUAL_MM else "6g"


def metric_limits(thread: Thread, fit_class: str) -> ClassLimits:
    """Return the limits of one tolerance class.

    Raises: ValueError for a class that ISO 965-1 does not have.
    """
    quality = _quality(fit_class)
    size = dimensions(thread)
    d, p = size.major_mm, size.pitch_mm
    marks: list[str] = []
    pitch_tolerance = _pitch_tolerance(d, p, quality, marks) / 1000
    crest_tolerance = _crest_tolerance(p, quality, marks) / 1000
    deviation = _deviation(p, quality.position, marks) / 1000
    pitch = rounded(d - METRIC.effective * p, 3)
    if quality.external:
        return ClassLimits(
            fit_class,
            True,
            (rounded(d - deviation - crest_tolerance, 4), rounded(d - deviation, 4)),
            (rounded(pitch - deviation - pitch_tolerance, 4), rounded(pitch - deviation, 4)),
            (None, rounded(rounded(d - METRIC.root * p, 3) - deviation, 4)),
            SOURCE,
            tuple(marks),
        )
    minor = rounded(d - METRIC.minor * p, 3)
    return ClassLimits(
        fit_class,
        False,
        (rounded(d + deviation, 4), None),
        (rounded(pitch + deviation, 4), rounded(pitch + deviation + pitch_tolerance, 4)),
        (rounded(minor + deviation, 4), rounded(minor + deviation + crest_tolerance, 4)),
        SOURCE,
        tuple(marks),
    )


def _quality(fit_class: str) -> Quality:
    match = _CLASS.fullmatch(fit_class)
    if match is not None:
        pitch_grade, position, crest_grade, crest_position = match.groups()
        external = position.islower()
        crest = int(crest_grade or pitch_grade)
        same = crest_position in (None, position)
        pitch_grades = PITCH_FACTOR if external else NUT_PITCH_FACTOR
        crest_grades = (4, 6, 8) if external else tuple(CREST_FACTOR)
        # 5h and 7h are said short for 5h6h and 7h6h: the major diameter has no such grade.
        if external and crest_grade is None and crest in (5, 7):
            crest = 6
        if same and int(pitch_grade) in pitch_grades and crest in crest_grades:
            return Quality(int(pitch_grade), crest, position, external)
    raise ValueError(
        f"class {fit_class} is not a tolerance class of ISO 965-1, "
        "which has such as 6g, 6h and 4g6g for screws, 6H, 5H and 6G for holes"
    )


def _pitch_tolerance(d: float, p: float, quality: Quality, marks: list[str]) -> float:
    name = f"{'s' if quality.external else 'n'}{quality.pitch_grade}"
    for row in _pitch_table():
        if row.over < d <= row.to and row.pitch == p and name in row.values:
            return row.values[name]
    marks.append(FROM_FORMULA.format(f"a pitch of {p:g} mm at {d:g} mm in grade {name[1]}"))
    mean = next((sqrt(low * high) for low, high in _ranges() if low < d <= high), d)
    base = 90 * p**0.4 * mean**0.1
    factors = PITCH_FACTOR if quality.external else NUT_PITCH_FACTOR
    return r40(base * factors[quality.pitch_grade])


def _crest_tolerance(p: float, quality: Quality, marks: list[str]) -> float:
    name = f"{'s' if quality.external else 'n'}{quality.crest_grade}"
    for row in _crest_table():
        if row.pitch == p and name in row.values:
            return row.values[name]
    marks.append(FROM_FORMULA.format(f"the crest at a pitch of {p:g} mm in grade {name[1]}"))
    if quality.external:
        base = 180 * p ** (2 / 3) - 3.15 / sqrt(p)
    else:
        base = 433 * p - 190 * p**1.22 if p < 1 else 230 * p**0.7
    return r40(base * CREST_FACTOR[quality.crest_grade])


def _deviation(p: float, position: str, marks: list[str]) -> float:
    letter = position.lower()
    if letter == "h":
        return 0.0
    for row in _crest_table():
        if row.pitch == p and letter in row.values:
            return row.values[letter]
    marks.append(FROM_FORMULA.format(f"position {position} at a pitch of {p:g} mm"))
    constant, slope = DEVIATION[letter]
    return rounded(constant + slope * p, 0)


def r40(value: float) -> float:
    """Return the nearest number of the R40 series. Source: ISO 3."""
    scale = 10.0 ** floor(log10(value))
    return min((step * scale for step in R40), key=lambda step: abs(step - value))


@cache
def _pitch_table() -> tuple[Row, ...]:
    screws = tuple(f"s{grade}" for grade in PITCH_FACTOR)
    nuts = tuple(f"n{grade}" for grade in NUT_PITCH_FACTOR)
    columns = ("over", "to", "pitch", *screws, *nuts, "seen")
    return tuple(
        Row(
            float(row["over"]),
            float(row["to"]),
            float(row["pitch"]),
            {name: int(row[name]) for name in (*screws, *nuts) if row[name]},
        )
        for row in table("iso965_pitch.csv", columns)
    )


@cache
def _ranges() -> tuple[tuple[float, float], ...]:
    return tuple(dict.fromkeys((row.over, row.to) for row in _pitch_table()))


@cache
def _crest_table() -> tuple[Row, ...]:
    names = ("g", "f", "e", "s4", "s6", "s8", "n4", "n5", "n6", "n7", "n8")
    return tuple(
        Row(
            0,
            0,
            float(row["pitch"]),
            {name: int(row[name]) for name in names if row[name]},
        )
        for row in table("iso965_crest.csv", ("pitch", *names, "seen"))
    )
