"""A figure's sentence ends where the next thought begins, and not at an abbreviation."""

from __future__ import annotations

import pytest

from kbgen.prose.sentences import sentence_around
from kbgen.text import Span


@pytest.mark.parametrize(
    ("text", "figure", "sentence"),
    [
        pytest.param("One M4. Two M5. Three.", "M5", "Two M5.", id="full stops"),
        pytest.param("One M4; two M5.", "M4", "One M4;", id="semicolon"),
        pytest.param("The No. 8-32 is approx. 4 mm long.", "8-32", None, id="abbreviations"),
        pytest.param("Is it M4? Yes.", "M4", "Is it M4?", id="question"),
        pytest.param("Say “M4.” Then M5.", "M5", "Then M5.", id="quotation"),
        pytest.param("It takes 0.8 N·m. and so on", "0.8", None, id="a decimal point"),
        pytest.param("A 1/4-20 UNC. Then M5.", "1/4-20 UNC.", "A 1/4-20 UNC.", id="a stop in it"),
        pytest.param("", "", "", id="empty"),
    ],
)
def test_sentence_around(text: str, figure: str, sentence: str | None) -> None:
    start = text.index(figure)
    found = sentence_around(text, Span(start, start + len(figure)))
    assert found.of(text) == (text if sentence is None else sentence)
