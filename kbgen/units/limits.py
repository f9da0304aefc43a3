"""Limits of size of any thread by its class: which rules apply, and what mates with what.

Sources: ASME B1.1, ISO 965-1, BS 84, BS 93, ASME B1.20.1 Table 6, ISO 228-1.
Sewing-machine, cycle, brass, taper and house threads have none here: no
published limits were found, and none are made up.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from math import sqrt

from kbgen.units.designation import System, Thread
from kbgen.units.profile import Dimensions, dimensions
from kbgen.units.standards.published import g_table, npsm_table
from kbgen.units.tolerance import INCH_MM, ClassLimits, in_mm, rounded
from kbgen.units.tolerance_metric import metric_limits, metric_partner, usual_class
from kbgen.units.tolerance_unified import PARTNERS as UNIFIED_PARTNERS
from kbgen.units.tolerance_unified import unified_limits

__all__ = ["Limits", "limits"]


@dataclass(frozen=True, slots=True)
class Limits:
    """The limits of a screw and of the hole that mates with it, None where none are published."""

    external: ClassLimits | None
    internal: ClassLimits | None


NO_LIMITS = Limits(None, None)


@cache
def limits(thread: Thread, fit_class: str | None = None) -> Limits:
    """Return the limits of size of a thread in ``fit_class`` and its partner.

    Shape: the class is the one given, else the one stated with the thread, else
    the usual one (2A/2B, 6g/6H, medium, normal).
    Raises: ValueError for a class that the standard does not have, and as ``dimensions``.
    """
    size = dimensions(thread)
    wanted = fit_class or thread.fit_class
    match thread.system:
        case System.UNIFIED:
            return _unified(thread, wanted or "2A")
        case System.METRIC:
            return _metric(thread, wanted or usual_class(thread))
        case System.WHITWORTH | System.BSF:
            return _whitworth(size, wanted or "medium")
        case System.BA:
            return _ba(thread, size, wanted or "normal")
        case System.NPS | System.NPSM:
            return _npsm(thread)
        case System.PIPE:
            return _g(thread, wanted or "B")
        case _:
            return NO_LIMITS


def _unified(thread: Thread, wanted: str) -> Limits:
    partner = UNIFIED_PARTNERS.get(wanted, "2B")
    own, other = unified_limits(thread, wanted), unified_limits(thread, partner)
    return Limits(own, other) if own.external else Limits(other, own)


def _metric(thread: Thread, wanted: str) -> Limits:
    own = metric_limits(thread, wanted)
    partner = metric_partner(wanted)
    if wanted == "6h" and usual_class(thread) == "6h":
        partner = "5H"
    other = metric_limits(thread, partner) if partner else None
    return Limits(own, other) if own.external else Limits(other, own)


# BS 84: bolts close, medium, free; nuts medium, normal (times the tolerance unit).
BOLTS_84 = {"close": 2 / 3, "medium": 1.0, "free": 1.5}
NUTS_84 = {"medium": 1.0, "normal": 1.5}
NUT_OF_BOLT_84 = {"close": "medium", "medium": "medium", "free": "normal", "normal": "normal"}
MARK_84 = "BS 84 formulas by way of a single secondary source; length of engagement = diameter"


def _whitworth(size: Dimensions, wanted: str) -> Limits:
    if wanted not in NUT_OF_BOLT_84:
        raise ValueError(
            f"class {wanted} is not a class of BS 84, which has close, medium and free for bolts, "
            "medium and normal for nuts"
        )
    bolt = "free" if wanted == "normal" else wanted
    nut = NUT_OF_BOLT_84[wanted]
    d, p = size.major_mm / INCH_MM, size.pitch_mm / INCH_MM
    effective, minor = d - size.form.effective * p, d - size.form.minor * p
    unit = 0.002 * d ** (1 / 3) + 0.003 * sqrt(d) + 0.005 * sqrt(p)
    bolt_tolerance = BOLTS_84[bolt] * unit
    root = (0.013 if bolt == "close" else 0.02) * sqrt(p)
    return Limits(
        ClassLimits(
            bolt,
            True,
            in_mm(rounded(d - bolt_tolerance - 0.01 * sqrt(p), 4), rounded(d, 4)),
            in_mm(rounded(effective - bolt_tolerance, 4), rounded(effective, 4)),
            in_mm(rounded(minor - bolt_tolerance - root, 4), rounded(minor, 4)),
            "BS 84",
            (MARK_84,),
        ),
        ClassLimits(
            nut,
            False,
            in_mm(rounded(d, 4), None),
            in_mm(rounded(effective, 4), rounded(effective + NUTS_84[nut] * unit, 4)),
            in_mm(rounded(minor, 4), rounded(minor + 0.2 * p + _nut_minor_84(p), 4)),
            "BS 84",
            (MARK_84,),
        ),
    )


def _nut_minor_84(p: float) -> float:
    tpi = 1 / p
    if tpi > 25:
        return 0.004
    return 0.005 if tpi > 21 else 0.007


ALLOWANCE_93 = 0.025
LARGEST_CLOSE_93 = 10


def _ba(thread: Thread, size: Dimensions, wanted: str) -> Limits:
    if wanted not in ("close", "normal"):
        raise ValueError(f"class {wanted} is not a class of BS 93, which has close and normal")
    small = int(thread.size or "0") > LARGEST_CLOSE_93
    if wanted == "close" and small:
        raise ValueError("BS 93 has the close class for 0 to 10 BA only")
    p = size.pitch_mm
    allowance = 0.0 if wanted == "close" else ALLOWANCE_93
    if wanted == "close":
        major, effective, minor = 0.15 * p, 0.08 * p + 0.02, 0.16 * p + 0.04
    else:
        major, effective, minor = 0.20 * p, 0.10 * p + 0.025, 0.20 * p + 0.05
        if small:
            major = 0.25 * p

    def below(basic: float, tolerance: float) -> tuple[float, float]:
        greatest = basic - allowance
        return rounded(greatest - tolerance, 4), rounded(greatest, 4)

    return Limits(
        ClassLimits(
            wanted,
            True,
            below(size.major_mm, major),
            below(size.pitch_diameter_mm, effective),
            below(size.root_mm, minor),
            "BS 93",
        ),
        ClassLimits(
            "normal",
            False,
            (size.major_mm, None),
            (size.pitch_diameter_mm, rounded(size.pitch_diameter_mm + 0.12 * p + 0.03, 4)),
            (size.minor_mm, rounded(size.minor_mm + 0.375 * p, 4)),
            "BS 93",
        ),
    )


def _npsm(thread: Thread) -> Limits:
    for row in npsm_table():
        if row.size != thread.size:
            continue
        source = "ASME B1.20.1 Table 6"
        major, pitch, nut_pitch, nut_minor = (
            in_mm(float(least), float(greatest))
            for least, greatest in (
                row.external_major_in,
                row.external_pitch_in,
                row.internal_pitch_in,
                row.internal_minor_in,
            )
        )
        return Limits(
            ClassLimits("2A", True, major, pitch, (None, None), source),
            ClassLimits("2B", False, (major[1], None), nut_pitch, nut_minor, source),
        )
    return NO_LIMITS


def _g(thread: Thread, wanted: str) -> Limits:
    if wanted not in ("A", "B"):
        raise ValueError(f"class {wanted} is not a class of ISO 228-1, which has A and B")
    for row in g_table():
        if row.size != thread.size:
            continue
        major, pitch, minor, pitch_t, major_t, minor_t = (
            float(value)
            for value in (
                *(row.major_mm, row.pitch_diameter_mm, row.minor_mm),
                *(row.pitch_tolerance_mm, row.major_tolerance_mm, row.minor_tolerance_mm),
            )
        )
        external_t = pitch_t if wanted == "A" else 2 * pitch_t
        return Limits(
            ClassLimits(
                wanted,
                True,
                (rounded(major - major_t, 4), major),
                (rounded(pitch - external_t, 4), pitch),
                (None, minor),
                "ISO 228-1",
            ),
            ClassLimits(
                "internal",
                False,
                (major, None),
                (pitch, rounded(pitch + pitch_t, 4)),
                (minor, rounded(minor + minor_t, 4)),
                "ISO 228-1",
            ),
        )
    return NO_LIMITS
