"""The first glance at a text: what it lets go, and what it keeps."""

import re
from unittest import mock

from hypothesis import given, settings
from hypothesis import strategies as st

from kbgen.units import scan
from kbgen.units.glance import may_state

PIECES = st.sampled_from(
    [
        *(" ", "-", "/", ".", ",", "(", "\n", " and ", " by ", " point ", " or ", " a ", " to "),
        *("one", "two", "five", "sixteenths", "sixteen", "ten", "thirty seconds", "half", "thirds"),
        *("quarter", "hundred", "oh", "twelve", "eighteen", "zero", "forty", "fourths", "for"),
        *("1", "4", "5", "10", "12", "16", "28", "32", "0.7", "11/64", "16ths", "x", "M4", "No. 6"),
        *("BA", "UNC", "tpi", "metric", "inch", "mm", "N·m", "N.m", "pound", "foot pounds", "lb"),
        *('"', "turn", "turns", "snug", "finger tight", "seated", "degrees", "threads to the inch"),
    ]
)


@settings(max_examples=500)
@given(st.lists(PIECES, max_size=10).map("".join))
def test_a_text_without_the_beginning_of_a_number_is_let_go_by_the_whole_glance_too(
    text: str,
) -> None:
    every = re.compile("")
    with mock.patch("kbgen.units.glance._number_beginnings", return_value=every):
        expected = may_state(text)
    assert may_state(text) == expected


def test_a_spoken_part_of_an_inch_is_kept_by_its_sign_alone() -> None:
    assert [one.canonical for one in scan('It takes a quarter" bolt.')] == ["6.35 mm"]
    assert scan('Press "one".') == ()
