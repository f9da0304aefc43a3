"""A hazard's words are found in the forms English gives them, and in no other word."""

from __future__ import annotations

import pytest

from kbgen.checks.words import any_of, beginnings, word_form


@pytest.mark.parametrize(
    ("phrase", "text"),
    [
        ("solder", "It was soldered."),
        ("solder", "Soldering iron"),
        ("white spirit", "in White  spirits"),
        ("lamp holder", "the lamp-holder"),
        ("charge", "a charging lead"),
        ("assembly", "two assemblies"),
        ("hot-air gun", "a hot air gun"),
        ("flex", "two flexes"),
    ],
)
def test_a_word_is_found(phrase: str, text: str) -> None:
    assert any_of([word_form(phrase)]).search(text)
    assert any(start in text.lower() for start in beginnings((phrase,)))


@pytest.mark.parametrize(
    ("phrase", "text"),
    [
        ("mains", "the main shaft"),
        ("lead", "a misleading, unleaded one"),
        ("flex", "a flexible shaft, flexing"),
        ("solvent", "insolvent"),
        ("earth", "the earthenware pot"),
        ("lamp holder", "the lampholder"),
    ],
)
def test_another_word_is_not(phrase: str, text: str) -> None:
    assert any_of([word_form(phrase)]).search(text) is None
