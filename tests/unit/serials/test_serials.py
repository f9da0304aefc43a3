"""Serial numbers and lots: bounds are counted, nothing is assumed, nothing is nearest."""

from __future__ import annotations

import json
from dataclasses import dataclass

import pytest
from hypothesis import given
from hypothesis import strategies as some

from kbgen.serials import (
    Serial,
    describe_serial,
    gaps,
    out_of_order,
    overlaps,
    parse_serial,
    read_lots,
    totals,
)
from kbgen.text import NotationError


@dataclass(frozen=True)
class Row:
    first: str
    last: str
    allotted: str = "1908"
    works: str | None = "Vellmouth works"
    variant: str | None = None
    basis: str = "quoted"
    source: str = "a book"


ROWS = (
    Row("HA 1", "HA 24000", "1908-03"),
    Row("HA 24001", "HA 60000", "1909-09", "Oderby works"),
    Row("HB 1", "HB 50000", "1911-01-16", None),
    Row("40-100001", "40-140000", "1955"),
)


@pytest.mark.parametrize(
    ("text", "serial"),
    [
        ("HA 24001", Serial("HA", 24001)),
        ("ha24001", Serial("HA", 24001)),
        ("HA-24,001", Serial("HA", 24001)),
        ("H.A. 24 001", Serial("HA", 24001)),
        ("ＨＡ　２４００１", Serial("HA", 24001)),
        ("HA 000024", Serial("HA", 24)),
        ("40-100001", Serial("40", 100001)),
        ("40 100 001", Serial("", 40100001)),
        ("No. T 18000", Serial("T", 18000)),
        ("serial no. T 18000", Serial("T", 18000)),
        ("№ 18.000", Serial("", 18000)),
        ("#12", Serial("", 12)),
        ("A1B 2", Serial("A1B", 2)),
        ("1234567 c", Serial("", 1234567, "C")),
        ("НА 5", Serial("HA", 5)),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_the_usual_spellings_are_read(text, serial):
    assert parse_serial(text) == serial


@pytest.mark.parametrize("text", ["", "HA", "???", "HA ?1", "1" * 16, "HA 1 & HA 2"])
def test_what_is_none_is_refused(text):
    with pytest.raises(NotationError):
        parse_serial(text)


@pytest.mark.parametrize(
    ("text", "lot", "position"),
    [
        ("HA 1", "HA 1 to HA 24000", 1),
        ("HA 24000", "HA 1 to HA 24000", 24000),
        ("HA 24001", "HA 24001 to HA 60000", 1),
        ("HA 60000", "HA 24001 to HA 60000", 36000),
        ("40-140000", "40-100001 to 40-140000", 40000),
    ],
)
def test_both_bounds_are_part_of_the_lot(text, lot, position):
    described = describe_serial(text, ROWS)
    assert [(one["lot"], one["position"]) for one in described["lots"]] == [(lot, position)]
    assert not described["conflict"]


@pytest.mark.parametrize("text", ["HA 0", "HA 60001", "HC 1", "24001", "HA 24001 B"])
def test_a_number_in_no_lot_is_in_none(text):
    described = describe_serial(text, ROWS)
    assert described["lots"] == []
    assert described["answer"].startswith("No lot covers ")


def test_allotted_is_not_made():
    answer = describe_serial("HA 24001", ROWS)["answer"]
    assert "allotted to Oderby works in September 1909" in answer
    assert "Not before September 1909" in answer
    assert "on 16 January 1911." in describe_serial("HB 7", ROWS)["answer"]


def test_two_lots_stand_side_by_side():
    described = describe_serial("HA 24001", (*ROWS, Row("HA 24001", "HA 24010", "1910")))
    assert described["conflict"]
    assert [lot["not_before"] for lot in described["lots"]] == ["1909-09", "1910"]
    assert described["answer"].startswith("2 lots cover HA 24001, and only one")


@pytest.mark.parametrize(
    ("text", "other", "because"),
    [
        ("HA 24OO1", "HA 24001", "O read as 0"),
        ("HA 2400I", "HA 24001", "I read as 1"),
        ("H8 5O", "HB 50", "8 read as B; O read as 0"),
        ("40100001", "40-100001", "with 40 set off as what stands before the number"),
        ("HA 77 X", "HA 77", "without the X behind it"),
    ],
)
def test_other_readings_are_offered_and_not_assumed(text, other, because):
    described = describe_serial(text, ROWS)
    assert described["lots"] == []
    assert {one["canonical"]: one["because"] for one in described["other_readings"]}[
        other
    ] == because


def test_a_reading_that_no_lot_covers_is_not_offered():
    assert describe_serial("HA 6OOO1", ROWS)["other_readings"] == []


def test_a_number_may_be_covered_as_written_and_otherwise():
    described = describe_serial("HA 240", (Row("HA 1", "HA 999"), Row("HA2 1", "HA2 99")))
    assert described["lots"][0]["position"] == 240
    assert [one["canonical"] for one in described["other_readings"]] == ["HA2-40"]


def test_what_is_known_is_said_where_nothing_covers():
    assert "begin with HA, HB, 40" in describe_serial("5", ROWS)["answer"]
    assert "hold 1 to 24000, 24001 to 60000" in describe_serial("HA 99999", ROWS)["answer"]
    assert describe_serial("HA 1", ())["answer"] == "No lot covers HA 1. No lot is known."
    assert "end with A" in describe_serial("7", (Row("1 A", "9 A"),))["answer"]


def test_a_lot_that_is_no_block_is_left_out_and_told():
    blocks, slips = read_lots((Row("HA 9", "HA 1"), Row("HA 1", "HB 2"), Row("?", "HA 2"), ROWS[0]))
    assert [block.index for block in blocks] == [3]
    assert ["backwards" in slips[0].message, "unlike" in slips[1].message] == [True, True]
    assert [slip.index for slip in slips] == [0, 1, 2]


letters = some.sampled_from(["", "H", "HA", "T", "40", "A1"])
numbers = some.integers(0, 10**9)


@given(letters, numbers, some.sampled_from(["", "X", "AB"]))
def test_a_serial_number_says_itself(prefix, number, suffix):
    serial = Serial(prefix, number, suffix)
    assert parse_serial(str(serial)) == serial


@given(some.text(max_size=30))
def test_any_text_is_read_or_refused(text):
    try:
        serial = parse_serial(text)
    except NotationError as refused:
        assert refused.message
        return
    assert serial.number >= 0


@given(
    some.lists(some.tuples(letters, some.integers(0, 60), some.integers(0, 20)), max_size=6),
    letters,
    some.integers(0, 90),
)
def test_the_arithmetic_is_that_of_the_set_of_numbers(spans, prefix, number):
    """Cover, overlap, gap and count, each held to the plain set of numbers."""
    rows = [Row(str(Serial(p, first)), str(Serial(p, first + more))) for p, first, more in spans]
    blocks, slips = read_lots(rows)
    assert not slips
    sets = [{(p, n) for n in range(first, first + more + 1)} for p, first, more in spans]
    described = describe_serial(str(Serial(prefix, number)), rows)
    held = [index for index, one in enumerate(sets) if (prefix, number) in one]
    assert [lot["position"] for lot in described["lots"]] == [
        number - spans[index][1] + 1 for index in held
    ]
    assert totals(blocks).numbers == len(set().union(*sets))
    assert sum(count for _, count in totals(blocks).works) == totals(blocks).numbers
    shared = any(one & other for at, one in enumerate(sets) for other in sets[:at])
    assert bool(list(overlaps(blocks))) == shared
    missing = {
        (p, n)
        for p in {p for p, _, _ in spans}
        for own in [sorted(n for q, n in set().union(*sets) if q == p)]
        for n in range(own[0], own[-1])
        if n not in own
    }
    told = {(gap.before.prefix, n) for gap in gaps(blocks) for n in range(gap.first, gap.last + 1)}
    assert told == missing


def test_dates_are_held_to_each_other_as_far_as_both_go():
    def wrong(below: str, above: str) -> bool:
        return bool(
            list(out_of_order(read_lots((Row("1", "9", below), Row("10", "19", above)))[0]))
        )

    assert wrong("1909", "1908")
    assert wrong("1908-03", "1908-02")
    assert not wrong("1908-03", "1908")
    assert not wrong("1908", "1908-01-01")


def test_what_is_printed_is_plain_data():
    described = describe_serial("HA 24OO1", ROWS, {"plain": "Plain pillar"})
    assert json.loads(json.dumps(described)) == described
