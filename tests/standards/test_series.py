"""The tables of the series against published dimensions, formulas and each other."""

from __future__ import annotations

from fractions import Fraction

import pytest

from kbgen.units.designation import System, Thread
from kbgen.units.identify import identify
from kbgen.units.profile import dimensions, stress_area
from kbgen.units.standards import (
    all_rows,
    metric_rows,
    rows_of,
    series_of,
    unified_rows,
    uns_rows,
)
from kbgen.units.standards.published import ba_table, g_table, npt_table
from kbgen.units.tolerance import rounded

from .check_values import british, metric, rows, unified

INCH_MM = 25.4

# Published stress areas that are not the rounded formula, named one by one (ASME B1.1).
AREAS_OFF = {("1", "64"): 0.00263, ("3", "48"): 0.00487, ("4", "40"): 0.00604, ("1 3/8", "6"): 1.16}


@pytest.mark.parametrize(
    "row", rows("basic_unified.csv"), ids=lambda row: f"{row['size']}-{row['tpi']}"
)
def test_basic_dimensions_of_a_unified_thread(row):
    """Source: ASME B1.1 formulas (FED-STD-H28/2B Appendix C), four places."""
    size = dimensions(unified(row["size"], row["tpi"]))
    half = 0.5e-4 + 1e-9
    assert abs(size.pitch_diameter_mm / INCH_MM - float(row["pitch_diameter"])) <= half
    assert abs(size.minor_mm / INCH_MM - float(row["minor"])) <= half
    assert abs(size.root_mm / INCH_MM - float(row["root"])) <= half


@pytest.mark.parametrize(
    "row", rows("basic_metric.csv"), ids=lambda row: f"M{row['diameter']}x{row['pitch']}"
)
def test_basic_dimensions_of_a_metric_thread(row):
    """Source: ISO 724 (d2, D1) and ISO 898-1 (d3), three places; areas in three figures."""
    thread = metric(row["diameter"], row["pitch"])
    size = dimensions(thread)
    half = 0.5e-3 + 1e-9
    assert abs(size.pitch_diameter_mm - float(row["d2"])) <= half
    assert abs(size.minor_mm - float(row["D1"])) <= half
    assert abs(size.root_mm - float(row["d3"])) <= half
    assert float(f"{stress_area(thread).mm2:.3g}") == float(row["area"])


@pytest.mark.parametrize(
    "row",
    rows("basic_british.csv"),
    ids=lambda row: f"{row['size']} {row['tpi']} {row['series']}",
)
def test_basic_dimensions_of_a_british_thread(row):
    """Source: BS 84, BS 93, BS 811; printed from a major diameter rounded to four places."""
    size = dimensions(british(row["series"], row["size"], row["tpi"]))
    major = float(row["major"])
    assert abs(size.major_mm / INCH_MM - major) <= 0.5e-4 + 1e-9
    carried = size.major_mm / INCH_MM - major
    for value, printed in (
        (size.pitch_diameter_mm, row["effective"]),
        (size.minor_mm, row["minor"]),
    ):
        # BA figures are converted millimetres, the others reckoned from the rounded diameter.
        off = 0.0 if row["series"] == "BA" else carried
        assert abs(value / INCH_MM - off - float(printed)) <= 0.5e-4 + 1e-9


def test_ba_follows_its_rule():
    """Source: BS 93: pitch 0.9^N mm, diameter 6 p^1.2 mm, each rounded to two figures."""
    for row in ba_table():
        assert float(row.pitch_mm) == rounded(0.9**row.number, 2)
        rule = 6 * (0.9**row.number) ** 1.2
        assert abs(float(row.major_mm) - rule) <= 0.05 + 1e-9
        depth = float(row.major_mm - row.effective_mm)
        # The table rounds effective and minor diameters to 0.005 mm.
        assert abs(depth - 0.6 * float(row.pitch_mm)) <= 0.005 + 1e-9


def test_taper_pipe_follows_its_formulas():
    """Source: ASME B1.20.1: E0 = D - (0.05 D + 1.1) p; E1 = E0 + L1/16."""
    for row in npt_table():
        d, p = float(row.major_in), 1 / float(row.tpi)
        e0 = d - (0.05 * d + 1.1) * p
        assert abs(float(row.e0_in) - e0) <= 1.5e-5
        assert abs(float(row.e1_in) - (float(row.e0_in) + float(row.l1_in) / 16)) <= 1.5e-5


def test_parallel_pipe_follows_the_whitworth_form():
    """Source: ISO 228-1: depth 0.640327 P, figures rounded to a micrometre."""
    for row in g_table():
        p = INCH_MM / float(row.tpi)
        assert abs(float(row.major_mm - row.pitch_diameter_mm) - 0.640327 * p) <= 1.5e-3
        assert abs(float(row.pitch_diameter_mm - row.minor_mm) - 0.640327 * p) <= 1.5e-3


