"""No two threads share an address, whatever is written."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from kbgen.links import plain_thread, thread_slug
from kbgen.text import NotationError
from kbgen.units import System, Thread, parse_thread

INCHES = [
    "UNC",
    "UNF",
    "UNEF",
    "UN",
    "UNS",
    "BSW",
    "BSF",
    "BSB",
    "BSCy",
    "NPT",
    "NPS",
    "NPSM",
    "house",
]
SIZES = st.one_of(
    st.integers(0, 12).map(str),
    st.builds(
        lambda whole, top, half: f"{whole} {top}/{half}" if whole else f"{top}/{half}",
        st.integers(0, 3),
        st.integers(1, 63),
        st.sampled_from([2, 4, 8, 16, 32, 64]),
    ),
)
TPI = st.one_of(st.integers(3, 100).map(str), st.sampled_from(["11 1/2", "4 1/2", "11.5", "13.5"]))
WRITTEN = st.one_of(
    st.builds(
        lambda size, tpi, series: f"{size}-{tpi} {series}", SIZES, TPI, st.sampled_from(INCHES)
    ),
    st.builds(lambda size, tpi: f"{size}-{tpi}", SIZES, TPI),
    st.builds(lambda size, tpi: f"SM{size}-{tpi}", SIZES, TPI),
    st.builds(lambda size: f"{size} BA", st.integers(0, 25)),
    st.builds(lambda size: f"G{size}", SIZES),
    st.builds(
        lambda size, pitch, tail: f"M{size}x{pitch}{tail}",
        st.decimals(1, 60, places=1),
        st.decimals("0.2", 6, places=2),
        st.sampled_from(["", " LH", "-6g", " house"]),
    ),
)


@given(st.lists(WRITTEN, min_size=2, max_size=40))
def test_slugs_are_injective(written: list[str]) -> None:
    owner: dict[str, Thread] = {}
    for text in written:
        try:
            thread = plain_thread(parse_thread(text))
        except NotationError:
            continue
        assert owner.setdefault(thread_slug(thread), thread) == thread


def test_a_slug_is_lower_case_and_needs_no_escape() -> None:
    for text in ("1 1/8-12 UNF", "SM11/64-40", "G1/8", "M2.5x0.45", "3/16-28 house", "4 BA"):
        slug = thread_slug(parse_thread(text))
        assert slug == slug.lower()
        assert all(mark.isalnum() or mark in "._-" for mark in slug)


def test_class_and_hand_share_one_page() -> None:
    thread = Thread(System.METRIC, "6", pitch=Decimal(1), inch_size=False)
    both = replace(thread, left_hand=True, fit_class="6g")
    assert thread_slug(thread) == thread_slug(both)
    assert Thread(System.UNIFIED, "1/4", tpi=Fraction(20)) == plain_thread(
        Thread(System.UNIFIED, "1/4", tpi=Fraction(20), fit_class="2A")
    )
