"""What is typed from a caliper, a pitch gauge and a table of nut factors."""

from __future__ import annotations

from fractions import Fraction

import pytest

from kbgen.text import NotationError
from kbgen.units import (
    Measured,
    parse_diameter,
    parse_nut_factor,
    parse_one_length,
    parse_pitch,
    parse_torque_stated,
)


@pytest.mark.parametrize(
    ("text", "middle", "half"),
    [
        ("3.55 mm", "3.55", "0"),
        ("3,55mm", "3.55", "0"),
        ("3.5–3.6 mm", "3.55", "0.05"),
        ("3.5 mm to 3.6 mm", "3.55", "0.05"),
        ("3.55 ± 0.02 mm", "3.55", "0.02"),
        ('9/64"', "3.571875", "0"),
        ("0.140 in", "3.556", "0"),
        ("140 thou", "3.556", "0"),
        ("nine sixty-fourths of an inch", "3.571875", "0"),
    ],
)
def test_a_caliper_is_read(text, middle, half):
    assert parse_diameter(text) == Measured(Fraction(middle), Fraction(half))


@pytest.mark.parametrize("text", ["3.55", "", "mm", "0 mm", "0–3 mm", "11 m", "M6", "3 mm screw"])
def test_what_is_no_reading_is_refused(text):
    with pytest.raises(NotationError) as refused:
        parse_diameter(text)
    assert "expected a length" in refused.value.message


def test_one_length_is_no_range():
    assert parse_one_length("0.02mm") == Fraction("0.02")
    with pytest.raises(NotationError, match="no range"):
        parse_one_length("0.02–0.05 mm")


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("40tpi", Fraction(254, 400)),
        ("40 TPI", Fraction(254, 400)),
        ("40 threads per inch", Fraction(254, 400)),
        ("forty to the inch", Fraction(254, 400)),
        ("11½ tpi", Fraction(254, 115)),
        ("13,5 t.p.i.", Fraction(254, 135)),
        ("0.7 mm", Fraction(7, 10)),
        ("0,635 mm", Fraction(635, 1000)),
    ],
)
def test_a_pitch_is_read_in_either_way(text, mm):
    assert parse_pitch(text) == mm


@pytest.mark.parametrize("text", ["40", "0 tpi", "1/0 tpi", "tpi", "0.6–0.7 mm", "coarse"])
def test_what_is_no_pitch_is_refused(text):
    with pytest.raises(NotationError, match="expected a pitch"):
        parse_pitch(text)


@pytest.mark.parametrize(("text", "value"), [("0.15", 0.15), ("0,15", 0.15), (".2", 0.2), ("1", 1)])
def test_a_nut_factor_is_a_plain_figure(text, value):
    assert parse_nut_factor(text) == value


@pytest.mark.parametrize("text", ["", "dry", "-0.2", "1e-1", "inf", "0.1..0.2"])
def test_what_is_no_nut_factor_is_refused(text):
    with pytest.raises(NotationError, match="expected a nut factor"):
        parse_nut_factor(text)


def test_a_torque_in_two_units_is_one_torque():
    torque, objections = parse_torque_stated("12 N·m (106 lbf·in)")
    assert (str(torque), objections) == ("12 N·m", ())
    torque, objections = parse_torque_stated("4 N·m (35 lbf·ft) and then half a turn")
    assert str(torque) == "4 N·m + 180 deg"
    assert [one.code for one in objections] == ["torque-units-disagree"]
    assert "foot was written for inch" in objections[0].hint


@pytest.mark.parametrize("text", ["12 N·m and the rest", "screw 12 N·m (9 lbf·ft)", "12 lb (9 ft)"])
def test_other_words_beside_a_torque_are_refused(text):
    with pytest.raises(NotationError):
        parse_torque_stated(text)


NINES = "9" * 5_000
READERS = (parse_diameter, parse_one_length, parse_pitch, parse_nut_factor, parse_torque_stated)


@pytest.mark.parametrize("read", READERS)
@pytest.mark.parametrize(
    "text",
    [
        f"{NINES} mm",
        f"0.{NINES} mm",
        f"{NINES} tpi",
        f"{NINES} N·m",
        f"12 N·m (+{NINES}/-1)",
        f"1,{'000,' * 2_000}000 mm",
        f"{NINES} 16ths of an inch",
        NINES,
    ],
    ids=lambda text: text[:3] + text[-8:] if isinstance(text, str) else "",
)
def test_more_figures_than_anybody_states_are_refused_in_words(read, text):
    with pytest.raises(NotationError):
        read(text)
