"""What the bench commands print, as plain data in documented, stable shapes.

Each imports what it alone needs when it is called: a thread at the bench does not wait
for mix-ups, tightening and identification.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from kbgen.units.complete import NO_HOUSE, HouseThreads, complete
from kbgen.units.designation import Thread
from kbgen.units.judging import judge
from kbgen.units.limits import limits
from kbgen.units.profile import INCH_MM, Dimensions, dimensions, stress_area
from kbgen.units.tolerance import Between, ClassLimits

if TYPE_CHECKING:
    from kbgen.units.fit import Three
    from kbgen.units.torque import Torque

__all__ = ["describe_fit", "describe_identify", "describe_thread", "describe_torque"]

Plain = dict[str, Any]

SHOWN_UNITS = ("N·m", "cN·m", "lbf·ft", "lbf·in", "ozf·in", "kgf·m", "kgf·cm")


def describe_thread(
    thread: Thread, fit_class: str | None = None, house: HouseThreads = NO_HOUSE
) -> Plain:
    """Return a thread with its verdict, dimensions and limits of size.

    Shape: ``limits.external`` and ``limits.internal`` are null where no limits
    are published; figures are null where the thread was said in part.
    Raises: ValueError for a class that the standard does not have.
    """
    thread = complete(thread, house)
    judgement = judge(thread, house)
    size = _size(thread)
    area = stress_area(thread) if size else None
    found = limits(thread, fit_class) if size else None
    inch = bool(size and size.inch)
    return {
        "canonical": str(thread),
        "verdict": judgement.verdict.value,
        "system": thread.system.value,
        "series": judgement.series,
        "standard": judgement.standard,
        "size": thread.size,
        **_dimensions(size),
        "stress_area_mm2": round(area.mm2, 4) if area else None,
        "stress_area_in2": round(area.mm2 / INCH_MM**2, 6) if area and inch else None,
        "stress_area_source": area.source if area else None,
        "hand": thread.hand,
        "limits": {
            "external": _limits(found.external if found else None, inch),
            "internal": _limits(found.internal if found else None, inch),
        },
        "assumed": list(size.assumed) if size else [],
        "findings": [
            {"code": objection.code, "message": objection.message, "hint": objection.hint}
            for objection in judgement.objections
        ],
    }


def describe_fit(screw: Thread, hole: Thread) -> Plain:
    """Return what happens when a screw is offered to a hole.

    Raises: ValueError when either was said in part.
    """
    from kbgen.units.fit import fit

    screw, hole = complete(screw), complete(hole)
    found = fit(screw, hole)
    return {
        "screw": str(screw),
        "hole": str(hole),
        "outcome": found.outcome.value,
        "turns": _three(found.turns, 2) if found.turns else None,
        "hold_percent": _three(found.hold_percent, 1),
        "nut_turns": round(found.nut_turns, 1),
        "in_words": found.in_words,
    }


def describe_torque(
    torque: Torque,
    thread: Thread | None = None,
    strength: str | None = None,
    nut_factor: float | Sequence[float] | None = None,
) -> Plain:
    """Return a torque in other units and, with a thread, what it does to the screw.

    Raises: ValueError for a strength or nut factor that is none, or a torque
    whose unit was not said.
    """
    from kbgen.units.torque_units import UNITS

    low, high = torque.low_nm, torque.high_nm
    if low is None and high is None:
        raise ValueError("the unit of this torque was not stated")
    described: Plain = {
        "canonical": str(torque),
        "low_nm": _figures(low),
        "high_nm": _figures(high),
        "then_deg": None if torque.then_deg is None else float(torque.then_deg),
        "in_units": {
            name: [
                _figures(low, UNITS[name].newton_metres),
                _figures(high, UNITS[name].newton_metres),
            ]
            for name in SHOWN_UNITS
        },
    }
    if thread is None:
        return described
    from kbgen.units.preload import tightening

    thread = complete(thread)
    found = tightening(
        thread,
        None if low is None else float(low),
        None if high is None else float(high),
        strength,
        nut_factor,
        (torque.unit.name,) if torque.unit else (),
    )
    return {
        **described,
        "thread": str(thread),
        "preload_n": [round(force) for force in found.preload_n] if found.preload_n else None,
        "proof_share": [round(part, 3) for part in found.proof_share]
        if found.proof_share
        else None,
        "verdict": found.verdict,
        "assumed": list(found.assumed),
        "findings": [
            {"code": concern.code, "message": concern.message, "hint": concern.hint}
            for concern in found.concerns
        ],
    }


def describe_identify(
    diameter_mm: float,
    pitch_mm: float,
    within_mm: float | None = None,
    bore: bool = False,
    house: Iterable[Thread] = (),
    pitch_within_mm: float | None = None,
) -> Plain:
    """Return every thread that a reading may be, an empty list when none.

    Shape: ``within_mm`` is the uncertainty of the diameter, else that of a caliper.
    Raises: ValueError for a reading that is none.
    """
    from kbgen.units.identify import READING_MM, identify

    within_mm = READING_MM if within_mm is None else within_mm
    found = identify(diameter_mm, pitch_mm, within_mm, pitch_within_mm, bore, house)
    return {
        "measured": {
            "bore_mm" if bore else "major_mm": diameter_mm,
            "pitch_mm": round(pitch_mm, 4),
            "within_mm": within_mm,
        },
        "candidates": [
            {
                "canonical": str(candidate.thread),
                "expected_mm": [round(limit, 3) for limit in candidate.expected_mm],
                "pitch_difference_mm": round(candidate.pitch_difference_mm, 4),
                "settled_by": candidate.settled_by,
                "from_memory": candidate.from_memory,
            }
            for candidate in found
        ],
    }


def _size(thread: Thread) -> Dimensions | None:
    try:
        return dimensions(thread)
    except ValueError:
        return None


_DIMENSIONS = (
    *("major_mm", "major_in", "pitch_mm", "tpi", "angle_deg"),
    *("pitch_diameter_mm", "minor_diameter_mm", "root_diameter_mm"),
)


def _dimensions(size: Dimensions | None) -> Plain:
    if size is None:
        return dict.fromkeys(_DIMENSIONS)
    tpi = size.tpi if size.inch else None
    values = (
        round(size.major_mm, 4),
        round(size.major_mm / INCH_MM, 5),
        round(size.pitch_mm, 5),
        _number(tpi) if tpi else None,
        size.form.angle_deg,
        round(size.pitch_diameter_mm, 4),
        round(size.minor_mm, 4),
        round(size.root_mm, 4),
    )
    return dict(zip(_DIMENSIONS, values, strict=True))


def _limits(found: ClassLimits | None, inch: bool) -> Plain | None:
    if found is None:
        return None
    described: Plain = {"class": found.fit_class}
    for name, between in (
        ("major", found.major_mm),
        ("pitch_diameter", found.pitch_diameter_mm),
        ("minor_diameter", found.minor_mm),
    ):
        described[f"{name}_mm"] = _between(between, 1.0)
        if inch:
            described[f"{name}_in"] = _between(between, INCH_MM)
    described["source"] = found.source
    described["marks"] = list(found.marks)
    return described


def _between(between: Between, unit_mm: float) -> list[float | None]:
    return [None if limit is None else round(limit / unit_mm, 4) for limit in between]


def _three(three: Three, places: int) -> dict[str, float]:
    return {
        "tight": round(three.tight, places),
        "middle": round(three.middle, places),
        "loose": round(three.loose, places),
    }


def _number(value: Fraction) -> int | float:
    return int(value) if value.denominator == 1 else float(value)


def _figures(value: Fraction | None, unit: Fraction = Fraction(1)) -> float | None:
    """Return a torque in a unit, in six figures: more than any wrench tells."""
    return None if value is None else float(f"{float(value / unit):.6g}")
