"""Basic dimensions, stress areas and limits of size of every system."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from kbgen.units.designation import System, Thread
from kbgen.units.limits import limits
from kbgen.units.profile import dimensions, stress_area
from kbgen.units.standards import all_rows

INCH_MM = 25.4


def inch(size: str, tpi: int, system: System = System.UNIFIED, series: str | None = None) -> Thread:
    return Thread(system, size, Fraction(tpi), series=series)


def metric(size: str, pitch: str, fit_class: str | None = None) -> Thread:
    return Thread(System.METRIC, size, None, Decimal(pitch), fit_class=fit_class)


def thread_of(row) -> Thread:
    tpi = None if row.pitch is not None or row.system is System.PIPE else row.tpi
    pitch = None if row.system is System.BA else row.pitch
    series = row.series if row.system is System.UNIFIED else None
    return Thread(row.system, row.size, tpi, pitch, series)


def test_every_tabled_thread_has_dimensions_in_order():
    for row in all_rows():
        size = dimensions(thread_of(row))
        assert size.major_mm > size.pitch_diameter_mm > size.minor_mm > 0, row
        assert size.minor_mm + 1e-9 >= size.root_mm > 0, row
        assert size.pitch == row.pitch_mm


def test_every_tabled_thread_has_limits_that_let_it_mate():
    for row in all_rows():
        found = limits(thread_of(row))
        if found.external is None or found.internal is None:
            continue
        for pair in (
            found.external.major_mm,
            found.external.pitch_diameter_mm,
            found.internal.pitch_diameter_mm,
            found.internal.minor_mm,
        ):
            least, greatest = pair
            assert least is None or greatest is None or least < greatest, row
        assert found.external.pitch_diameter_mm[1] <= found.internal.pitch_diameter_mm[0] + 1e-9


def test_a_house_thread_has_the_basic_profile_and_says_so():
    size = dimensions(inch("3/16", 28, System.HOUSE))
    assert size.pitch_diameter_mm == pytest.approx((0.1875 - 0.64951905 / 28) * INCH_MM)
    assert "60°" in size.assumed[0]
    by_pitch = Thread(System.HOUSE, "3/16", None, Decimal("0.9"))
    assert dimensions(by_pitch).major_mm == pytest.approx(4.7625)
    in_mm = Thread(System.HOUSE, "4.8", None, Decimal("0.9"), inch_size=False)
    assert dimensions(in_mm).major_mm == 4.8
    assert limits(in_mm).external is None


@pytest.mark.parametrize(
    "thread",
    [
        Thread(System.UNIFIED, "1/4"),
        Thread(System.UNKNOWN, None, Fraction(20)),
        Thread(System.METRIC, None, None, Decimal("0.7")),
        Thread(System.BA, "17"),
        Thread(System.PIPE, "9/8"),
        Thread(System.NPS, "9/8", Fraction(27)),
        Thread(System.NPT, "9/8", Fraction(27)),
    ],
    ids=str,
)
def test_what_has_no_dimensions_says_why(thread):
    with pytest.raises(ValueError, match=r"must both be stated|not in"):
        dimensions(thread)


def test_a_pipe_is_hollow():
    assert stress_area(inch("1/8", 27, System.NPS)) is None
    assert stress_area(Thread(System.PIPE, "1/8")) is None


@pytest.mark.parametrize(
    ("thread", "mm2", "source"),
    [
        (metric("6", "1"), 20.1, "ISO 898-1, published"),
        (metric("9", "1"), 51.0, "ISO 898-1 formula"),
        (inch("1/4", 20), 0.0318 * INCH_MM**2, "ASME B1.1, published"),
        (inch("1/4", 28), 0.03637 * INCH_MM**2, "ASME B1.1 formula"),
        (Thread(System.BA, "4"), 7.105, "common practice"),
    ],
    ids=str,
)
def test_a_stress_area_names_its_source(thread, mm2, source):
    area = stress_area(thread)
    assert area.mm2 == pytest.approx(mm2, rel=1e-3)
    assert area.source.startswith(source) or source in area.source


@pytest.mark.parametrize(
    ("thread", "wanted", "classes"),
    [
        (inch("1/4", 20), None, ("2A", "2B")),
        (inch("1/4", 20), "3A", ("3A", "3B")),
        (inch("1/4", 20), "1B", ("1A", "1B")),
        (metric("6", "1"), None, ("6g", "6H")),
        (metric("6", "1"), "4h", ("4h", "5H")),
        (metric("6", "1"), "6H", ("6g", "6H")),
        (metric("6", "1", "4g6g"), None, ("4g6g", "6H")),
        (metric("6", "1"), "5h", ("5h", None)),
        (metric("1", "0.25"), None, ("6h", "5H")),
        (inch("1/4", 20, System.WHITWORTH), None, ("medium", "medium")),
        (inch("1/4", 20, System.WHITWORTH), "close", ("close", "medium")),
        (inch("1/4", 26, System.BSF), "free", ("free", "normal")),
        (Thread(System.BA, "4"), None, ("normal", "normal")),
        (Thread(System.BA, "4"), "close", ("close", "normal")),
        (inch("1/8", 27, System.NPSM), None, ("2A", "2B")),
        (Thread(System.PIPE, "1/8"), "A", ("A", "internal")),
    ],
    ids=str,
)
def test_a_class_comes_with_its_partner(thread, wanted, classes):
    found = limits(thread, wanted)
    named = tuple(side.fit_class if side else None for side in (found.external, found.internal))
    assert named == classes


@pytest.mark.parametrize(
    ("thread", "wanted"),
    [
        (inch("1/4", 20), "6g"),
        (metric("6", "1"), "2A"),
        (metric("6", "1"), "9H"),
        (metric("6", "1"), "6g6h"),
        (inch("1/4", 20, System.WHITWORTH), "2A"),
        (Thread(System.BA, "4"), "free"),
        (Thread(System.BA, "12"), "close"),
        (Thread(System.PIPE, "1/8"), "C"),
    ],
    ids=str,
)
def test_a_class_of_another_standard_is_refused(thread, wanted):
    with pytest.raises(ValueError, match=r"class"):
        limits(thread, wanted)


def test_a_formula_in_place_of_a_table_row_is_marked():
    marked = limits(metric("7", "0.5")).external
    assert "by formula" in marked.marks[0]
    assert limits(metric("6", "1")).external.marks == ()


def test_an_explicit_special_has_limits_by_formula():
    """Source: ASME B1.1: UNS is reckoned with nine pitches of engagement."""
    special = limits(inch("1/4", 24, series="UNS")).external
    d, p = 0.25, 1 / 24
    tolerance = 0.0015 * d ** (1 / 3) + 0.0015 * (9 * p) ** 0.5 + 0.015 * p ** (2 / 3)
    least, greatest = special.pitch_diameter_mm
    assert (greatest - least) / INCH_MM == pytest.approx(round(tolerance, 4), abs=1e-9)


def test_bs_84_and_bs_93_by_their_formulas():
    """Source: BS 84 (T = 0.002 D^⅓ + 0.003 √L + 0.005 √P), BS 93 (0.10 p + 0.025, less 0.025)."""
    bolt = limits(inch("1/4", 20, System.WHITWORTH), "medium").external
    unit = 0.002 * 0.25 ** (1 / 3) + 0.003 * 0.5 + 0.005 * 0.05**0.5
    least, greatest = bolt.pitch_diameter_mm
    assert (greatest - least) / INCH_MM == pytest.approx(unit, abs=1.01e-4)
    ba = limits(Thread(System.BA, "4")).external
    assert ba.pitch_diameter_mm == (pytest.approx(3.205 - 0.025 - 0.091), pytest.approx(3.18))
    assert ba.major_mm == (pytest.approx(3.6 - 0.025 - 0.132), pytest.approx(3.575))
