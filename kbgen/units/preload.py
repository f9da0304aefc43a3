"""A torque against its screw: preload, share of proof stress, and what is wrong with it.

The preload is T / (K d), with the nut factor K as a range wherever it was not
stated: a torque wrench gives no better. Sources: NASA-TM-106943 p. 2 (K about
0.20 unlubricated, 0.11 to 0.15 lubricated); strength classes as in ``strength``.
What counts as implausibly low, and three quarters of proof as the usual aim, are
common practice, no published source.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from kbgen.units.designation import Thread
from kbgen.units.profile import dimensions, stress_area
from kbgen.units.strength import (
    Strength,
    proof_load,
    strengths,
    strongest_made,
    weakest_made,
)

__all__ = ["ABOVE_PROOF", "Concern", "Tightening", "tightening"]

DRY = 0.20
LUBRICATED = (0.11, 0.15)
UNSTATED = (LUBRICATED[0], DRY)
USUAL_SHARE = 0.75
LEAST_SHARE = 0.02
PLAUSIBLE_SHARE = 0.10

ABOVE_PROOF = "torque-above-proof"
ABOVE_USUAL = "torque-high"
TOO_LOW = "torque-low"

POUND_INCH_NM = 0.1129848290276167
KILOGRAM_CM_NM = 0.0980665
# One unit written for another: what was written, what may have been meant, and the
# factor from the value read to the value meant.
SLIPS = (
    ("lbf·ft", "lbf·in", 1 / 12),
    ("lbf·in", "lbf·ft", 12.0),
    ("N·m", "lbf·in", POUND_INCH_NM),
    ("N·m", "cN·m", 0.01),
    ("cN·m", "N·m", 100.0),
    ("N·m", "kgf·cm", KILOGRAM_CM_NM),
    ("kgf·m", "kgf·cm", 0.01),
    ("kgf·cm", "kgf·m", 100.0),
    ("kgf·cm", "N·m", 1 / KILOGRAM_CM_NM),
    ("lbf·in", "N·m", 1 / POUND_INCH_NM),
    ("ozf·in", "lbf·in", 16.0),
    ("mN·m", "N·m", 1000.0),
)

VERDICTS = {
    ABOVE_PROOF: "above proof",
    ABOVE_USUAL: "above three quarters of proof",
    TOO_LOW: "implausibly low",
}
FITS, NOT_JUDGED = "fits", "not judged"
WORDS = {
    "hollow": "not judged: a pipe thread is hollow",
    "area": "stress area {area} mm²: {source}",
    "weakest": "strength class not stated: the weakest in use assumed, {weakest}",
    "stated": "strength as stated: {weakest}",
    "several": "'{stated}' read as {weakest} to {strongest}",
    "factor": "nut factor not stated: {low} (lubricated) to {high} (dry) assumed (NASA-TM-106943)",
    "no_factor": "a nut factor lies between 0.01 and 1, found {found}",
    "above_proof": "{torque} stretches this screw to {share} of its proof stress even at a nut "
    "factor of {factor} (strength {what}: {strongest})",
    "what_stated": "stated",
    "what_strongest": "not stated; the strongest in use",
    "check_value": "check the value and its unit against the source, or state the strength class",
    "above_usual": "{torque} is {share} of proof stress {reason}, at a nut factor of {factor}",
    "for_stated": "for {strength}",
    "for_weakest": "for the weakest class in use, {strength}",
    "usual_aim": "three quarters of proof is the usual aim (common practice, no published source)",
    "state_class": "state the strength class if the screw is a stronger one",
    "too_low": "{torque} is only {share} of proof stress even for {weakest} at a nut factor of "
    "{factor}",
    "check_unit": "check the unit; for a screw that only positions something, say the tightness "
    "in words",
    "slip": "this would fit if it were {meant} and not {written} ({torque})",
    "torque": "{figure} N·m",
}
"""What a judgement is said with."""


@dataclass(frozen=True, slots=True)
class Concern:
    """What is wrong with a torque: a code of the findings, a message and a hint."""

    code: str
    message: str
    hint: str


@dataclass(frozen=True, slots=True)
class Tightening:
    """What a torque does to its screw.

    Shape: ``preload_n`` and ``proof_share`` are (least, greatest), None where the
    screw cannot be judged; ``assumed`` says in a sentence each what was not
    stated. Shares are of 1.
    """

    verdict: str
    preload_n: tuple[float, float] | None
    proof_share: tuple[float, float] | None
    assumed: tuple[str, ...]
    concerns: tuple[Concern, ...]


@dataclass(frozen=True, slots=True)
class Case:
    """A torque, its screw and what they were taken for. Units: N·m, mm, mm²."""

    low_nm: float
    high_nm: float
    diameter_mm: float
    area_mm2: float
    nut_factor: tuple[float, float]
    weakest: Strength
    strongest: Strength
    stated: str | None

    def least_share(self, strength: Strength, torque_nm: float) -> float:
        """Return the share of proof at the largest nut factor."""
        return self._share(strength, torque_nm, self.nut_factor[1])

    def greatest_share(self, strength: Strength, torque_nm: float) -> float:
        """Return the share of proof at the smallest nut factor."""
        return self._share(strength, torque_nm, self.nut_factor[0])

    def preload(self, torque_nm: float, nut_factor: float) -> float:
        """Return the preload. Units: newtons."""
        return torque_nm * 1000 / (nut_factor * self.diameter_mm)

    def _share(self, strength: Strength, torque_nm: float, nut_factor: float) -> float:
        return self.preload(torque_nm, nut_factor) / proof_load(strength, self.area_mm2)


def tightening(
    thread: Thread,
    low_nm: float | None,
    high_nm: float | None,
    strength: str | None = None,
    nut_factor: float | Sequence[float] | None = None,
    units: Sequence[str] = ("N·m",),
) -> Tightening:
    """Return what a torque does to a screw.

    Shape: the torque is ``low_nm`` to ``high_nm``, either None where open;
    ``strength`` as ``strengths`` accepts it; ``nut_factor`` one value or the least
    and the greatest; ``units`` the units as written (``lbf·ft``), for telling
    which slip would explain a value that cannot be.
    Raises: ValueError for a strength or nut factor that is none.
    """
    if low_nm is None and high_nm is None:
        raise ValueError("a torque states a value, found neither limit")
    low = low_nm if low_nm is not None else high_nm
    high = high_nm if high_nm is not None else low_nm
    assert low is not None
    assert high is not None
    try:
        size, area = dimensions(thread), stress_area(thread)
    except ValueError as reason:
        return Tightening(NOT_JUDGED, None, None, (f"{NOT_JUDGED}: {reason}",), ())
    if area is None:
        return Tightening(NOT_JUDGED, None, None, (WORDS["hollow"],), ())
    factors, factor_assumed = _nut_factor(nut_factor)
    weakest, strongest, strength_assumed = _strength(strength, thread, size.major_mm)
    case = Case(low, high, size.major_mm, area.mm2, factors, weakest, strongest, strength)
    concerns = _concerns(case, units, low_nm is None)
    readings = (weakest, strongest if strength else weakest)
    return Tightening(
        _verdict(concerns),
        (case.preload(low, factors[1]), case.preload(high, factors[0])),
        (case.least_share(readings[1], low), case.greatest_share(readings[0], high)),
        (
            *strength_assumed,
            *factor_assumed,
            WORDS["area"].format(area=f"{area.mm2:.3g}", source=area.source),
        ),
        concerns,
    )


def _strength(
    stated: str | None, thread: Thread, diameter_mm: float
) -> tuple[Strength, Strength, tuple[str, ...]]:
    if stated is None:
        weakest = weakest_made(thread, diameter_mm)
        said = WORDS["weakest"].format(weakest=weakest)
        return weakest, strongest_made(thread, diameter_mm), (said,)
    readings = strengths(stated, thread, diameter_mm)
    weakest, strongest = readings[0], readings[-1]
    if weakest == strongest:
        return weakest, strongest, (WORDS["stated"].format(weakest=weakest),)
    said = WORDS["several"].format(stated=stated, weakest=weakest, strongest=strongest)
    return weakest, strongest, (said,)


def _nut_factor(
    stated: float | Sequence[float] | None,
) -> tuple[tuple[float, float], tuple[str, ...]]:
    if stated is None:
        low, high = UNSTATED
        said = WORDS["factor"].format(low=f"{low:.2f}", high=f"{high:.2f}")
        return UNSTATED, (said,)
    values = (stated,) if isinstance(stated, int | float) else tuple(stated)
    if not values or not all(0.01 <= value <= 1 for value in values):
        found = ", ".join(f"{value:g}" for value in values)
        raise ValueError(WORDS["no_factor"].format(found=found))
    return (min(values), max(values)), ()


def _concerns(case: Case, units: Sequence[str], limit_only: bool) -> tuple[Concern, ...]:
    strongest = case.least_share(case.strongest, case.high_nm)
    judged = case.strongest if case.stated else case.weakest
    share = case.least_share(judged, case.high_nm)
    found: list[Concern] = []
    if strongest > 1:
        found.append(_above_proof(case, strongest))
    elif share > USUAL_SHARE:
        found.append(_above_usual(case, share, judged))
    elif case.greatest_share(case.weakest, case.high_nm) < LEAST_SHARE and not limit_only:
        found.append(_too_low(case))
    slip = _slip(case, units)
    if found and slip and found[0].code != ABOVE_USUAL:
        found[0] = replace(found[0], hint=f"{slip}; {found[0].hint}")
    return tuple(found)


def _above_proof(case: Case, share: float) -> Concern:
    what = WORDS["what_stated" if case.stated else "what_strongest"]
    return Concern(
        ABOVE_PROOF,
        WORDS["above_proof"].format(
            torque=_nm(case.high_nm),
            share=f"{share:.0%}",
            factor=f"{case.nut_factor[1]:.2f}",
            what=what,
            strongest=case.strongest,
        ),
        WORDS["check_value"],
    )


def _above_usual(case: Case, share: float, judged: Strength) -> Concern:
    reason = WORDS["for_stated" if case.stated else "for_weakest"].format(strength=judged)
    return Concern(
        ABOVE_USUAL,
        WORDS["above_usual"].format(
            torque=_nm(case.high_nm),
            share=f"{share:.0%}",
            reason=reason,
            factor=f"{case.nut_factor[1]:.2f}",
        ),
        WORDS["usual_aim" if case.stated else "state_class"],
    )


def _too_low(case: Case) -> Concern:
    share = case.greatest_share(case.weakest, case.high_nm)
    return Concern(
        TOO_LOW,
        WORDS["too_low"].format(
            torque=_nm(case.high_nm),
            share=f"{share:.1%}",
            weakest=case.weakest,
            factor=f"{case.nut_factor[0]:.2f}",
        ),
        WORDS["check_unit"],
    )


def _slip(case: Case, units: Sequence[str]) -> str:
    """Return which unit written for another would explain a torque that cannot be."""
    for written, meant, factor in SLIPS:
        if written not in units:
            continue
        torque = case.high_nm * factor
        least = case.least_share(case.weakest, torque)
        if least >= PLAUSIBLE_SHARE and case.least_share(case.strongest, torque) <= 1:
            return WORDS["slip"].format(meant=meant, written=written, torque=_nm(torque))
    return ""


def _verdict(concerns: tuple[Concern, ...]) -> str:
    return VERDICTS[concerns[0].code] if concerns else FITS


def _nm(torque_nm: float) -> str:
    return WORDS["torque"].format(figure=f"{torque_nm:.4g}")
