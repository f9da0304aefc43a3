"""A torque against its screw: readings of a strength, ranges, and what is wrong with it."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from kbgen.findings import code_named
from kbgen.units.designation import System, Thread
from kbgen.units.preload import tightening
from kbgen.units.strength import strengths

M4 = Thread(System.METRIC, "4", None, Decimal("0.7"))
M6 = Thread(System.METRIC, "6", None, Decimal(1))
NO_8 = Thread(System.UNIFIED, "8", Fraction(32), series="UNC")
QUARTER = Thread(System.UNIFIED, "1/4", Fraction(20), series="UNC")
SEWING = Thread(System.SEWING, "11/64", Fraction(40))


@pytest.mark.parametrize(
    ("said", "thread", "names"),
    [
        ("8.8", M6, ["8.8"]),
        ("class 10.9", M6, ["10.9"]),
        ("property class 4.8", QUARTER, ["4.8"]),
        ("8.8", QUARTER, ["8.8"]),
        ("5", QUARTER, ["grade 5"]),
        ("SAE 5", M6, ["grade 5"]),
        ("SAE5", QUARTER, ["grade 5"]),
        ("Grade 8", QUARTER, ["grade 8"]),
        ("grade 1 or 2", QUARTER, ["grade 1", "grade 2"]),
        ("SAE 6 or 7", QUARTER, ["grade 7"]),
        ("SAE 5.2", QUARTER, ["grade 5.2"]),
        ("A2-70", M6, ["A-70"]),
        ("stainless", M6, ["18-8", "A-50", "A-70", "A-80"]),
        ("18-8", QUARTER, ["18-8"]),
        ("brass", QUARTER, ["brass", "brass"]),
        ("UTS 125 ksi", QUARTER, ["125 ksi", "125 ksi"]),
        ("60,000 psi", QUARTER, ["60000 psi", "60000 psi"]),
    ],
)
def test_a_stated_strength_is_read(said, thread, names):
    found = strengths(said, thread, 6.0)
    assert [strength.name for strength in found] == names
    proofs = [strength.proof_mpa for strength in found]
    assert proofs == sorted(proofs)


@pytest.mark.parametrize("said", ["", "hard", "13.9", "SAE 6", "grade 9", "B8M"])
def test_what_is_no_strength_is_refused_with_the_known_ones(said):
    with pytest.raises(ValueError, match=r"known are 3\.6"):
        strengths(said, QUARTER, 6.0)


@pytest.mark.parametrize(
    ("thread", "torque", "strength", "verdict", "code"),
    [
        (M4, 2.5, "8.8", "fits", None),
        (M4, 3.4, "8.8", "above three quarters of proof", "torque-high"),
        (M4, 12, "8.8", "above proof", "torque-above-proof"),
        (M6, 10, "8.8", "fits", None),
        (M6, 10, None, "above three quarters of proof", "torque-high"),
        (M6, 0.02, None, "implausibly low", "torque-low"),
        (M6, 200, None, "above proof", "torque-above-proof"),
        (NO_8, 35, None, "above proof", "torque-above-proof"),
        (SEWING, 1.0, None, "fits", None),
    ],
    ids=str,
)
def test_a_torque_is_judged(thread, torque, strength, verdict, code):
    found = tightening(thread, torque, torque, strength)
    assert found.verdict == verdict
    codes = [concern.code for concern in found.concerns]
    assert codes == ([code] if code else [])
    for name in codes:
        assert code_named(name)


def test_the_slip_of_unit_that_would_explain_it_is_told():
    found = tightening(NO_8, 35, 35)
    assert found.concerns[0].hint.startswith("this would fit if it were lbf·in and not N·m")
    feet = tightening(QUARTER, 100 * 1.3558, 100 * 1.3558, "SAE 5", None, ("lbf·ft",))
    assert "lbf·in and not lbf·ft (11.3 N·m)" in feet.concerns[0].hint
    low = tightening(M6, 0.05, 0.05, None, None, ("cN·m",))
    assert "N·m and not cN·m (5 N·m)" in low.concerns[0].hint


def test_preload_and_share_are_ranges_of_the_nut_factor():
    found = tightening(M6, 8, 10, "8.8")
    least, greatest = found.preload_n
    assert least == pytest.approx(8 / (0.20 * 0.006))
    assert greatest == pytest.approx(10 / (0.11 * 0.006))
    assert found.proof_share[0] == pytest.approx(least / (580 * 20.1))
    assert found.proof_share[1] == pytest.approx(greatest / (580 * 20.1))


def test_a_stated_nut_factor_is_taken():
    one = tightening(M6, 10, 10, "8.8", 0.15)
    assert one.preload_n[0] == one.preload_n[1] == pytest.approx(10 / (0.15 * 0.006))
    two = tightening(M6, 10, 10, "8.8", (0.12, 0.16))
    assert two.preload_n[0] == pytest.approx(10 / (0.16 * 0.006))
    assert not any("nut factor" in said for said in two.assumed)


@pytest.mark.parametrize("factor", [0, -0.2, 3, ()])
def test_a_nut_factor_that_is_none_is_refused(factor):
    with pytest.raises(ValueError, match="nut factor"):
        tightening(M6, 10, 10, "8.8", factor)


def test_what_was_not_stated_is_said():
    metric, american = tightening(M6, 1, 1).assumed, tightening(QUARTER, 1, 1).assumed
    assert "ISO 898-1 4.6" in metric[0]
    assert "SAE J429 grade 1" in american[0]
    assert "0.11 (lubricated) to 0.20 (dry)" in metric[1]
    assert "ISO 898-1, published" in metric[2]


def test_an_ambiguous_strength_counts_at_its_strongest_for_an_error():
    one, two = (tightening(QUARTER, 8, 8, said) for said in ("SAE 1", "SAE 1 or 2"))
    assert one.verdict == "above proof"
    assert two.verdict != "above proof"
    assert two.proof_share[0] < one.proof_share[0]
    assert two.proof_share[1] == one.proof_share[1]


def test_limits_of_a_torque():
    assert tightening(M6, None, 10, "8.8").verdict == "fits"
    assert tightening(M6, None, 0.001, "8.8").verdict == "fits"
    assert tightening(M6, 200, None, "8.8").verdict == "above proof"
    with pytest.raises(ValueError, match="neither limit"):
        tightening(M6, None, None)


@pytest.mark.parametrize(
    "thread",
    [Thread(System.UNIFIED, "1/4"), Thread(System.NPS, "1/8", Fraction(27))],
    ids=str,
)
def test_what_cannot_be_judged_is_not(thread):
    found = tightening(thread, 10, 10)
    assert (found.verdict, found.preload_n, found.concerns) == ("not judged", None, ())
    assert found.assumed[0].startswith("not judged")
