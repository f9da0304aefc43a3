"""Words one slip away."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kbgen.search.lexicon import Lexicon, near


@pytest.mark.parametrize(
    ("one", "other", "expected"),
    [
        ("bobbin", "bobin", True),
        ("bobbin", "bobbins", True),
        ("bobbin", "bobbim", True),
        ("bobbin", "bobibn", True),
        ("water", "awter", True),
        ("bobbin", "bobbin", False),
        ("bobbin", "bobni", False),
        ("ab", "ba", True),
        ("abcd", "badc", False),
    ],
)
def test_near_is_one_slip_of_the_finger(one: str, other: str, expected: bool) -> None:
    assert near(one, other) is expected
    assert near(other, one) is expected


WORDS = st.text(alphabet="abc", min_size=1, max_size=8)


@given(st.sets(WORDS, max_size=40), WORDS.filter(lambda word: len(word) > 3))
def test_no_near_word_is_missed(words: set[str], asked: str) -> None:
    assert Lexicon(words).near(asked) == sorted(word for word in words if near(asked, word))


def test_words_of_letters_alone_are_kept_in_order() -> None:
    lexicon = Lexicon(["tyre", "=m6x1", "m6", "tyres", "type", "^ti"])
    assert list(lexicon.beginning("ty")) == ["type", "tyre", "tyres"]
    assert lexicon.near("tyee") == ["type", "tyre"]
