"""From a reading to every thread it may be."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as some

from kbgen.units.designation import System, Thread
from kbgen.units.identify import identify
from kbgen.units.limits import limits
from kbgen.units.profile import dimensions
from kbgen.units.standards import all_rows

INCH_MM = 25.4
M5 = Thread(System.METRIC, "5", None, Decimal("0.8"))
NO_10 = Thread(System.UNIFIED, "10", Fraction(32), series="UNF")
HOUSE = Thread(System.HOUSE, "3/16", Fraction(28))


def found(diameter: float, pitch: float, **options) -> list[Thread]:
    return [candidate.thread for candidate in identify(diameter, pitch, **options)]


def test_all_candidates_of_all_systems_are_named():
    assert found(6.3, INCH_MM / 20) == [
        Thread(System.UNIFIED, "1/4", Fraction(20), series="UNC"),
        Thread(System.WHITWORTH, "1/4", Fraction(20)),
    ]


def test_sixteen_turns_before_two_look_alikes_part():
    """Common practice, no published source: a tenth of a millimetre is seen at a gauge leaf."""
    candidates = {candidate.thread: candidate for candidate in identify(4.83, 0.8)}
    assert set(candidates) == {M5, NO_10}
    assert candidates[M5].settled_by.startswith("16 turns on the pitch gauge before it parts")
    assert candidates[NO_10].pitch_difference_mm == pytest.approx(-0.00625)


def test_a_sole_candidate_needs_nothing_to_settle_it():
    (only,) = identify(3.55, INCH_MM / 40)
    assert only.thread == Thread(System.SEWING, "9/64", Fraction(40))
    assert only.settled_by is None
    assert only.from_memory


@pytest.mark.parametrize(("diameter", "pitch"), [(8.0, 3.0), (4.4, 1.0), (20.0, 0.2), (5.7, 0.8)])
def test_none_when_none_fits(diameter, pitch):
    assert found(diameter, pitch) == []


def test_the_window_is_one_sided():
    basic = dimensions(M5).major_mm
    assert M5 in found(basic + 0.03, 0.8)
    assert M5 not in found(basic + 0.05, 0.8)
    assert M5 in found(basic - 0.2, 0.8)


def test_the_uncertainty_of_the_reading_widens_the_window():
    assert M5 not in found(5.06, 0.8)
    assert M5 in found(5.06, 0.8, within_mm=0.05)
    assert found(4.83, 0.79, pitch_within_mm=0.005) == [NO_10]


def test_a_bore_is_another_reading():
    assert M5 in found(4.2, 0.8, bore=True)
    assert M5 not in found(4.9, 0.8, bore=True)
    assert M5 not in found(4.2, 0.8)


def test_declared_house_threads_are_candidates():
    assert HOUSE in found(4.72, INCH_MM / 28, house=[HOUSE])
    assert HOUSE not in found(4.72, INCH_MM / 28)


def test_what_nothing_measurable_parts_is_said():
    settled = [candidate.settled_by for candidate in identify(3.17, INCH_MM / 44)]
    assert settled[0].startswith("nothing that can be measured parts it from SM1/8-44")
    angle = [candidate.settled_by for candidate in identify(6.3, INCH_MM / 20)]
    assert angle[0] == "the flank angle, 60° against 55°, parts it from 1/4-20 BSW"


def test_every_tabled_thread_is_found_at_its_limits_and_in_its_bore():
    for row in all_rows():
        if row.system is System.NPS:
            continue  # the thread of NPSM under another name
        series = row.series if row.system is System.UNIFIED else None
        tpi = None if row.pitch is not None or row.system is System.PIPE else row.tpi
        pitch = None if row.system is System.BA else row.pitch
        thread = Thread(row.system, row.size, tpi, pitch, series)
        size, held = dimensions(thread), limits(thread)
        readings = [size.major_mm]
        if held.external:
            readings += list(held.external.major_mm)
        for reading in readings:
            assert thread in found(reading, size.pitch_mm), thread
        bores = held.internal.minor_mm if held.internal else (size.minor_mm,)
        for reading in bores:
            assert thread in found(reading, size.pitch_mm, bore=True), thread


@pytest.mark.parametrize(
    ("diameter", "pitch", "within"), [(0, 1, 0.02), (5, 0, 0.02), (5, 0.8, -1), (1, 2, 0.02)]
)
def test_a_reading_that_is_none_is_refused(diameter, pitch, within):
    with pytest.raises(ValueError, match=r"above zero|wider than"):
        identify(diameter, pitch, within)


@given(some.floats(1.0, 30.0), some.floats(0.2, 3.0), some.floats(0.0, 0.1), some.booleans())
def test_every_candidate_covers_the_reading(diameter, pitch, within, bore):
    if pitch >= diameter:
        return
    candidates = identify(diameter, pitch, within, bore=bore)
    for candidate in candidates:
        least, greatest = candidate.expected_mm
        assert least - within <= diameter <= greatest + within
        assert abs(candidate.pitch_difference_mm) <= max(0.025 * pitch, 0.01) + 1e-6
        assert (candidate.settled_by is None) is (len(candidates) == 1)
