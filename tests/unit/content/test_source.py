"""Every character of a value is found again in its file."""

from __future__ import annotations

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from kbgen.content import read_file
from kbgen.content.plain_yaml import read_yaml
from kbgen.content.source import Place, Source, place_at
from kbgen.kept import pack, unpack


def source_of(text: str) -> Source:
    return Source("content/x.yaml", text, read_yaml(text).marks)


# (text, word sought in the value of `a`, line, column)
PLACES = [
    pytest.param("a: one two", "two", 1, 8, id="plain"),
    pytest.param("a:   one\n  two  \n\n  three x", "three", 4, 3, id="plain over lines"),
    pytest.param("a: 'it''s one'", "one", 1, 11, id="single quotes"),
    pytest.param("a: 'one\n\n   two'", "two", 3, 4, id="single quotes over lines"),
    pytest.param('a: "\\u00bd in\\t\\"x\\" y"', "y", 1, 22, id="escapes"),
    pytest.param('a: "one\\\n   two"', "two", 2, 4, id="escaped line break"),
    pytest.param("a: >-\n  one\n  two M4x0.8\n", "M4x0.8", 3, 7, id="folded"),
    pytest.param("a: >\n  one\n\n    kept\n  two\n", "kept", 4, 5, id="folded with an indent"),
    pytest.param("a: |\n  one\n   two\n", "two", 3, 4, id="literal"),
    pytest.param("a: |2\n   one\n", "one", 2, 4, id="literal with a stated indent"),
    pytest.param("b: 1\na: |+ # words\n\n  one\n\n", "one", 4, 3, id="literal with a comment"),
    pytest.param("a: '   one'", "one", 1, 8, id="white space in front"),
    pytest.param("a: '\u00a0\u00a0one'", "one", 1, 7, id="hard spaces in front"),
    pytest.param('a: "\\u00a0one"', "one", 1, 11, id="an escaped hard space in front"),
]


@pytest.mark.parametrize(("text", "word", "line", "column"), PLACES)
def test_place_in(text: str, word: str, line: int, column: int) -> None:
    value = read_yaml(text).data["a"]
    assert source_of(text).place_in(("a",), value.index(word)) == Place(line, column)


def test_a_place_falls_back_to_what_stands_around_it() -> None:
    source = source_of("a:\n  - b: c\n")
    assert source.place("a", 0, "missing", 3) == Place(2, 5)
    assert source.place("elsewhere") == Place(1, 1)
    assert source.place() == Place(1, 1)


def test_a_span_covers_the_value_as_written() -> None:
    text = "a: 'b c' # d"
    assert source_of(text).value_span(("a",)).of(text) == "'b c'"


def test_places_are_listed_in_the_order_of_the_file() -> None:
    places = source_of("a: b\nc: [d]").places
    assert list(places.items()) == [
        ((), Place(1, 1)),
        (("a",), Place(1, 4)),
        (("c",), Place(2, 4)),
        (("c", 0), Place(2, 5)),
    ]


def test_place_at_the_end() -> None:
    assert place_at("a\n", 2) == Place(2, 1)
    assert place_at("", 0) == Place(1, 1)


WORDS = st.text(
    st.characters(
        codec="utf-8",
        exclude_categories=["Cc", "Cs", "Zl", "Zp"],
        exclude_characters="\ufeff\ufffe\uffff",
    ),
    min_size=1,
    max_size=60,
)


def written_alike(source: Source, value: str, path: tuple[str | int, ...]) -> None:
    """Hold every letter of a value to the letter at its place."""
    lines = source.text.split("\n")
    for offset, letter in enumerate(value):
        place = source.place_in(path, offset)
        at = lines[place.line - 1][place.column - 1 : place.column]
        if not letter.isspace():
            assert at in (letter, "\\")


@settings(deadline=None)
@given(st.lists(WORDS, min_size=1, max_size=4), st.sampled_from(['"', "'", "|", ">", None]))
def test_every_letter_stands_at_its_place(words: list[str], style: str | None) -> None:
    value = "\n".join(words)
    text = yaml.dump({"k": {"a": value}}, default_style=style, allow_unicode=True, width=20)
    reading = read_yaml(text)
    if not reading.whole or "k" not in reading.data:
        assert reading.slips
        return
    assert reading.data["k"]["a"] == value.strip() or reading.slips
    written_alike(Source("x", text, reading.marks), reading.data["k"]["a"] or "", ("k", "a"))


@settings(deadline=None)
@given(WORDS)
def test_every_letter_of_a_quoted_text_stands_at_its_place(word: str) -> None:
    text = "k: '" + word.replace("'", "''") + "'\n"
    reading = read_yaml(text)
    assert reading.data == {"k": word.strip()}
    written_alike(Source("x", text, reading.marks), word.strip(), ("k",))


def test_a_source_that_was_left_is_read_again_where_it_is_kept() -> None:
    source = read_file("content/notes/0001-x.md", b"---\ntitle: Words\n---\nA body.\n")[0].source
    assert source.once("length", lambda: 8, of_all=True) == 8
    assert source.once("words", lambda: "two") == "two"
    kept = pack(source)
    asked: list[int] = []

    def again() -> Source:
        asked.append(1)
        found: Source = unpack(kept)
        return found

    left = again()
    left.leave(again)
    assert left.path == source.path
    assert asked == [1]
    assert left.once("words", lambda: "none") == "two"
    assert left.once("length", lambda: 9, of_all=True) == 8
    assert (left.text, left.place("title")) == (source.text, source.place("title"))
    assert asked == [1, 1]
    left.leave(again)
    assert not left.opened
    assert left.digest == source.digest
    assert unpack(pack(left)).text == source.text
    assert asked == [1, 1, 1]
