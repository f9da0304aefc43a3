"""Units of torque against NIST SP 811 and three general-purpose libraries, to seven figures."""

from __future__ import annotations

import astropy.units
import pint
import pytest
import scipy.constants

from kbgen.units.profile import INCH_MM
from kbgen.units.strength import KSI_MPA, PSI_MPA
from kbgen.units.torque_units import UNITS

from .check_values import rows

NAMES = {
    "lbf.ft": "lbf·ft",
    "lbf.in": "lbf·in",
    "ozf.in": "ozf·in",
    "kgf.m": "kgf·m",
    "kgf.cm": "kgf·cm",
    "gf.cm": "gf·cm",
}
PINT = {
    "N·m": "newton * meter",
    "cN·m": "centinewton * meter",
    "mN·m": "millinewton * meter",
    "N·cm": "newton * centimeter",
    "N·mm": "newton * millimeter",
    "lbf·ft": "force_pound * foot",
    "lbf·in": "force_pound * inch",
    "ozf·in": "force_ounce * inch",
    "kgf·m": "force_kilogram * meter",
    "kgf·cm": "force_kilogram * centimeter",
    "gf·cm": "force_gram * centimeter",
}


def seven(value: float) -> str:
    return f"{value:.6e}"


FACTORS = rows("conversions.csv")


@pytest.mark.parametrize(
    "row",
    [row for row in FACTORS if row["from"] in NAMES],
    ids=lambda row: f"{row['from']} to {row['to']}",
)
def test_a_factor_of_nist_sp_811(row):
    """Source: NIST SP 811 Appendix B.8; kgf·cm and gf·cm by definition, not listed there."""
    worth = float(
        UNITS[NAMES[row["from"]]].newton_metres / UNITS[row["to"].replace(".", "·")].newton_metres
    )
    assert seven(worth) == seven(float(row["factor"]))


@pytest.mark.parametrize(
    ("row", "ours"),
    [
        ("in", INCH_MM),
        ("psi", PSI_MPA * 1e6),
        ("ksi", KSI_MPA),
    ],
)
def test_a_length_or_stress_of_nist_sp_811(row, ours):
    """Source: NIST SP 811 Appendix B.8."""
    published = next(factor for factor in FACTORS if factor["from"] == row)
    assert seven(ours) == seven(float(published["factor"]))


@pytest.mark.parametrize("name", UNITS)
def test_a_unit_of_torque_in_pint(name):
    """Source: pint's registry."""
    registry = pint.UnitRegistry()
    worth = registry.Quantity(1, PINT[name]).to("newton * meter").magnitude
    assert seven(float(UNITS[name].newton_metres)) == seven(worth)


def test_pound_and_kilogram_force_in_scipy():
    """Source: scipy.constants."""
    inch, foot = scipy.constants.inch, scipy.constants.foot
    pound, kilogram = scipy.constants.pound_force, scipy.constants.kilogram_force
    for name, worth in (
        ("lbf·in", pound * inch),
        ("lbf·ft", pound * foot),
        ("ozf·in", pound / 16 * inch),
        ("kgf·m", kilogram),
        ("kgf·cm", kilogram / 100),
    ):
        assert seven(float(UNITS[name].newton_metres)) == seven(worth)
    assert seven(PSI_MPA) == seven(scipy.constants.psi / 1e6)


def test_pound_force_in_astropy():
    """Source: astropy.units (pound, inch, foot) and the standard acceleration 9.80665 m/s²."""
    units = astropy.units
    pound = (1 * units.imperial.lbf).to(units.N)
    for name, arm in (("lbf·in", units.imperial.inch), ("lbf·ft", units.imperial.foot)):
        worth = (pound * (1 * arm)).to(units.N * units.m).value
        assert seven(float(UNITS[name].newton_metres)) == seven(worth)
    assert seven(PSI_MPA) == seven((1 * units.imperial.psi).to(units.MPa).value)
