"""What a class of fit allows: the value, and the rounding that the standards share."""

from __future__ import annotations

from dataclasses import dataclass
from math import floor

__all__ = ["Between", "ClassLimits", "in_mm", "rounded"]

INCH_MM = 25.4

# Least and greatest; None where the standard leaves that side open.
Between = tuple[float | None, float | None]


@dataclass(frozen=True, slots=True)
class ClassLimits:
    """The limits of size of one part in one class.

    Shape: each pair is (least, greatest), None where the standard sets no limit.
    ``source`` is the authority, ``marks`` what it does not give.
    Units: millimetres.
    """

    fit_class: str
    external: bool
    major_mm: Between
    pitch_diameter_mm: Between
    minor_mm: Between
    source: str
    marks: tuple[str, ...] = ()


def rounded(value: float, places: int) -> float:
    """Round half up, as the standards do; a hair below half counts as half."""
    scale = 10.0**places
    return floor(value * scale + 0.5 + 1e-7) / scale


def in_mm(least: float | None, greatest: float | None) -> Between:
    """Return limits in inches as limits in millimetres, without rounding them again."""
    return (
        None if least is None else rounded(least * INCH_MM, 6),
        None if greatest is None else rounded(greatest * INCH_MM, 6),
    )
