"""The published tables: read once, checked when read, asked by size and pitch."""

from __future__ import annotations

import subprocess
import sys
from decimal import Decimal
from fractions import Fraction

import pytest

from kbgen.units.designation import System, Thread
from kbgen.units.standards import (
    Standing,
    TableError,
    all_rows,
    load,
    neighbours,
    number_size,
    pitches_of,
    series_of,
    sizes_with,
    unified_inches,
)


def inch(size: str, tpi: int | str, system: System = System.UNIFIED) -> Thread:
    return Thread(system, size, Fraction(tpi))


def metric(size: str, pitch: str) -> Thread:
    return Thread(System.METRIC, size, None, Decimal(pitch))


def named(thread: Thread) -> list[tuple[str, str]]:
    return [(row.label, row.standard) for row in series_of(thread)]


@pytest.mark.parametrize(
    ("thread", "held"),
    [
        (inch("1/4", 20), [("UNC", "ASME B1.1")]),
        (inch("5/16", 28), [("28-UN", "ASME B1.1")]),
        (inch("12", 28), [("UNF", "ASME B1.1")]),
        (inch("14", 24), [("UNS", "ASME B1.1 (UNS)")]),
        (inch("2", 56), [("UNC", "ASME B1.1")]),
        (inch("2", 12), [("12-UN", "ASME B1.1")]),
        (inch("1/4", 26, System.BSF), [("BSF", "BS 84")]),
        (inch("1/4", 26, System.BRASS), [("BSB", "trade practice, no standard")]),
        (inch("1.370", 24, System.CYCLE), [("BSCy", "BS 811")]),
        (inch("11/64", 40, System.SEWING), [("SM", "JIS B 0226")]),
        (inch("1/8", 27, System.NPS), [("NPS", "ASME B1.20.1")]),
        (Thread(System.PIPE, "1/8"), [("G", "ISO 228-1")]),
        (Thread(System.BA, "4"), [("BA", "BS 93")]),
        (metric("6", "1"), [("coarse", "ISO 261")]),
        (metric("6", "1.00"), [("coarse", "ISO 261")]),
        (metric("5", "0.9"), [("obsolete coarse", "old JIS and DIN 13")]),
        (metric("4", "0.8"), []),
        (inch("1/4", 22), []),
        (Thread(System.UNIFIED, "1/4"), []),
        (Thread(System.UNKNOWN, None, Fraction(20)), []),
    ],
    ids=str,
)
def test_the_series_that_hold_a_thread(thread, held):
    assert named(thread) == held


def test_an_unknown_system_is_looked_for_in_all():
    assert named(inch("1/4", 20, System.UNKNOWN)) == [
        ("BSW", "BS 84"),
        ("UNC", "ASME B1.1"),
    ]


def test_what_stands_near_a_pair_in_no_series():
    near = [(row.size, str(row.pitch)) for row in neighbours(metric("4", "0.8"))]
    assert near == [("4", "0.75"), ("4", "0.7"), ("4", "0.5"), ("5", "0.8")]


def test_the_pitches_of_a_size_and_the_sizes_of_a_pitch():
    pitches = [row.tpi for row in pitches_of(Thread(System.UNIFIED, "10"))]
    assert pitches == [24, 28, 32, 36, 40, 48, 56]
    sizes = [row.size for row in sizes_with(Thread(System.UNIFIED, None, Fraction(36)))]
    assert sizes == ["4", "6", "8", "10", "12", "1/4", "5/16", "3/8"]


@pytest.mark.parametrize(
    ("size", "tpi", "number", "inches"),
    [
        ("4", 36, True, "0.112"),
        ("4", 4, False, "4"),
        ("10", 32, True, "0.19"),
        ("0", 80, True, "0.06"),
        ("1", 64, True, "0.073"),
        ("1", 8, False, "1"),
        ("3", 16, False, "3"),
        ("1 1/8", 7, False, "1.125"),
    ],
)
def test_a_number_size_is_told_from_so_many_inches(size, tpi, number, inches):
    assert number_size(size, Fraction(tpi)) is number
    assert unified_inches(size, Fraction(tpi)) == Fraction(Decimal(inches))


def test_rows_from_memory_say_so():
    assert any(row.from_memory for row in all_rows() if row.system is System.SEWING)
    held = [row for row in all_rows() if row.from_memory and row.standing is Standing.STANDARD]
    # Of the standard series only unified sizes over 1 1/2 in were not seen.
    assert {row.system for row in held} == {System.UNIFIED}
    assert all(row.major_mm > Fraction(381, 10) for row in held)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("size,tpi\n1/4,20\n", "lacks 'Standard:'"),
        ("# Standard: x. Units: y. Seen: z.\nsize\n1/4\n", "expected the columns size,tpi"),
        ("# Standard: x. Units: y. Seen: z.\nsize,tpi\n1/4\n", "1 cells for 2 columns"),
        ("# Standard: x. Units: y. Seen: z.\n", "expected the columns"),
    ],
    ids=["no head", "wrong columns", "short row", "no rows"],
)
def test_a_damaged_table_is_refused(tmp_path, monkeypatch, text, said):
    (tmp_path / "t.csv").write_text(text, encoding="utf-8")
    monkeypatch.setattr(load, "HERE", tmp_path)
    with pytest.raises(TableError, match=said):
        list(load.table("t.csv", ("size", "tpi")))


@pytest.mark.parametrize("cell", ["", "x", "0", "-1"])
def test_a_cell_that_is_no_number_is_refused(cell):
    with pytest.raises(TableError, match="expected a number"):
        load.number(cell)


@pytest.mark.parametrize("size", ["", "1/0", "1/4/5", "a"])
def test_a_size_that_is_none_is_refused(size):
    with pytest.raises(TableError, match="expected a size"):
        load.inches(size)


def test_importing_the_tables_reads_none_of_them():
    script = (
        "import kbgen.units.standards as s; from kbgen.units.standards import rows;"
        "assert rows.unified_rows.cache_info().currsize == 0;"
        "assert rows.all_rows.cache_info().currsize == 0"
    )
    subprocess.run([sys.executable, "-c", script], check=True)
