"""The first glance lets no text go that states something."""

from unittest import mock

from hypothesis import given, settings
from hypothesis import strategies as st

from kbgen.units import scan

PIECES = st.sampled_from(
    [
        *(" ", "-", "/", ".", ",", "(", "\n", " and ", " by ", " point ", " or ", " a ", " to "),
        *("one", "two", "five", "sixteenths", "sixteen", "ten", "thirty seconds", "half", "thirds"),
        *("quarter", "hundred", "oh", "twelve", "eighteen", "zero", "forty", "fourths", "for"),
        *("1", "4", "5", "10", "12", "16", "28", "32", "0.7", "11/64", "16ths", "x", "M4", "No. 6"),
        *("BA", "UNC", "tpi", "metric", "inch", "mm", "N·m", "N.m", "pound", "foot pounds", "lb"),
        *("turn", "turns", "snug", "finger tight", "seated", "degrees", "threads to the inch"),
    ]
)


@settings(max_examples=500)
@given(st.lists(PIECES, max_size=10).map("".join))
def test_a_text_let_go_at_the_first_glance_states_nothing(text: str) -> None:
    with mock.patch("kbgen.units.scanning.may_state", return_value=True):
        expected = scan(text)
    assert scan(text) == expected
