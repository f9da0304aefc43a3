"""Torques: spellings, ranges, limits, angles, and the canonical form in newton metres."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kbgen.text import NotationError
from kbgen.units import Torque, Verdict, parse_torque, scan
from kbgen.units.torque_units import UNITS


@pytest.mark.parametrize(
    ("unit", "newton_metres"),
    [
        # NIST SP 811, appendix B.8, seven figures; the metric ones by definition.
        ("lbf·ft", 1.355818),
        ("lbf·in", 0.1129848),
        ("ozf·in", 0.007061552),
        ("kgf·m", 9.80665),
        ("kgf·cm", 0.0980665),
        ("gf·cm", 0.0000980665),
        ("cN·m", 0.01),
        ("mN·m", 0.001),
        ("N·cm", 0.01),
        ("N·mm", 0.001),
    ],
)
def test_a_unit_is_worth_what_is_published(unit: str, newton_metres: float) -> None:
    assert float(UNITS[unit].newton_metres) == pytest.approx(newton_metres, rel=4e-7)


SPELLINGS = {
    "N·m": "N·m|N m|Nm|N-m|N.m|N*m|N⋅m|N•m|newton metre|newton metres|newton-meters|Newton Meter",
    "cN·m": "cN·m|cNm|cN m|cN-m|centinewton metres|centinewton-meters",
    "mN·m": "mN·m|mNm|mN m|millinewton metres",
    "N·cm": "N·cm|Ncm|N cm|newton centimetres",
    "lbf·ft": "lbf·ft|lbf ft|lbf-ft|lb·ft|lb ft|lb-ft|lb.ft|lbft|lbs ft|lbs-ft|ft·lbf|ft lbf|ft-lbf"
    "|ft·lb|ft lb|ft-lb|ft.lb|ftlb|ft lbs|ft-lbs|ft. lbs.|ftlbs|foot pounds|foot-pounds|foot pound"
    "|foot-lbs|pound feet|pound-feet|pounds-feet|foot pounds-force|Ft-Lbs|FT LBS",
    "lbf·in": "lbf·in|lbf in|lbf-in|lb·in|lb-in|lb in|lbs-in|in·lbf|in lbf|in-lbf|in-lb"
    "|in lb|in lbs"
    "|in-lbs|in. lbs.|inlb|inch pounds|inch-pounds|inch pound|inch-lbs|pound inches|pound-inch",
    "ozf·in": "ozf·in|oz-in|oz in|ozf in|in-oz|in oz|inch ounces|ounce-inches|ounce inches",
    "kgf·cm": "kgf·cm|kgf cm|kgf-cm|kg-cm|kg cm|kg·cm|kgcm|kp·cm|kp cm|kpcm|cm-kg|cmkg"
    "|kilogram centimetres|kilogram-force centimetres",
    "kgf·m": "kgf·m|kgf m|kgf-m|kg-m|kg m|kgm|kp·m|kpm|mkg|m-kg|kilogram metres",
    "gf·cm": "gf·cm|g-cm|gf cm|gram centimetres",
}


@pytest.mark.parametrize(
    ("spelling", "unit"),
    [(one, unit) for unit, spellings in SPELLINGS.items() for one in spellings.split("|")],
)
def test_every_usual_spelling_is_read(spelling: str, unit: str) -> None:
    for text in (f"12 {spelling}", f"12-{spelling}", f"12{spelling}"):
        torque = parse_torque(text)
        assert torque.unit is not None
        assert (torque.unit.name, torque.low, torque.high) == (unit, 12, 12)
    assert [stated.value for stated in scan(f"Tighten it to 12 {spelling}.")] == [torque]


@pytest.mark.parametrize(
    ("text", "low_nm", "high_nm", "then_deg"),
    [
        ("8 to 10 N·m", 8, 10, None),
        ("from 8 to 10 N·m", 8, 10, None),
        ("8 - 10 N·m", 8, 10, None),
        ("2 N·m ± 10 %", 1.8, 2.2, None),
        ("2±0.2 Nm", 1.8, 2.2, None),
        ("no tighter than 2 N·m", None, 2, None),
        ("under 2 N·m", None, 2, None),
        ("below 2 N·m", None, 2, None),
        ("limit 2 N·m", None, 2, None),
        ("2 N·m tops", None, 2, None),
        ("2 N·m at the most", None, 2, None),
        ("not less than 1 N·m", 1, None, None),
        ("> 1 N·m", 1, None, None),
        ("1 N·m at least", 1, None, None),
        ("2 N·m + 1/4 turn", 2, 2, 90),
        ("2 N·m followed by 60°", 2, 2, 60),
        ("2 N·m, and then a further half turn", 2, 2, 180),
        ("8..10 N·m + 90 deg", 8, 10, 90),
    ],
)
def test_ranges_limits_and_angles(
    text: str, low_nm: float | None, high_nm: float | None, then_deg: float | None
) -> None:
    (stated,) = scan(text)
    torque = stated.value
    assert isinstance(torque, Torque)
    assert (approx(torque.low_nm), approx(torque.high_nm)) == (low_nm, high_nm)
    assert torque.then_deg == then_deg
    assert parse_torque(stated.canonical) == torque


def approx(value: Fraction | None) -> float | None:
    return None if value is None else float(value)


@given(
    st.fractions(min_value=Fraction(1, 1000), max_value=5000, max_denominator=1000),
    st.sampled_from(sorted(UNITS)),
)
def test_canonical_form_round_trips(value: Fraction, unit: str) -> None:
    torque = Torque(value, value, UNITS[unit])
    assert parse_torque(str(torque)) == torque


@given(st.fractions(min_value=Fraction(1, 1000), max_value=5000, max_denominator=1000))
def test_canonical_form_has_four_figures(value: Fraction) -> None:
    shown = str(Torque(value, value)).removesuffix(" N·m")
    assert len(shown.replace(".", "").lstrip("0")) <= max(4, len(shown.partition(".")[0]))
    assert float(shown) == pytest.approx(float(value), rel=5.1e-4)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "4",
        "N·m",
        "Nm 90",
        "snug",
        "M6x1",
        "12 lb",
        "4 N",
        "4 J",
        "4 MNm",
        "4 kN·m",
        "4 Nm and 5",
    ],
)
def test_what_is_no_torque_is_refused_with_its_place(text: str) -> None:
    with pytest.raises(NotationError) as refused:
        parse_torque(text)
    assert refused.value.span.end <= len(text)
    assert refused.value.hint


@pytest.mark.parametrize("text", ["tighten to 12 lb", "torque: set to 2 kg", "12 pounds of torque"])
def test_a_force_for_a_torque_is_unstated_and_never_guessed(text: str) -> None:
    (stated,) = scan(text)
    assert stated.verdict is Verdict.UNSTATED
    assert isinstance(stated.value, Torque)
    assert (stated.value.low_nm, stated.value.high_nm) == (None, None)
    assert [one.code for one in stated.objections] == ["unit-spelling-ambiguous"]


def test_a_torque_that_cannot_be_is_refused() -> None:
    for low, high in ((None, None), (Fraction(-1), Fraction(1)), (Fraction(2), Fraction(1))):
        with pytest.raises(ValueError, match="torque"):
            Torque(low, high)
