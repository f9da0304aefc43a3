"""Captions: read in order, every letter at its place, slips of timing named."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kbgen.content.captions import captions_of
from kbgen.content.source import Place

VTT = """\
WEBVTT - an evening with winders

NOTE
this is --not-- a caption

STYLE
::cue { color: white }

1
00:12:40.000 --> 00:12:43.500 align:start
<v A repairer>The screw is <i>five</i> &amp; a half
sixteenths by eighteen

12:44.000 --> 12:45.000
Snug.
"""


def test_webvtt() -> None:
    captions, findings = captions_of("content/recordings/x.vtt", VTT)
    assert findings == []
    assert [(one.start, one.end, one.text, one.line) for one in captions] == [
        (760.0, 763.5, "The screw is five & a half\nsixteenths by eighteen", 11),
        (764.0, 765.0, "Snug.", 15),
    ]


@pytest.mark.parametrize(
    ("word", "line", "column"),
    [("The", 11, 15), ("five", 11, 31), ("&", 11, 40), ("half", 11, 48), ("eighteen", 12, 15)],
)
def test_places(word: str, line: int, column: int) -> None:
    caption = captions_of("content/recordings/x.vtt", VTT)[0][0]
    assert caption.place_in(caption.text.index(word)) == Place(line, column)
    assert VTT.split("\n")[line - 1][column - 1 :].startswith(word)


def test_the_numbered_form() -> None:
    text = "1\n00:00:01,000 --> 00:00:02,250\nSnug.\n\n2\n00:00:03,000 --> 00:00:04,000\nTight.\n"
    captions, findings = captions_of("content/recordings/x.srt", text)
    assert findings == []
    assert [(one.start, one.end, one.text, one.line) for one in captions] == [
        (1.0, 2.25, "Snug.", 3),
        (3.0, 4.0, "Tight.", 7),
    ]


# (text, line, column, words)
WRONG = [
    pytest.param("00:01.000 --> 00:02.000\nx\n", 1, 1, "WEBVTT", id="no header"),
    pytest.param("WEBVTTX\n", 1, 1, "WEBVTT", id="another header"),
    pytest.param("WEBVTT\n\n0:1 --> 00:02.000\nx\n", 3, 1, "`0:1`", id="start"),
    pytest.param("WEBVTT\n\n00:01.000 --> 2\nx\n", 3, 15, "`2`", id="end"),
    pytest.param("WEBVTT\n\n00:01.000-->00:02.000\nx\n", 3, 10, "both sides", id="no spaces"),
    pytest.param("WEBVTT\n\n00:61.000 --> 00:62.000\nx\n", 3, 1, "`00:61.000`", id="seconds"),
    pytest.param("WEBVTT\n\n00:02.000 --> 00:02.000\nx\n", 3, 15, "ends before", id="no length"),
    pytest.param(
        "WEBVTT\n\n00:05.000 --> 00:06.000\nx\n\n00:01.000 --> 00:02.000\ny\n",
        6,
        1,
        "begins before",
        id="order",
    ),
]


@pytest.mark.parametrize(("text", "line", "column", "words"), WRONG)
def test_wrong(text: str, line: int, column: int, words: str) -> None:
    _, findings = captions_of("content/recordings/x.vtt", text)
    assert findings[0].code == "captions-wrong"
    assert (findings[0].line, findings[0].column) == (line, column)
    assert words in findings[0].message


def test_a_wrong_caption_does_not_take_the_next_with_it() -> None:
    text = "WEBVTT\n\nx --> y\nlost\n\n00:01.000 --> 00:02.000\nkept\n"
    captions, findings = captions_of("content/recordings/x.vtt", text)
    assert [one.text for one in captions] == ["kept"]
    assert len(findings) == 2


@settings(deadline=None)
@given(st.text(alphabet="0123456789:.,->< \nWEBVTTNOTE&amp;", max_size=120))
def test_any_text_is_read_without_an_exception(text: str) -> None:
    for path in ("x.vtt", "x.srt"):
        captions, findings = captions_of(path, text)
        lines = text.split("\n")
        assert all(1 <= one.line <= len(lines) for one in findings)
        for caption in captions:
            for offset in range(len(caption.text) + 1):
                place = caption.place_in(offset)
                assert 1 <= place.line <= len(lines) + 1
