"""Lengths and tightnesses: values and their canonical forms."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kbgen.text import NotationError
from kbgen.units import Length, Tightness, parse_length, parse_tightness


@pytest.mark.parametrize(
    ("text", "canonical"),
    [
        # NIST SP 811: the inch is 25.4 mm exactly.
        ("3/8 in", "9.525 mm"),
        ('1/4"', "6.35 mm"),
        ("1/4 to 1/2 in", "6.35..12.7 mm"),
        ("1 1/2 inches", "38.1 mm"),
        ("5/64 in", "1.984 mm"),
        ("2 thou", "0.0508 mm"),
        ("8 mm", "8 mm"),
        ("8,5 mm", "8.5 mm"),
        ("8 ± 0.1 mm", "7.9..8.1 mm"),
        ("6..12 mm", "6..12 mm"),
        ("2 cm", "20 mm"),
        ("24-3/8", "619.125 mm"),
        ("half an inch", "12.7 mm"),
    ],
)
def test_a_length_in_millimetres(text: str, canonical: str) -> None:
    assert str(parse_length(text)) == canonical
    assert parse_length(canonical) == parse_length(text)


@given(st.fractions(min_value=Fraction(1, 10000), max_value=100000, max_denominator=10000))
def test_a_length_round_trips(value: Fraction) -> None:
    length = Length(value, value)
    assert parse_length(str(length)) == length


@pytest.mark.parametrize("text", ["", "8", "M6x1", "eight", "mm", "8 mm and more", "4 N·m"])
def test_what_is_no_length_is_refused(text: str) -> None:
    with pytest.raises(NotationError) as refused:
        parse_length(text)
    assert refused.value.span.end <= len(text)


@pytest.mark.parametrize(
    ("text", "canonical"),
    [
        ("snug", "snug"),
        ("Snug.", "snug"),
        ("snug, then an eighth of a turn", "snug + 45 deg"),
        ("finger-tight + 90 deg", "finger-tight + 90 deg"),
        ("hand tight and a quarter turn more", "finger-tight + 90 deg"),
        ("seated - 90 deg", "seated - 90 deg"),
        ("seated, then back off a quarter turn", "seated - 90 deg"),
        ("seated", "seated"),
        ("1/16 turn past snug", "snug + 22.5 deg"),
    ],
)
def test_a_tightness_in_words(text: str, canonical: str) -> None:
    assert str(parse_tightness(text)) == canonical
    assert parse_tightness(canonical) == parse_tightness(text)


@pytest.mark.parametrize("text", ["", "2 N·m", "tight", "very", "a quarter turn"])
def test_what_is_no_tightness_is_refused(text: str) -> None:
    with pytest.raises(NotationError):
        parse_tightness(text)


def test_values_that_cannot_be_are_refused() -> None:
    with pytest.raises(ValueError, match="upward"):
        Length(Fraction(2), Fraction(1))
    with pytest.raises(ValueError, match="expected one of"):
        Tightness("very tight")
