"""What happens when a screw meets a hole, and which fasteners of a family can be swapped.

Source: geometry of the flanks at the limits of the published classes (see
``mating``). That inch threads of equal diameter and unlike pitch in
neighbouring places are the ones that get swapped, and that a hold below 55 % is
weak, is common practice, no published source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import cache
from math import inf

from kbgen.units.designation import System, Thread
from kbgen.units.mating import Hole, Screw, holes, play, screws
from kbgen.units.profile import dimensions

__all__ = ["Fit", "MixUp", "Outcome", "Three", "dangerous_pairs", "fit"]

# Room that fouls by less than this (0.0001 in) is taken as a line-to-line fit.
FOULS_MM = -0.00254
REGULAR_NUT_IN_DIAMETERS = 0.8
FULL_THREAD = 1.0825
WEAK_HOLD_PERCENT = 55
SAME_MM = 1e-6
# Diameters that differ by less than this share are taken for one another by eye and
# hand (common practice, no published source).
NEARLY_EQUAL = 0.06
# Threads that differ by no more than this are one thread for the bench.
SAME_DIAMETER_MM = 0.03


class Outcome(StrEnum):
    """What happens, at the middle of the limits."""

    DROPS = "drops through"
    NOT = "will not start"
    BINDS = "binds"
    LOOSE = "loose"
    RUNS = "runs"


@dataclass(frozen=True, slots=True)
class Three:
    """A figure at the tight limits, in the middle and at the slack limits."""

    tight: float
    middle: float
    loose: float

    def __iter__(self) -> Iterator[float]:
        return iter((self.tight, self.middle, self.loose))


@dataclass(frozen=True, slots=True)
class Fit:
    """A screw in a hole.

    Shape: ``turns`` until it binds, None for equal pitches, 0 where nothing
    enters; ``hold_percent`` is the share of full thread; ``nut_turns`` the turns
    in a regular nut of this hole's thread.
    """

    screw: Thread
    hole: Thread
    outcome: Outcome
    turns: Three | None
    hold_percent: Three
    nut_turns: float
    in_words: str

    @property
    def enters(self) -> bool:
        """Whether the screw catches in this hole at all."""
        return self.outcome in (Outcome.BINDS, Outcome.LOOSE, Outcome.RUNS)


@dataclass(frozen=True, slots=True)
class MixUp:
    """Two threads of one family that a person could swap, with the places of each.

    Shape: ``first_in_second`` is the first's screw in the second's hole.
    """

    first: Thread
    first_places: tuple[str, ...]
    second: Thread
    second_places: tuple[str, ...]
    first_in_second: Fit
    second_in_first: Fit


@cache
def fit(screw: Thread, hole: Thread) -> Fit:
    """Return what happens when ``screw`` is offered to ``hole``.

    Raises: ValueError when size or pitch of either was not said.
    """
    screw_at, hole_at = screws(screw), holes(hole)
    rooms = tuple(play(s, h) for s, h in zip(screw_at, hole_at, strict=True))
    enters = tuple(
        room >= FOULS_MM and s.major <= h.root + SAME_MM
        for room, s, h in zip(rooms, screw_at, hole_at, strict=True)
    )
    hold = Three(*(_hold(s, h) for s, h in zip(screw_at, hole_at, strict=True)))
    nut_turns = REGULAR_NUT_IN_DIAMETERS * dimensions(hole).major_mm / hole_at[0].pitch
    mismatch = abs(screw_at[0].pitch - hole_at[0].pitch)
    turns = None
    same_hand = screw.left_hand is hole.left_hand
    drops = screw_at[1].major <= hole_at[1].minor
    if mismatch > SAME_MM:
        turns = Three(
            *(
                max(room, 0.0) / mismatch if start and same_hand and room < inf else 0.0
                for room, start in zip(rooms, enters, strict=True)
            )
        )
    if drops:
        outcome = Outcome.DROPS
    elif not enters[1] or not same_hand:
        outcome = Outcome.NOT
    elif turns is not None and turns.middle < nut_turns:
        outcome = Outcome.BINDS
    else:
        outcome = Outcome.LOOSE if hold.middle < WEAK_HOLD_PERCENT else Outcome.RUNS
    found = Fit(screw, hole, outcome, turns, hold, nut_turns, "")
    return replace(found, in_words=_words(found, enters))


def dangerous_pairs(fasteners: Sequence[tuple[str, Thread]]) -> tuple[MixUp, ...]:
    """Return the pairs of threads in one family that a person could swap.

    Shape: one MixUp for each two threads of equal or nearly equal diameter that
    are not alike (unlike pitch, hand or form), in the order of their first
    places; places keep their order. Threads of different diameter are told apart
    by eye and are no pair; those said in part are left out.
    Source: common practice, no published source.
    """
    places: dict[Thread, list[str]] = {}
    for place, thread in fasteners:
        if thread.size is not None and _computable(thread):
            places.setdefault(replace(thread, fit_class=None), []).append(place)
    threads = list(places)
    found = []
    for n, first in enumerate(threads):
        for second in threads[n + 1 :]:
            if not _nearly_equal(first, second):
                continue
            there, back = fit(first, second), fit(second, first)
            if _swappable(there, back):
                found.append(
                    MixUp(
                        *(first, tuple(places[first]), second, tuple(places[second])),
                        *(there, back),
                    )
                )
    return tuple(found)


def _hold(screw: Screw, hole: Hole) -> float:
    depth = min(screw.major, hole.root) - hole.minor
    return max(100 * depth / (FULL_THREAD * hole.pitch), 0.0)


@cache
def _computable(thread: Thread) -> bool:
    try:
        dimensions(thread)
    except ValueError:
        return False
    return True


def _nearly_equal(first: Thread, second: Thread) -> bool:
    one, other = dimensions(first).major_mm, dimensions(second).major_mm
    return abs(one - other) < NEARLY_EQUAL * max(one, other)


def _swappable(there: Fit, back: Fit) -> bool:
    one, other = dimensions(there.screw), dimensions(back.screw)
    equal = abs(one.major_mm - other.major_mm) <= SAME_DIAMETER_MM
    if equal and (there.turns is not None or there.screw.left_hand is not back.screw.left_hand):
        return True
    # Of equal pitch only those that hold badly or foul: a proper fit harms nothing.
    if there.turns is None:
        harms = (Outcome.LOOSE, Outcome.NOT)
        return (there.enters or back.enters) and (there.outcome in harms or back.outcome in harms)
    return there.enters or back.enters


def _words(found: Fit, enters: tuple[bool, ...]) -> str:
    name, hole = _bare(found.screw), _bare(found.hole)
    if found.outcome is Outcome.DROPS:
        text = f"The {name} screw drops through the {hole} hole without catching"
        if found.hold_percent.tight > 0:
            text += f", or catches by {found.hold_percent.tight:.0f} % with the tightest parts"
    elif found.outcome is Outcome.NOT:
        text = f"The {name} screw will not start in the {hole} hole: {_why_not(found, enters)}"
    elif found.outcome is Outcome.BINDS:
        text = f"The {name} screw starts in the {hole} hole and {_binding(found)}"
    elif found.outcome is Outcome.LOOSE:
        text = (
            f"The {name} screw goes into the {hole} hole loose: only "
            f"{found.hold_percent.middle:.0f} % of full thread holds, so it can strip or jump"
        )
    else:
        text = f"The {name} screw goes into the {hole} hole{_running(found, enters)}"
    if found.screw.system is System.NPT and found.enters:
        text += "; a taper screw tightens as it goes in"
    return f"{text}."


def _why_not(found: Fit, enters: tuple[bool, ...]) -> str:
    if found.screw.left_hand is not found.hole.left_hand:
        hand = found.hole.hand
        return f"the hole's thread is {hand}-hand, the screw's is {found.screw.hand}-hand"
    screw, hole = screws(found.screw)[1], holes(found.hole)[1]
    excess = screw.major - hole.root
    if excess > SAME_MM:
        reason = f"it is {excess:.2f} mm too thick"
    elif found.turns is None:
        reason = "the flanks foul"
    else:
        reason = "the pitches differ and the flanks foul within the first turn"
    return f"{reason}; slack parts may catch all the same" if enters[2] else reason


def _binding(found: Fit) -> str:
    assert found.turns is not None
    tight, middle, loose = found.turns
    slack = f"{loose:.1f} with slack ones" if found.hold_percent.loose > 0 else "slack ones drop"
    text = (
        f"binds after about {_turns(middle)} ({tight:.1f} with tight parts, {slack}; a regular "
        f"nut has {found.nut_turns:.0f}); forced further it spoils the softer thread"
    )
    if found.hold_percent.middle < WEAK_HOLD_PERCENT:
        text += f", and it holds by only {found.hold_percent.middle:.0f} % of full thread"
    return text


def _running(found: Fit, enters: tuple[bool, ...]) -> str:
    hold = f"{found.hold_percent.middle:.0f} % of full thread"
    if replace(found.screw, fit_class=None) == replace(found.hole, fit_class=None):
        return f": its own thread, {hold}"
    if found.turns is not None:
        return (
            f" and runs right through a regular nut of {found.nut_turns:.0f} turns with {hold}: "
            "the pitches differ too little to bind in that length, but it is no proper fit"
        )
    screw, hole = dimensions(found.screw).form, dimensions(found.hole).form
    tight = "" if enters[0] else "; parts at their tight limits may foul"
    if screw.angle_deg != hole.angle_deg:
        return (
            f" with {hold}: the pitch is the same, the flanks are {screw.angle_deg:g}° against "
            f"{hole.angle_deg:g}°, so it usually goes on but is no proper fit{tight}"
        )
    return f" with {hold}: the pitch is the same{tight}"


def _turns(turns: float) -> str:
    return "1.0 turn" if round(turns, 1) == 1 else f"{turns:.1f} turns"


def _bare(thread: Thread) -> str:
    return str(replace(thread, fit_class=None))