@pytest.mark.parametrize(
    "row",
    [row for row in unified_rows() if row.area is not None],
    ids=lambda row: f"{row.size}-{row.tpi}",
)
def test_a_published_stress_area_of_a_unified_thread(row):
    """Source: ASME B1.1, by public tables; the four that leave the formula are named."""
    thread = Thread(System.UNIFIED, row.size, row.tpi)
    area = stress_area(thread)
    assert area.source == "ASME B1.1, published"
    assert area.mm2 / INCH_MM**2 == pytest.approx(float(row.area), abs=1e-9)
    across = dimensions(thread).major_mm - 0.9743 * dimensions(thread).pitch_mm
    formula = 0.7854 * (across / INCH_MM) ** 2
    places = -row.area.as_tuple().exponent
    off = AREAS_OFF.get((row.size, str(row.tpi)))
    if off is None:
        assert rounded(formula, places) == float(row.area)
    else:
        assert float(row.area) == off
        assert rounded(formula, places) != off


@pytest.mark.parametrize(
    "row",
    [row for row in metric_rows() if row.area is not None],
    ids=lambda row: f"M{row.size}x{row.pitch}",
)
def test_a_published_stress_area_of_a_metric_thread(row):
    """Source: ISO 898-1 load tables (three figures); formula of the same standard."""
    size = dimensions(Thread(System.METRIC, row.size, None, row.pitch))
    formula = 0.785398 * ((size.pitch_diameter_mm + size.root_mm) / 2) ** 2
    assert float(f"{formula:.3g}") == float(row.area)


def test_every_row_is_found_by_its_own_designation():
    """Source: the tables themselves."""
    for row in all_rows():
        tpi = None if row.pitch is not None else row.tpi
        pitch = None if row.system is System.BA else row.pitch
        thread = Thread(row.system, row.size, tpi, pitch)
        assert row in series_of(thread), row


def test_a_pair_stands_in_one_of_uns_and_the_standard_series():
    """Source: ASME B1.1: UNS is what the standard series leave out."""
    standard = {(row.size, row.tpi) for row in unified_rows()}
    assert not [row for row in uns_rows() if (row.size, row.tpi) in standard]


def test_bd_warehouse_tables_parallel_pipe_alike():
    """Source: bd-warehouse 0.4.0 data/iso_228_1.csv (Apache-2.0)."""
    published = {row["size"]: row for row in rows("bd_warehouse_iso_228_1.csv")}
    for row in g_table():
        other = published[row.size]
        assert row.tpi == Fraction(other["tpi"])
        assert float(row.major_mm) == float(other["major_diameter"])
        assert float(row.pitch_diameter_mm) == float(other["pitch_diameter"])
        assert float(row.minor_mm) == float(other["minor_diameter"])
        assert float(row.pitch_tolerance_mm) == float(other["pitch_tolerance"])
        assert float(row.minor_tolerance_mm) == float(other["internal_minor_tolerance"])
        assert float(row.major_tolerance_mm) == float(other["external_major_tolerance"])


# Rows of bd-warehouse's tap table that no series of ISO 261 or old DIN/JIS holds.
TAPS_IN_NO_SERIES = {"M1.5-0.35", "M2-0.45", "M5-1", "M19-2.5", "M21-2"}
# Slips of that table: a drill 1 mm under diameter less pitch.
TAPS_OFF = {"M21-2", "M22-2.5"}


@pytest.mark.parametrize("row", rows("bd_warehouse_tap_holes.csv"), ids=lambda row: row["Size"])
def test_bd_warehouse_tap_drills_lie_between_our_minor_and_major(row):
    """Source: bd-warehouse 0.4.0 data/tap_hole_sizes.csv (Apache-2.0)."""
    size, pitch = row["Size"].lstrip("M#").rsplit("-", 1)
    if row["Size"].startswith("M"):
        thread = metric(size, pitch.removesuffix(".0"))
        basic = dimensions(thread)
        # A soft drill leaves up to 92 % of full thread: a hair under the basic minor diameter.
        fits = basic.minor_mm - 0.1 * basic.pitch_mm < float(row["Soft"]) < basic.major_mm
        assert fits is (row["Size"] not in TAPS_OFF)
    else:
        thread = unified(size, pitch)
    assert bool(series_of(thread)) is (row["Size"] not in TAPS_IN_NO_SERIES)


@pytest.mark.parametrize("row", rows("american_national.csv"), ids=lambda row: row["tpi"])
def test_a_screw_of_the_loosest_old_class_is_still_known(row):
    """Source: FED-STD-H28/2B Appendix C: American National class 1, made before 1949."""
    for thread in (
        Thread(System.UNIFIED, held.size, held.tpi, series=held.series)
        for held in rows_of(System.UNIFIED)
        if held.tpi == Fraction(row["tpi"]) and held.series in ("UNC", "UNF")
    ):
        size = dimensions(thread)
        least = size.major_mm - INCH_MM * (
            float(row["class1_allowance_in"]) + float(row["ext_major_tol_class1_in"])
        )
        found = [candidate.thread for candidate in identify(least, size.pitch_mm)]
        assert thread in found
