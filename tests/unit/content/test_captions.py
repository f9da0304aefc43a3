"""Captions: read in order, every letter at its place, slips of timing named."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kbgen.content import load_tree
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


NUMBERED = """\
1
00:00:01,000 --> 00:00:03,250 X1:100 X2:600 Y1:400 Y2:450
{\\an8}<font color="#ffff00">The winder</font> bracket

2
0:00:03,200 --> 0:00:05,000
screw is nine &amp; sixty-fourths
3
00:00:05,000 --> 00:00:07,000
- by forty. {loud}
 \t
4
00:00:06,500 --> 00:00:08,000
- No!
"""


def test_the_numbered_form_as_programs_write_it() -> None:
    """Marks in braces and brackets, a place on the picture, a blank line left out, two at once."""
    captions, findings = captions_of("content/recordings/x.srt", NUMBERED)
    assert findings == []
    assert [(one.start, one.end, one.text, one.line) for one in captions] == [
        (1.0, 3.25, "The winder bracket", 3),
        (3.2, 5.0, "screw is nine & sixty-fourths", 7),
        (5.0, 7.0, "- by forty. {loud}", 10),
        (6.5, 8.0, "- No!", 14),
    ]
    lines = NUMBERED.split("\n")
    for caption, word in ((captions[0], "winder"), (captions[0], "bracket"), (captions[1], "six")):
        place = caption.place_in(caption.text.index(word))
        assert lines[place.line - 1][place.column - 1 :].startswith(word)


def test_the_numbered_form_from_a_file_of_another_system(tmp_path: Path) -> None:
    """Line ends of two characters and a byte order mark, which is told of and stops nothing."""
    folder = tmp_path / "content" / "recordings"
    folder.mkdir(parents=True)
    (tmp_path / "content" / "workshop.yaml").write_text("name: not read here\n")
    (folder / "x.srt").write_bytes("\ufeff".encode() + NUMBERED.replace("\n", "\r\n").encode())
    (folder / "x.yaml").write_text(
        "title: X\ndate: 2026-01-01\naddress: https://films.example.org/x\nlength: '10:00'\n"
    )
    loaded = load_tree(tmp_path)
    about_captions = [one for one in loaded.findings if one.path.endswith(".srt")]
    assert [one.code for one in about_captions] == ["byte-order-mark"]
    captions = loaded.tree.recordings["x"].captions
    assert [one.line for one in captions] == [3, 7, 10, 14]
    assert captions[3].text == "- No!"


ROLLING = """\
WEBVTT
Kind: captions
Language: en

00:00:01.000 --> 00:00:03.000 align:start position:0%
{blank}
it<00:00:01.500><c> is</c><00:00:01.900><c> an</c>

00:00:03.000 --> 00:00:03.010 align:start position:0%
it is an
{blank}

00:00:03.010 --> 00:00:05.000 align:start position:0%
it is an
eighth<00:00:03.500><c> by</c><00:00:03.900><c> forty-four</c>

00:00:09.000 --> 00:00:10.000
eighth by forty-four
"""


def test_what_rolls_on_is_said_once() -> None:
    """Captions that a machine wrote: each shows again the line that stood there before."""
    captions, findings = captions_of("content/recordings/x.vtt", ROLLING.format(blank=" "))
    assert findings == []
    assert [(one.start, one.end, one.text, one.line) for one in captions] == [
        (1.0, 3.01, " \nit is an", 6),
        (3.01, 5.0, "eighth by forty-four", 15),
        (9.0, 10.0, "eighth by forty-four", 18),
    ]
    assert captions[1].place_in(7) == Place(15, 25)


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
