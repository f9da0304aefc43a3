"""Numbers and words as printable ASCII."""

from __future__ import annotations

import json

from hypothesis import given
from hypothesis import strategies as st

from kbgen.search.packing import ALPHABET, front_coded, packed, unpacked


@given(st.lists(st.integers(min_value=0, max_value=10**9)))
def test_numbers_come_back(numbers: list[int]) -> None:
    text = packed(numbers)
    assert unpacked(text) == numbers
    assert json.dumps(text) == f'"{text}"'


def test_a_small_number_is_one_letter() -> None:
    assert len(packed(range(60))) == 60
    assert len(set(ALPHABET)) == len(ALPHABET) == 93


def test_words_share_what_they_begin_with() -> None:
    first, second = front_coded(["tyre", "tyres"]).split("~")
    assert first == f"{ALPHABET[0]}tyre"
    assert second == f"{ALPHABET[4]}s"
