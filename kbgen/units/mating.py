"""The geometry of a screw in a hole: how much room the flanks leave in one turn.

A ridge of the screw stands in a groove of the hole. At the diameter x the
groove is ``P/2 - (x - D2) tan(a/2)`` wide and the ridge
``P/2 - (x - d2) tan(a/2)``, each with its own pitch, pitch diameter and flank
angle; rounded crests and roots cut in. The narrowest place over the overlap is
the room of one turn. First principles; nothing here was tried on real parts.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from math import atan, inf, radians, sin, sqrt, tan

from kbgen.units.designation import System, Thread
from kbgen.units.limits import limits
from kbgen.units.profile import INCH_MM, Form, dimensions
from kbgen.units.standards.published import npt_table

__all__ = ["Flanks", "Hole", "Screw", "flanks", "holes", "play", "screws"]

# The external root of a 60 degree thread lies H/3 a side below its pitch line.
ROOT_60 = 0.57735
# The internal root of a 60 degree thread may be cleared to 11/12 H (ASME B1.1, from memory).
CLEARED_ROOT_60 = 0.793857
STEPS = 12
REFINEMENTS = 24


@dataclass(frozen=True, slots=True)
class Screw:
    """An external thread at one place of its limits. Units: millimetres, diameters."""

    pitch: float
    major: float
    effective: float
    root: float
    slope: float
    crest_radius: float
    root_radius: float

    def ridge(self, x: float) -> float:
        """Return how wide the ridge is at the diameter ``x``."""
        width = self.pitch / 2 - (x - self.effective) * self.slope
        crest = _arc(self.crest_radius, (self.major - x) / 2, self.slope)
        groove = _arc(self.root_radius, (x - self.root) / 2, self.slope)
        return max(min(width, crest), self.pitch - groove)


@dataclass(frozen=True, slots=True)
class Hole:
    """An internal thread at one place of its limits. Units: millimetres, diameters."""

    pitch: float
    root: float
    effective: float
    minor: float
    slope: float
    crest_radius: float
    root_radius: float

    def groove(self, x: float) -> float:
        """Return how wide the groove is at the diameter ``x``."""
        width = self.pitch / 2 - (x - self.effective) * self.slope
        root = _arc(self.root_radius, (self.root - x) / 2, self.slope)
        ridge = _arc(self.crest_radius, (x - self.minor) / 2, self.slope)
        return max(min(width, root), self.pitch - ridge)


@dataclass(frozen=True, slots=True)
class Flanks:
    """A screw's ridge and a hole's groove, each at the middle of its limits.

    Shape: ``ridge`` and ``groove`` are outlines of half a section, from the greatest
    diameter down: how far below the crest of the ridge, and how wide there. ``room`` is
    the axial room of one turn, 0 where the flanks foul. Units: millimetres.
    """

    ridge: tuple[tuple[float, float], ...]
    groove: tuple[tuple[float, float], ...]
    ridge_pitch: float
    groove_pitch: float
    room: float


def flanks(screw_thread: Thread, hole_thread: Thread) -> Flanks:
    """Return the section of a screw and of the hole that it is offered to.

    Raises: ValueError as ``dimensions``.
    """
    screw, hole = screws(screw_thread)[1], holes(hole_thread)[1]
    room = play(screw, hole)

    def outline(
        most: float, least: float, wide: Callable[[float], float]
    ) -> tuple[tuple[float, float], ...]:
        down = [most - (most - least) * n / STEPS for n in range(STEPS + 1)]
        return tuple(((screw.major - x) / 2, max(wide(x), 0.0)) for x in down)

    return Flanks(
        outline(screw.major, screw.root, screw.ridge),
        outline(hole.root, hole.minor, hole.groove),
        screw.pitch,
        hole.pitch,
        0.0 if room == inf else max(room, 0.0),
    )


def play(screw: Screw, hole: Hole) -> float:
    """Return the axial room of one turn, below zero where the flanks foul.

    Shape: ``inf`` where ridge and groove do not overlap at all.
    Units: millimetres.
    """
    low, high = max(hole.minor, screw.root), min(screw.major, hole.root)
    if low > high:
        return inf if screw.major < hole.minor else high - low
    cuts = sorted({low, high, *(x for x in _arc_ends(screw, hole) if low < x < high)})
    return min(
        _least(screw, hole, start, end) for start, end in zip(cuts, [*cuts[1:], high], strict=True)
    )


def _least(screw: Screw, hole: Hole, low: float, high: float) -> float:
    """Return the least room between two diameters, where no arc begins or ends."""
    step = (high - low) / STEPS
    rooms = [hole.groove(low + n * step) - screw.ridge(low + n * step) for n in range(STEPS + 1)]
    best = rooms.index(min(rooms))
    start, end = low + max(best - 1, 0) * step, low + min(best + 1, STEPS) * step
    for _ in range(REFINEMENTS):
        one, other = start + (end - start) / 3, end - (end - start) / 3
        if hole.groove(one) - screw.ridge(one) < hole.groove(other) - screw.ridge(other):
            end = other
        else:
            start = one
    return min(rooms[best], hole.groove(start) - screw.ridge(start))


@cache
def screws(thread: Thread) -> tuple[Screw, Screw, Screw]:
    """Return a screw at its tight limit, in the middle and at its slack limit.

    Shape: where no limits are published all three are at basic size.
    Raises: ValueError as ``dimensions``.
    """
    size = dimensions(thread)
    form, p = size.form, size.pitch_mm
    found = limits(thread).external
    majors = _pair(found.major_mm if found else None, size.major_mm)
    effectives = _pair(found.pitch_diameter_mm if found else None, size.pitch_diameter_mm)
    for row in npt_table():
        if thread.system is System.NPT and row.size == thread.size:
            # A taper screw enters with its small end.
            effectives = (float(row.e0_in) * INCH_MM,) * 2
            majors = (effectives[0] + form.effective * p,) * 2

    def at(major: float, effective: float) -> Screw:
        rounded = form.crest_radius > 0
        root = major - form.root * p if rounded else effective - ROOT_60 * p
        return Screw(
            *(p, major, effective, root, _slope(form)),
            *(form.crest_radius * p, form.root_radius * p),
        )

    tight, slack = at(majors[1], effectives[1]), at(majors[0], effectives[0])
    middle = Screw(*((getattr(tight, name) + getattr(slack, name)) / 2 for name in _FIELDS[Screw]))
    return tight, middle, slack


@cache
def holes(thread: Thread) -> tuple[Hole, Hole, Hole]:
    """Return a hole at its tight limit, in the middle and at its slack limit.

    Shape: where no limits are published all three are at basic size.
    Raises: ValueError as ``dimensions``.
    """
    size = dimensions(thread)
    form, p = size.form, size.pitch_mm
    found = limits(thread).internal
    effectives = _pair(found.pitch_diameter_mm if found else None, size.pitch_diameter_mm)
    minors = _pair(found.minor_mm if found else None, size.minor_mm)
    cleared = form.effective if form.nut_root_radius > 0 else CLEARED_ROOT_60
    slack_root = effectives[1] + cleared * p if found else size.major_mm

    def at(root: float, effective: float, minor: float) -> Hole:
        return Hole(
            *(p, root, effective, minor, _slope(form)),
            *(form.nut_crest_radius * p, form.nut_root_radius * p),
        )

    tight = at(size.major_mm, effectives[0], minors[0])
    slack = at(slack_root, effectives[1], minors[1])
    middle = Hole(*((getattr(tight, name) + getattr(slack, name)) / 2 for name in _FIELDS[Hole]))
    return tight, middle, slack


_FIELDS: dict[type, tuple[str, ...]] = {
    Screw: ("pitch", "major", "effective", "root", "slope", "crest_radius", "root_radius"),
    Hole: ("pitch", "root", "effective", "minor", "slope", "crest_radius", "root_radius"),
}


def _pair(found: tuple[float | None, float | None] | None, basic: float) -> tuple[float, float]:
    if found is None:
        return basic, basic
    least, greatest = found
    return basic if least is None else least, basic if greatest is None else greatest


def _slope(form: Form) -> float:
    return tan(radians(form.angle_deg / 2))


def _arc(radius: float, depth: float, slope: float) -> float:
    """Return the width of a rounded end at ``depth`` below its top, inf below the arc."""
    if radius == 0 or depth >= radius * (1 - sin(atan(slope))):
        return inf
    if depth <= 0:
        return 0.0
    return 2 * sqrt(radius**2 - (radius - depth) ** 2)


def _arc_ends(screw: Screw, hole: Hole) -> tuple[float, ...]:
    def reach(radius: float, slope: float) -> float:
        return 2 * radius * (1 - sin(atan(slope)))

    return (
        screw.major - reach(screw.crest_radius, screw.slope),
        screw.root + reach(screw.root_radius, screw.slope),
        hole.root - reach(hole.root_radius, hole.slope),
        hole.minor + reach(hole.crest_radius, hole.slope),
    )
