"""Which threads a measured diameter and pitch may be: all of them, never the nearest.

A screw is never thicker than basic but for burrs, and is thinner by allowance,
tolerance and wear: the window is one-sided. A bore is measured across the
crests of its thread and is a different reading. How much wear, burr and pitch
error to expect is common practice, no published source.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache
from math import ceil

from kbgen.units.designation import System, Thread
from kbgen.units.limits import limits
from kbgen.units.profile import INCH_MM, dimensions
from kbgen.units.standards import SeriesRow, all_rows
from kbgen.units.standards.published import npt_table
from kbgen.units.tolerance_unified import unified_limits

__all__ = [
    "BURR_MM",
    "MOST_TURNS",
    "PITCH_LEAST_MM",
    "PITCH_SHARE",
    "READING_MM",
    "VISIBLE_MM",
    "WEAR_MM",
    "WEAR_SHARE",
    "WORDS",
    "Candidate",
    "Known",
    "identify",
    "known_of",
    "thread_of",
]

READING_MM = 0.02
BURR_MM = 0.02
WEAR_MM = 0.02
WEAR_SHARE = 0.005
# A pitch gauge laid on a few turns tells pitches that differ by more than this.
PITCH_SHARE = 0.025
PITCH_LEAST_MM = 0.01
# How far two pitches must have run apart before the eye sees it at a gauge leaf.
VISIBLE_MM = 0.1
MOST_TURNS = 60

WORDS = {
    "below_zero": "a diameter and a pitch are above zero, an uncertainty is not below it",
    "wider": "a pitch of {pitch} mm is wider than {diameter} mm",
    "gauge": "{turns} {word} on the pitch gauge before it parts from",
    "angle": "the flank angle, {own}° against {other}°, parts it from",
    "taper": "the taper, measured at two places, parts it from",
    "thickness": "an unworn thread {by} mm {word} than that of",
    "nothing": "nothing that can be measured parts it from",
}
"""What an answer is said with."""


@dataclass(frozen=True, slots=True)
class Candidate:
    """A thread that a reading may be.

    Shape: ``expected_mm`` is what may be read on such a thread, worn or new;
    ``settled_by`` says what parts it from the other candidates, None when it is
    the only one. ``from_memory`` marks a row that was seen in no document.
    """

    thread: Thread
    expected_mm: tuple[float, float]
    pitch_difference_mm: float
    settled_by: str | None
    from_memory: bool = False


@dataclass(frozen=True, slots=True)
class Known:
    """A thread of the tables with what may be read on it.

    Shape: ``least_major`` is the least of an unworn screw, ``minor`` the least and the
    greatest of an unworn hole. Units: millimetres.
    """

    thread: Thread
    major: float
    pitch: float
    angle_deg: float
    least_major: float
    minor: tuple[float, float]
    from_memory: bool

    @property
    def wear(self) -> float:
        """How much a thread may have lost."""
        return WEAR_MM + WEAR_SHARE * self.major

    @property
    def screw(self) -> tuple[float, float]:
        """What may be read over the crests of a screw, worn or new."""
        return self.least_major - self.wear, self.major + BURR_MM

    @property
    def bore(self) -> tuple[float, float]:
        """What may be read between the crests of a hole, worn or new."""
        return self.minor[0] - BURR_MM, self.minor[1] + self.wear


def identify(
    diameter_mm: float,
    pitch_mm: float,
    within_mm: float = READING_MM,
    pitch_within_mm: float | None = None,
    bore: bool = False,
    house: Iterable[Thread] = (),
) -> tuple[Candidate, ...]:
    """Return every thread of every system, and of the house, that fits a reading.

    Shape: ``diameter_mm`` is the major diameter of a screw, with ``bore`` the
    diameter across the crests of a tapped hole; ``within_mm`` its uncertainty.
    Nearest pitch first; empty when none fits.
    Raises: ValueError for a reading that is none.
    """
    if not (diameter_mm > 0 and pitch_mm > 0 and within_mm >= 0):
        raise ValueError(WORDS["below_zero"])
    if pitch_mm >= diameter_mm:
        raise ValueError(WORDS["wider"].format(pitch=f"{pitch_mm:g}", diameter=f"{diameter_mm:g}"))
    apart = pitch_within_mm
    if apart is None:
        apart = max(PITCH_SHARE * pitch_mm, PITCH_LEAST_MM)
    found = []
    for known in (*_near(pitch_mm, apart + 1e-9), *(known_of(thread, False) for thread in house)):
        least, greatest = known.bore if bore else known.screw
        fits = least - within_mm <= diameter_mm <= greatest + within_mm
        if fits and abs(known.pitch - pitch_mm) <= apart + 1e-9:
            found.append(known)
    found.sort(key=lambda known: _rank(known, diameter_mm, pitch_mm))
    return tuple(
        Candidate(
            known.thread,
            known.bore if bore else known.screw,
            known.pitch - pitch_mm,
            _settled(known, [other for other in found if other is not known], within_mm),
            known.from_memory,
        )
        for known in found
    )


def _rank(known: Known, diameter_mm: float, pitch_mm: float) -> tuple[float, bool, float, Thread]:
    return (
        round(abs(known.pitch - pitch_mm), 4),
        known.from_memory,
        round(abs(known.major - diameter_mm), 4),
        known.thread,
    )


def _settled(known: Known, others: list[Known], within_mm: float) -> str | None:
    """Return what parts a thread from the others that fit the same reading."""
    if not others:
        return None
    parts: dict[str, list[str]] = {}
    for other in others:
        parts.setdefault(_parting(known, other, within_mm), []).append(str(other.thread))
    return "; ".join(f"{how} {' and '.join(names)}" for how, names in parts.items())


def _parting(known: Known, other: Known, within_mm: float) -> str:
    apart = abs(known.pitch - other.pitch)
    if apart > 1e-6 and ceil(VISIBLE_MM / apart - 1e-9) <= MOST_TURNS:
        turns = ceil(VISIBLE_MM / apart - 1e-9)
        word = "turn" if turns == 1 else "turns"
        return WORDS["gauge"].format(turns=turns, word=word)
    if known.angle_deg != other.angle_deg:
        own, its = f"{known.angle_deg:g}", f"{other.angle_deg:g}"
        return WORDS["angle"].format(own=own, other=its)
    if System.NPT in (known.thread.system, other.thread.system):
        return WORDS["taper"]
    thicker = known.major - other.major
    if abs(thicker) > within_mm:
        word = "thicker" if thicker > 0 else "thinner"
        return WORDS["thickness"].format(by=f"{abs(thicker):.2f}", word=word)
    return WORDS["nothing"]


def _near(pitch_mm: float, apart: float) -> Iterator[Known]:
    """Yield every thread of the tables whose pitch is near."""
    for pitch, row in _by_pitch():
        if abs(pitch - pitch_mm) <= apart:
            yield known_of(thread_of(row), row.from_memory)


@cache
def _by_pitch() -> tuple[tuple[float, SeriesRow], ...]:
    """Return the rows with their pitches; NPS is the thread of NPSM and stands once."""
    return tuple((float(row.pitch_mm), row) for row in all_rows() if row.system is not System.NPS)


def thread_of(row: SeriesRow) -> Thread:
    """Return the thread that a row of the tables is."""
    series = row.series if row.system is System.UNIFIED else None
    tpi = None if row.system in (System.BA, System.PIPE) else row.tpi
    pitch = None if row.system is System.BA else row.pitch
    return Thread(row.system, row.size, tpi, pitch, series)


@cache
def known_of(thread: Thread, from_memory: bool) -> Known:
    """Return a thread with what may be read on it."""
    size = dimensions(thread)
    found = limits(thread)
    # Where no limits are published those of 2A and 2B on the same figures stand in; unified
    # screws may be of the loose class 1A, which takes in class 1 of before 1949.
    loose = unified_limits(thread, "1A" if thread.system is System.UNIFIED else "2A")
    screw = loose.major_mm[0]
    if found.external and thread.system is not System.UNIFIED:
        screw = found.external.major_mm[0]
    assert screw is not None
    for row in npt_table():
        if thread.system is System.NPT and row.size == thread.size:
            screw = float(row.e0_in) * INCH_MM + size.form.effective * size.pitch_mm
    return Known(
        thread,
        size.major_mm,
        size.pitch_mm,
        size.form.angle_deg,
        screw,
        _minor(thread, size.minor_mm),
        from_memory,
    )


def _minor(thread: Thread, minor_mm: float) -> tuple[float, float]:
    held = limits(thread).internal
    if held is not None and held.minor_mm[0] is not None and held.minor_mm[1] is not None:
        return held.minor_mm[0], held.minor_mm[1]
    least, greatest = unified_limits(thread, "2B").minor_mm
    assert least is not None
    assert greatest is not None
    return minor_mm, minor_mm + greatest - least
