"""Published torque tables: none called too high for its grade, the misprints caught."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest

from kbgen.units.designation import System, Thread
from kbgen.units.preload import ABOVE_PROOF, Tightening, tightening
from kbgen.units.standards import metric_rows, number_size, series_of, unified_rows
from kbgen.units.torque_units import UNITS

from .check_values import rows

UNIT = {"lbf.in": "lbf·in", "lbf.ft": "lbf·ft", "ozf.in": "ozf·in"}

# The grades whose strength the table states in another column or note, as published there.
STATED = {
    "A-286, 130 ksi UTS": "UTS 130 ksi",
    "A-286": "UTS 130 ksi",
    "300 CRES, 73 ksi UTS": "UTS 73 ksi",
    "300 CRES": "UTS 73 ksi",
    "CRES 300 passivated": "UTS 80 ksi",
    "CRES 300 silver plated": "UTS 80 ksi",
    "CRES 300 lubricated": "UTS 80 ksi",
    "aluminium anodized": "UTS 62 ksi",
    "aluminium lubricated": "UTS 62 ksi",
    # Table 7-1 is for aircraft bolts of 125,000 psi; the others state no class at all.
    "fine": "UTS 125 ksi",
    "coarse": "UTS 125 ksi",
    "standard steel, slotted head": None,
    "standard steel, hex head": None,
    "": None,
}
TABLES = rows("torque_tables.csv")


def threads(text: str) -> list[Thread]:
    """Return the threads a row may mean: a size alone stands for coarse and fine."""
    numbered, text = text.startswith("#"), text.lstrip("#")
    if text.startswith("M"):
        return [
            Thread(System.METRIC, row.size, None, row.pitch)
            for row in metric_rows()
            if row.size == text[1:] and row.series in ("coarse", "fine")
        ]
    size, tpi = re.fullmatch(r"(\d+-\d+/\d+|\d+/\d+|\d+)(?:-(\d+))?", text).groups()
    size = size.replace("-", " ")
    if tpi:
        return [Thread(System.UNIFIED, size, Fraction(tpi))]
    return [
        Thread(System.UNIFIED, row.size, row.tpi)
        for row in unified_rows()
        if row.size == size
        and row.series in ("UNC", "UNF")
        and number_size(row.size, row.tpi) is numbered
    ]


def judged(row: dict[str, str]) -> list[Tightening]:
    worth = float(UNITS[UNIT[row["unit"]]].newton_metres)
    least = float(row["min"] or row["max"]) * worth
    greatest = float(row["max"] or row["min"]) * worth
    grade = STATED.get(row["grade"], row["grade"])
    units = (UNIT[row["unit"]],)
    return [
        tightening(thread, least, greatest, grade, None, units) for thread in threads(row["thread"])
    ]


@pytest.mark.parametrize(
    "row", TABLES, ids=lambda row: f"{row['table'][:24]} {row['thread']} {row['grade']}"
)
def test_a_published_torque_is_not_called_too_high(row):
    """Source: AC 43.13-1B Table 7-1, MSFC-STD-486B, NASA-TM-106943, US Army manuals."""
    found = judged(row)
    assert found
    for tightened in found:
        codes = [concern.code for concern in tightened.concerns]
        assert ABOVE_PROOF not in codes, tightened
        assert "torque-low" not in codes, tightened


@pytest.mark.parametrize(
    "row",
    [row for row in TABLES if row["unit"] == "lbf.ft" and "breakaway" not in row["table"]],
    ids=lambda row: f"{row['table'][:24]} {row['thread']} {row['grade']}",
)
def test_pound_feet_for_pound_inches_is_caught_where_it_passes_any_screw(row):
    """The slip that ruins castings: the same figure in a unit twelve times as large.

    Source: the table's own torque, taken twelve times over; T = K d F.
    """
    greatest = float(row["max"]) * 12 * float(UNITS["lbf·ft"].newton_metres)
    grade = STATED.get(row["grade"], row["grade"])
    for thread in threads(row["thread"]):
        found = tightening(thread, greatest, greatest, grade, None, ("lbf·ft",))
        assert found.concerns[0].code == ABOVE_PROOF
        assert "lbf·in" in found.concerns[0].hint


@pytest.mark.parametrize(
    ("size", "tpi"), [("7/17", "14"), ("5/6", "11")], ids=["7/17-14", "5/6-11"]
)
def test_a_misprinted_size_stands_in_no_series(size, tpi):
    """Source: US Army TM 10-6640-238-13 prints 7/17-14 (7/16) and 5/6-11 (5/8)."""
    assert series_of(Thread(System.UNIFIED, size, Fraction(tpi))) == ()


def test_a_misprinted_pair_of_units_disagrees():
    """Source: TM 10-5430-232-12&P prints 1820 lbf·ft (2712 N·m); 2712 N·m is 2000 lbf·ft."""
    assert round(2712 / float(UNITS["lbf·ft"].newton_metres)) == 2000
    printed = re.compile(r"printed (?:pair \d+ lbf\.ft / )?([\d.]+) N\.m")
    checked = 0
    for row in TABLES:
        found = printed.search(row["notes"])
        if found is None:
            continue
        worth = float(UNITS[UNIT[row["unit"]]].newton_metres)
        exact = float(row["max"] or row["min"]) * worth
        # Every pair but the named one agrees to the unit of its last printed place.
        place = 10.0 ** -len(found[1].partition(".")[2])
        assert abs(float(found[1]) - exact) <= place, row
        checked += 1
    assert checked > 60


def test_a_weaker_bolt_is_not_tightened_more():
    """Source: MSFC-STD-486B Table I; its 3/4 in row at 160 ksi dry (4500) passes 180 ksi (4200)."""
    by_size: dict[tuple[str, str], list[tuple[int, float]]] = {}
    for row in TABLES:
        if row["table"].startswith("MSFC") and row["grade"].startswith("UTS"):
            kind = "lubricated" if row["condition"].startswith("lubricated") else "dry"
            ksi = int(row["grade"].split()[1])
            by_size.setdefault((row["thread"], kind), []).append((ksi, float(row["max"])))
    by_size["3/4", "dry"] = [(160, 4500.0), (180, 4200.0)]
    out_of_order = [
        key
        for key, torques in by_size.items()
        if [torque for _, torque in sorted(torques)] != sorted(torque for _, torque in torques)
    ]
    assert out_of_order == [("3/4", "dry")]


def test_a_kilogram_a_metre_is_not_a_torque():
    """Source: TM 55-2840-251-23 prints "kg/m" for kgf·m; the closed table of units has neither."""
    assert "kg/m" not in UNITS
    assert float(UNITS["kgf·m"].newton_metres) == pytest.approx(9.80665)
