"""A share of the great numbers that ``fuzz.py`` tries, and every case that it ever found."""

from __future__ import annotations

import random

import pytest
from fuzz import SEED, damaged, found_before, inputs, texts_of_the_project, tried
from texts import PARSERS

NUMBERS = range(200_000, 206_000)


def test_nothing_ends_in_a_traceback() -> None:
    assert [
        (number, shown[:300], trace[-600:]) for number, shown, trace in tried(SEED, NUMBERS)
    ] == []


def test_an_input_can_be_made_again() -> None:
    first = [shown for _, shown, _ in inputs(SEED, range(50))]
    again = [shown for _, shown, _ in inputs(SEED, range(49, -1, -1))]
    assert first == again[::-1]
    assert len(set(first)) == 50


def test_a_fault_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(text: str) -> object:
        raise IndexError(text)

    monkeypatch.setitem(PARSERS, "scan", broken)
    found = tried(SEED, range(300))
    assert found
    assert all(shown.startswith("scan: ") and "IndexError" in trace for _, shown, trace in found)


def test_many_of_the_damaged_texts_are_read() -> None:
    """What is refused at the first letter tries nothing."""
    chance = random.Random(SEED)
    texts = [damaged(chance, texts_of_the_project()) for _ in range(300)]
    assert sum(bool(PARSERS["scan"](text)) for text in texts) > 60
    assert sum(text in texts_of_the_project() for text in texts) < 100


@pytest.mark.parametrize(("name", "text"), found_before() or [("scan", "")])
def test_what_was_found_once_is_never_found_again(name: str, text: str) -> None:
    PARSERS[name](text)
