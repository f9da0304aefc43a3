"""Threads and torques are one term however they are spelled."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kbgen.search.quantities import quantity_terms, read_quantities, two_figures
from kbgen.units import Kind, scan

ALIKE = [
    ("=5/16-18", [
        "5/16 by 18", "5/16-18 UNC", "five sixteenths eighteen", "5 16ths by 18", "⁵⁄₁₆–18",
        '5/16" x 18 TPI', "5/16-18UNC", "five-sixteenths by eighteen", "5⁄16 × 18", "5/16 UNC",
    ]),
    ("=1/4-20", [
        "quarter twenty", "a quarter inch twenty", "quarter-twenty", "¼-20", "1/4x20",
        "1/4 20 tpi whitworth", "UNC 1/4-20", "1/4 BSW", "quarter inch whitworth",
    ]),
    ("=10-32", ["#10-32 UNF-2A", "10-32", "ten thirty-two", "no. 10-32", "10 UNF"]),
    ("=9/64-40", ["SM9/64-40", "9/64 x 40", "nine sixty-fourths forty", "9/64 40"]),
    ("=1 1/8-12", ["1 1/8-12 UNF", "1⅛-12"]),
    ("=m6x1", ["M6x1", "M6 × 1.0", "M6x1-6g", "M6-1.0", "m 6 by 1", "M6x1 LH", "M6 1.0"]),
    ("=m4x0.7", ["M4x0,7", "M4 x .7"]),
    ("=4ba", ["4 BA", "4BA", "BA 4", "4 B.A."]),
    ("=g1/8", ["G1/8", "g 1/8"]),
    ("=12e0nm", ["12 N·m", "12 Nm", "106 lbf·in", "9 ft-lb", "8.85 pound feet",
        "12 newton metres"]),
    ("=80e-1nm", ["8 N·m", "8..10 N·m", "8 to 10 Nm"]),
]  # fmt: skip


@pytest.mark.parametrize(("term", "said"), [(t, s) for t, all_ in ALIKE for s in all_])
def test_usual_spellings_give_one_term(term: str, said: str) -> None:
    assert term in quantity_terms(said)


@pytest.mark.parametrize("said", [s for _, all_ in ALIKE for s in all_])
def test_the_units_room_reads_nothing_else(said: str) -> None:
    """What the units room reads in a text gives no term that this reader does not give,
    but for the series that it completes from its tables."""
    theirs = {
        term
        for stated in scan(said)
        if stated.kind in (Kind.THREAD, Kind.TORQUE)
        for term in quantity_terms(stated.canonical)
    }
    ours = set(quantity_terms(said))
    assert {term for term in theirs - ours if " " not in term} == set()


@pytest.mark.parametrize(
    "said",
    ["half of it", "the spring 3 times 10 turns", "thirty-two threads", "8 mm", "page 1/4",
     "needle 90/14 of the house", "24/7", "in 1910", "a quarter of an hour"],
)  # fmt: skip
def test_what_is_no_thread_is_read_as_none(said: str) -> None:
    assert quantity_terms(said) == ()


def test_a_reading_knows_the_words_that_said_it() -> None:
    (reading,) = read_quantities("the screw is five sixteenths eighteen, I think")
    assert reading.spoken == ("five", "sixteenths", "eighteen")
    assert reading.pair == "=5/16-18"


def test_a_metric_size_alone_leads_to_all_its_pitches() -> None:
    assert set(quantity_terms("M6")) < set(quantity_terms("M6x0.75"))


@pytest.mark.parametrize(
    ("value", "expected"),
    [(11.98, "12e0"), (0.113, "11e-2"), (99.6, "10e1"), (9.96, "10e0"), (1356, "14e2")],
)
def test_torques_are_one_term_within_rounding(value: float, expected: str) -> None:
    assert two_figures(value) == expected


@given(st.text(alphabet="0123456789/ -.,xmbanwhitorquefiv½⁄×\"#'", max_size=40))
def test_no_text_breaks_the_reader(text: str) -> None:
    for reading in read_quantities(text):
        assert all(term.startswith("=") for term in reading.terms)
