"""Screws in holes, and the pairs of a family that get swapped."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as some

from kbgen.units.designation import System, Thread
from kbgen.units.fit import Outcome, dangerous_pairs, fit
from kbgen.units.mating import holes, play, screws
from kbgen.units.standards import all_rows


def inch(size: str, tpi: int, system: System = System.UNIFIED, *, left: bool = False) -> Thread:
    return Thread(system, size, Fraction(tpi), left_hand=left)


def metric(size: str, pitch: str) -> Thread:
    return Thread(System.METRIC, size, None, Decimal(pitch))


COARSE, FINE, HALF = inch("3/8", 24), inch("3/8", 28), inch("1/2", 20)


@pytest.mark.parametrize(
    ("screw", "hole", "outcome", "said"),
    [
        (FINE, HALF, Outcome.DROPS, "drops through"),
        (HALF, FINE, Outcome.NOT, "mm too thick"),
        (COARSE, FINE, Outcome.BINDS, "binds after about 0.4 turns"),
        (FINE, COARSE, Outcome.BINDS, "binds after about 0.6 turns"),
        (FINE, FINE, Outcome.RUNS, "its own thread"),
        (metric("4", "0.7"), inch("8", 36), Outcome.LOOSE, "only 53 % of full thread holds"),
        (inch("10", 32), metric("5", "0.8"), Outcome.RUNS, "runs right through"),
        (inch("1/4", 20, System.WHITWORTH), inch("1/4", 20), Outcome.RUNS, "55° against 60°"),
        (inch("3/8", 24, left=True), COARSE, Outcome.NOT, "left-hand"),
        (inch("1/8", 27, System.NPT), inch("1/8", 27, System.NPS), Outcome.RUNS, "tightens"),
    ],
    ids=str,
)
def test_what_happens_to_a_screw(screw, hole, outcome, said):
    """Source: geometry of the flanks at the limits of the published classes."""
    found = fit(screw, hole)
    assert found.outcome is outcome
    assert said in found.in_words
    assert found.in_words.endswith(".")
    assert found.in_words.count(".") == 1 + found.in_words.count(".", 0, -1)


def test_turns_are_null_for_equal_pitches_and_nothing_where_nothing_enters():
    assert fit(FINE, FINE).turns is None
    assert list(fit(HALF, FINE).turns) == [0, 0, 0]
    assert list(fit(FINE, HALF).turns) == [0, 0, 0]
    tight, middle, loose = fit(FINE, COARSE).turns
    assert tight <= middle <= loose


def test_the_hand_of_both_counts():
    left = inch("3/8", 24, left=True)
    assert fit(left, left).outcome is Outcome.RUNS
    assert fit(COARSE, left).outcome is Outcome.NOT


def test_every_tabled_thread_mates_with_its_own_hole():
    for row in all_rows():
        tpi = None if row.pitch is not None or row.system is System.PIPE else row.tpi
        pitch = None if row.system is System.BA else row.pitch
        thread = Thread(row.system, row.size, tpi, pitch)
        found = fit(thread, thread)
        assert found.outcome is Outcome.RUNS, thread
        assert found.hold_percent.middle > 55, thread
        rooms = [play(s, h) for s, h in zip(screws(thread), holes(thread), strict=True)]
        assert rooms == sorted(rooms), thread


def test_a_thread_said_in_part_is_refused():
    with pytest.raises(ValueError, match="must both be stated"):
        fit(Thread(System.UNIFIED, "1/4"), FINE)


def pairs(*threads: Thread) -> list[tuple[tuple[str, ...], tuple[str, ...]]]:
    found = dangerous_pairs([(f"p{n}", thread) for n, thread in enumerate(threads)])
    return [(pair.first_places, pair.second_places) for pair in found]


def test_equal_diameter_and_unlike_pitch_get_swapped():
    """Common practice, no published source: 3/8-24 and 3/8-28 do; 1/2-20 and 3/8-28 cannot."""
    assert pairs(COARSE, FINE) == [(("p0",), ("p1",))]
    assert pairs(HALF, FINE) == []
    assert pairs(COARSE, HALF, FINE, COARSE) == [(("p0", "p3"), ("p2",))]


@pytest.mark.parametrize(
    ("first", "second", "dangerous"),
    [
        (metric("4", "0.7"), inch("8", 32), True),
        (metric("5", "0.8"), inch("10", 32), True),
        (metric("6", "1"), inch("1/4", 20), True),
        (inch("9/64", 40, System.SEWING), inch("6", 40), True),
        (inch("3/8", 24, left=True), COARSE, True),
        (inch("10", 24), inch("10", 32), True),
        (inch("8", 32), inch("10", 32), False),
        (inch("1/4", 20), inch("5/16", 18), False),
        (metric("3", "0.5"), metric("4", "0.7"), False),
        (COARSE, COARSE, False),
        (COARSE, Thread(System.UNIFIED, "3/8"), False),
        (COARSE, Thread(System.BA, "17"), False),
    ],
    ids=str,
)
def test_which_two_a_person_could_swap(first, second, dangerous):
    """Common practice, no published source."""
    assert bool(pairs(first, second)) is dangerous


def test_a_class_of_fit_makes_no_other_thread():
    stated = Thread(System.UNIFIED, "3/8", Fraction(24), fit_class="2A")
    assert pairs(COARSE, stated) == []
    assert pairs(COARSE, stated, FINE) == [(("p0", "p1"), ("p2",))]


TABLED = tuple(
    Thread(
        row.system,
        row.size,
        None if row.pitch is not None or row.system is System.PIPE else row.tpi,
        None if row.system is System.BA else row.pitch,
    )
    for row in all_rows()
)


@given(some.sampled_from(TABLED), some.sampled_from(TABLED))
def test_any_two_tabled_threads_have_an_outcome(screw, hole):
    found = fit(screw, hole)
    assert all(hold >= 0 for hold in found.hold_percent)
    assert (found.turns is None) is (abs(screws(screw)[0].pitch - holes(hole)[0].pitch) < 1e-6)
    middle = found.turns.middle if found.turns else 0
    match found.outcome:
        case Outcome.DROPS:
            assert (middle, found.hold_percent.middle) == (0, 0)
        case Outcome.NOT:
            assert middle == 0
        case Outcome.BINDS:
            assert middle < found.nut_turns
        case Outcome.LOOSE:
            assert 0 < found.hold_percent.middle < 55
        case Outcome.RUNS:
            assert found.hold_percent.middle >= 55
    assert str(screw) in found.in_words
    assert str(hole) in found.in_words


@given(some.lists(some.sampled_from(TABLED), max_size=8))
def test_dangerous_pairs_do_not_depend_on_where_they_stand(threads):
    forward = dangerous_pairs([(str(thread), thread) for thread in threads])
    backward = dangerous_pairs([(str(thread), thread) for thread in reversed(threads)])
    pairs_forward = {frozenset((pair.first, pair.second)) for pair in forward}
    assert pairs_forward == {frozenset((pair.first, pair.second)) for pair in backward}
