"""Limits of size of unified threads, classes 1A to 3B. Source: ASME B1.1, by formula.

The formulas were checked against the limits that FED-STD-H28/2B and handbook
copies of ASME B1.1 print. The rounding is theirs: basic size and tolerance are
rounded to four places each, then added.
"""

from __future__ import annotations

from fractions import Fraction
from math import sqrt

from kbgen.units.designation import Thread
from kbgen.units.profile import UNIFIED, dimensions
from kbgen.units.standards import series_of
from kbgen.units.tolerance import INCH_MM, ClassLimits, in_mm, rounded

__all__ = ["CLASSES", "PARTNERS", "unified_limits"]

# Times the pitch-diameter tolerance of class 2A.
CLASSES = {"1A": 1.5, "2A": 1.0, "3A": 0.75, "1B": 1.95, "2B": 1.3, "3B": 0.975}
PARTNERS = {"1A": "1B", "2A": "2B", "3A": "3B", "1B": "1A", "2B": "2A", "3B": "3A"}
SOURCE = "ASME B1.1"

ALLOWANCE = 0.3
NUMBER_SIX = 0.138
QUARTER = 0.25
LENGTH_IN_PITCHES = 9
# These take the diameter as length of engagement, every other series nine pitches.
WHOLE_DIAMETER_SERIES = frozenset({"UNC", "UNF"})
COARSEST_NINE_PITCH_TPI = 12


def unified_limits(thread: Thread, fit_class: str) -> ClassLimits:
    """Return the limits of one class.

    Raises: ValueError for a class that ASME B1.1 does not have.
    """
    if fit_class not in CLASSES:
        known = ", ".join(CLASSES)
        raise ValueError(f"class {fit_class} is not a class of ASME B1.1, which has {known}")
    size = dimensions(thread)
    # The standard starts from the diameter in four places: 19/64 counts as 0.2969.
    d, p = rounded(size.major_mm / INCH_MM, 4), size.pitch_mm / INCH_MM
    class_2a = _class_2a(d, p, _engagement(thread, d, p))
    tolerance = rounded(CLASSES[fit_class] * class_2a, 4)
    if fit_class.endswith("B"):
        return _internal(d, p, fit_class, tolerance)
    allowance = 0.0 if fit_class == "3A" else rounded(ALLOWANCE * class_2a, 4)
    return _external(d, p, fit_class, tolerance, allowance)


def _external(d: float, p: float, fit_class: str, tolerance: float, es: float) -> ClassLimits:
    greatest = d - es
    major = rounded((0.090 if fit_class == "1A" else 0.060) * p ** (2 / 3), 4)
    pitch = rounded(d - UNIFIED.effective * p, 4) - es
    return ClassLimits(
        fit_class,
        True,
        in_mm(rounded(greatest - major, 4), rounded(greatest, 4)),
        in_mm(rounded(pitch - tolerance, 4), rounded(pitch, 4)),
        in_mm(None, rounded(d - es - UNIFIED.root * p, 4)),
        SOURCE,
        ("greatest minor diameter: UNR root, for reference",),
    )


def _internal(d: float, p: float, fit_class: str, tolerance: float) -> ClassLimits:
    pitch = rounded(d - UNIFIED.effective * p, 4)
    least = rounded(d - UNIFIED.minor * p, 4)
    greatest = least + rounded(_minor_tolerance(d, p, fit_class), 4)
    if d >= NUMBER_SIX - 1e-9:
        least = rounded(least, 3)
        if fit_class != "3B":
            greatest = rounded(greatest, 3)
    return ClassLimits(
        fit_class,
        False,
        in_mm(d, None),
        in_mm(pitch, rounded(pitch + tolerance, 4)),
        in_mm(least, rounded(greatest, 4)),
        SOURCE,
    )


def _class_2a(d: float, p: float, engagement: float) -> float:
    return float(0.0015 * d ** (1 / 3) + 0.0015 * sqrt(engagement) + 0.015 * p ** (2 / 3))


def _engagement(thread: Thread, d: float, p: float) -> float:
    tpi = Fraction(1) / Fraction(p).limit_denominator(1000)
    series = {row.series for row in series_of(thread)}
    if series & WHOLE_DIAMETER_SERIES:
        return d
    constant = "UN" in series or thread.series == "UN"
    if constant and tpi < COARSEST_NINE_PITCH_TPI:
        return d
    return LENGTH_IN_PITCHES * p


def _minor_tolerance(d: float, p: float, fit_class: str) -> float:
    by_diameter = 0.05 * p ** (2 / 3) + 0.03 * p / d - 0.002
    if fit_class == "3B":
        least = 0.23 * p - 1.5 * p * p if p < 1 / 12.5 else 0.120 * p
        return float(max(min(by_diameter, 0.394 * p), least))
    by_pitch = 0.25 * p - 0.40 * p * p if p <= QUARTER else 0.15 * p
    if d < QUARTER - 1e-9:
        return float(max(min(by_diameter, 0.394 * p), by_pitch))
    return by_pitch
