"""Threads: designations into values and back."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kbgen.text import NotationError
from kbgen.units import HouseThreads, System, Thread, parse_thread
from kbgen.units.standards import SeriesRow, all_rows


def thread_of(row: SeriesRow, *, left_hand: bool = False, fit_class: str | None = None) -> Thread:
    """Return the thread that a row of a table designates."""
    return Thread(
        row.system,
        row.size,
        row.tpi,
        None if row.system is System.BA else row.pitch,
        series=row.series if row.system is System.UNIFIED else None,
        fit_class=fit_class,
        left_hand=left_hand,
        inch_size=row.system is not System.METRIC,
    )


@pytest.mark.parametrize("row", all_rows(), ids=lambda row: str(thread_of(row)))
def test_every_row_of_every_table_round_trips(row: SeriesRow) -> None:
    for left_hand in (False, True):
        thread = thread_of(row, left_hand=left_hand)
        assert parse_thread(str(thread)) == thread


@settings(max_examples=200, deadline=None)
@given(
    st.sampled_from([row for row in all_rows() if row.system is System.UNIFIED]),
    st.sampled_from(["1A", "2A", "3A", "1B", "2B", "3B", "2", "3"]),
)
def test_unified_classes_round_trip(row: SeriesRow, fit_class: str) -> None:
    thread = thread_of(row, fit_class=fit_class)
    assert parse_thread(str(thread)) == thread


@pytest.mark.parametrize(
    "text",
    [
        *("?-20", "?-11.5", "M?x0.7", "1/4-?", "M8x?", "1/4-? UN", "SM9/64-?", "1/4-20", "1/8-27"),
        *("3/16-28 house", "5.2x0.8 house", "12-30 house", "1/4-20 LH", "?-20 LH", "M6x1-6g LH"),
        *("M6x1-5g6g", "M6x1-6H/6g", "10-32 UNF-2A LH", "1/4-21", "M4x0.8", "G1/8"),
    ],
)
def test_canonical_forms_round_trip(text: str) -> None:
    assert str(parse_thread(text)) == text


@pytest.mark.parametrize(
    ("text", "fields"),
    [
        ("1/4-20 UNC-2A LH", (System.UNIFIED, "1/4", "UNC", "2A", "left")),
        ("M6x1-6g", (System.METRIC, "6", None, "6g", "right")),
        ("4 BA", (System.BA, "4", None, None, "right")),
        ("SM11/64x40", (System.SEWING, "11/64", None, None, "right")),
        ("1/8 IP", (System.NPS, "1/8", None, None, "right")),
        ("3/8-26 BSCy", (System.CYCLE, "3/8", None, None, "right")),
        ("1/4-20", (System.UNKNOWN, "1/4", None, None, "right")),
        ("10-32", (System.UNIFIED, "10", "UNF", None, "right")),
    ],
)
def test_designation_is_taken_apart(
    text: str, fields: tuple[System, str, str | None, str | None, str]
) -> None:
    thread = parse_thread(text)
    assert (thread.system, thread.size, thread.series, thread.fit_class, thread.hand) == fields


@pytest.mark.parametrize(
    "text",
    [
        *(
            "",
            "thread",
            "snug",
            "4 N·m",
            "a quarter of it",
            "20",
            "12-28-04",
            "M",
            "UNC",
            "2026-03-04",
        ),
        *("1/4-20 and 1/4-28", "M6 or M8", "BA", "10-33", "1/0-20", "1/4-0", "M0x1", "x" * 5000),
    ],
)
def test_what_is_no_designation_is_refused_with_its_place(text: str) -> None:
    with pytest.raises(NotationError) as refused:
        parse_thread(text)
    assert refused.value.span.end <= len(text)
    assert refused.value.hint


def test_house_threads_hold_pairs_of_their_own() -> None:
    house = HouseThreads.of(["3/16-28 house", "5.2x0.8", "13/64 x 32 tpi", "not a thread"])
    assert sorted(map(str, house.threads)) == ["13/64-32 house", "3/16-28 house", "5.2x0.8 house"]
    assert str(parse_thread("13/64-32", house)) == "13/64-32 house"


def test_threads_sort_by_system_then_size_then_pitch() -> None:
    shuffled = ["M6x0.75", "1/2-13 UNC", "10-32 UNF", "M6x1", "1/4-28 UNF", "2 BA", "1/4-20 UNC"]
    assert [str(one) for one in sorted(map(parse_thread, shuffled))] == [
        *("10-32 UNF", "1/4-20 UNC", "1/4-28 UNF", "1/2-13 UNC", "M6x1", "M6x0.75", "2 BA"),
    ]


@pytest.mark.parametrize(
    "fields",
    [
        {"system": System.UNIFIED, "size": None},
        {"system": System.BA, "size": "1/4"},
        {"system": System.UNIFIED, "size": "quarter", "tpi": 20},
        {"system": System.UNIFIED, "size": "1/4", "tpi": -20},
    ],
)
def test_a_thread_that_cannot_be_is_refused(fields: dict[str, object]) -> None:
    with pytest.raises(ValueError, match=r"expected|states|above|whole"):
        Thread(**fields)  # type: ignore[arg-type]
