"""YAML as it is written: values, places, and what is refused; alike with and without libyaml."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from kbgen.content import plain_yaml
from kbgen.content.plain_yaml import MAX_DEPTH, MAX_VALUES, read_yaml
from kbgen.content.source import Source


@pytest.fixture(params=["C", "Python"])
def parser(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    loader = yaml.CSafeLoader if request.param == "C" else yaml.SafeLoader
    monkeypatch.setattr(plain_yaml, "_LOADER", loader)
    yield


def test_the_c_parser_is_there() -> None:
    assert yaml.__with_libyaml__


# (text, what it holds)
READ = [
    pytest.param("a: b", {"a": "b"}, id="text"),
    pytest.param(
        "a: 1\nb: 1.50\nc: 2026-03-04",
        {"a": "1", "b": "1.50", "c": "2026-03-04"},
        id="kept as written",
    ),
    pytest.param("a: [x, 'y z', \"q\\u00bd\"]", {"a": ["x", "y z", "q½"]}, id="list in brackets"),
    pytest.param("a:\n- x\n- {b: c}", {"a": ["x", {"b": "c"}]}, id="list of lines"),
    pytest.param("a: >-\n  one\n  two\n\n  three\n", {"a": "one two\nthree"}, id="folded block"),
    pytest.param("a: |\n  one\n  two\n", {"a": "one\ntwo"}, id="literal block"),
    pytest.param("a: one\n  two", {"a": "one two"}, id="folded text"),
    pytest.param("# a comment\na: b # another\n", {"a": "b"}, id="comments"),
    pytest.param("---\na: b\n", {"a": "b"}, id="document mark"),
    pytest.param("a: 'it''s'", {"a": "it's"}, id="quote in quotes"),
    pytest.param('"a": "12:40"', {"a": "12:40"}, id="quoted key"),
    pytest.param("a: '  b '", {"a": "b"}, id="white space at the ends"),
    pytest.param("- a\n- b", ["a", "b"], id="rows"),
    pytest.param("", None, id="nothing"),
    pytest.param("# only a comment\n", None, id="only a comment"),
]


@pytest.mark.usefixtures("parser")
@pytest.mark.parametrize(("text", "data"), READ)
def test_read(text: str, data: object) -> None:
    reading = read_yaml(text)
    assert reading.data == data
    assert reading.whole
    assert reading.slips == []


# (text, code, line, column, words)
REFUSED = [
    pytest.param("a: b: c", "yaml-unreadable", 1, 5, "colon", id="colon in a text"),
    pytest.param("x: z\na: 'b", "yaml-unreadable", 2, 4, "never closed", id="open single quote"),
    pytest.param('x: z\na: "b\nc: d\n', "yaml-unreadable", 2, 4, "never closed", id="open quote"),
    pytest.param('a: "\\q"', "yaml-unreadable", 1, 5, "escape", id="unknown escape"),
    pytest.param('a: "\\x4"', "yaml-unreadable", 1, 7, "not complete", id="half an escape"),
    pytest.param("a: [1, 2", "yaml-unreadable", 1, 4, "brackets", id="open bracket"),
    pytest.param("a: [1,\n  2\nb: 3", "yaml-unreadable", 1, 4, "brackets", id="bracket above"),
    pytest.param("a: {b: 1", "yaml-unreadable", 1, 4, "braces", id="open brace"),
    pytest.param("a: @x", "yaml-unreadable", 1, 4, "cannot begin", id="at sign"),
    pytest.param("é: é\nb: `x", "yaml-unreadable", 2, 4, "cannot begin", id="backtick"),
    pytest.param("a: 1\nb\nc: 1", "yaml-unreadable", 2, 1, "without a colon", id="no colon"),
    pytest.param("a: - b", "yaml-unreadable", 1, 4, "list item", id="item in a line"),
    pytest.param("- a\nb: 1", "yaml-unreadable", 2, 1, "indentation", id="indentation"),
    pytest.param("a: ? b", "yaml-unreadable", 1, 4, "question mark", id="question mark"),
    pytest.param("? [a]\n: b", "yaml-unreadable", 1, 3, "key", id="a list as key"),
    pytest.param("a: |x\n b", "yaml-unreadable", 1, 5, "next line", id="text after a block mark"),
    pytest.param("a: b\n...\nc", "yaml-unreadable", 3, 1, "after the end", id="text after the end"),
    pytest.param("a:\n\t- b", "yaml-tab", 2, 1, "tab", id="tab as indentation"),
    pytest.param("a: b\tc\nd: e\tf", "yaml-tab", 1, 5, "on 1 more", id="tabs in texts"),
    pytest.param("a: &n 1", "yaml-alias", 1, 4, "&n", id="anchor"),
    pytest.param("a: 1\nb: *n", "yaml-alias", 2, 4, "*n", id="alias"),
    pytest.param("*n : b", "yaml-alias", 1, 1, "*n", id="alias as key"),
    pytest.param("a: {<<: {b: c}}", "yaml-alias", 1, 5, "<<", id="merge key"),
    pytest.param("a: !!str 1", "yaml-tag", 1, 4, "!!str", id="tag"),
    pytest.param("a: !!python/name:os.system x", "yaml-tag", 1, 4, "python", id="tag that builds"),
    pytest.param("a: ! 1", "yaml-tag", 1, 4, "tag", id="tag that says nothing"),
    pytest.param("%YAML 1.1\n---\na: b", "yaml-tag", 1, 1, "directive", id="directive"),
    pytest.param("a: 1\n---\nb: 2", "yaml-documents", 2, 1, "second", id="two documents"),
    pytest.param("a: 1\nb: 2\na: 3", "key-twice", 3, 1, "line 1", id="key twice"),
    pytest.param("a: {b: 1, c: 2, b: 3}", "key-twice", 1, 17, "`b`", id="key twice in braces"),
    pytest.param("a:\nb: 1", "value-wrong", 1, 1, "nothing stands after `a:`", id="no value"),
    pytest.param("a: [b, , c]", "yaml-unreadable", 1, 8, "cannot begin", id="comma twice"),
    pytest.param("a:\n- b\n-\n", "value-wrong", 3, 2, "nothing stands here", id="no item"),
    pytest.param("[" * (MAX_DEPTH + 1), "yaml-too-deep", 1, MAX_DEPTH + 1, "deep", id="too deep"),
    pytest.param("- " * 100_000, "yaml-too-deep", 1, 2 * MAX_DEPTH + 1, "deep", id="deep by lines"),
]


@pytest.mark.usefixtures("parser")
@pytest.mark.parametrize(("text", "code", "line", "column", "words"), REFUSED)
def test_refused(text: str, code: str, line: int, column: int, words: str) -> None:
    reading = read_yaml(text)
    source = Source("content/x.yaml", text, reading.marks)
    assert [slip.code for slip in reading.slips] == [code]
    slip = reading.slips[0]
    before = source.text[: slip.at]
    assert (before.count("\n") + 1, slip.at - before.rfind("\n")) == (line, column)
    assert words in slip.message
    assert slip.hint


@pytest.mark.usefixtures("parser")
@pytest.mark.parametrize("mark", ["[", "- ", "[ x, "])
def test_far_too_deep_is_refused_quickly(mark: str) -> None:
    reading = read_yaml(mark * 100_000)
    assert [slip.code for slip in reading.slips] == ["yaml-too-deep"]
    assert reading.slips[0].at <= 5_000


def test_too_many_values_are_refused() -> None:
    reading = read_yaml("[" + "[]," * MAX_VALUES + "]")
    assert [slip.code for slip in reading.slips] == ["file-too-large"]
    assert reading.data is None


def test_an_alias_bomb_is_refused_before_anything_is_built() -> None:
    bomb = "a: &a [x]\n" + "".join(
        f"{chr(98 + n)}: &{chr(98 + n)} [{', '.join([f'*{chr(97 + n)}'] * 9)}]\n" for n in range(9)
    )
    reading = read_yaml(bomb)
    assert {slip.code for slip in reading.slips} == {"yaml-alias"}
    assert len(reading.slips) == 10 + 9 * 9
    assert reading.data["b"] == [None] * 9


# Source: YAML 1.1 (yaml.org/type): bool, int, float, null, timestamp; YAML 1.2.2, 10.3.2
MISREAD = [
    ("no", "truth"),
    ("On", "truth"),
    ("y", "truth"),
    ("TRUE", "truth"),
    ("~", "no value"),
    ("null", "no value"),
    ("1:30", "base 60"),
    ("12:40", "base 60"),
    ("1:02:40", "base 60"),
    ("010", "base 8"),
    ("007.50", "leading zero"),
    ("0o17", "base 8"),
    ("0x1F", "another base"),
    ("0b11", "another base"),
    ("1_000", "underscores"),
    ("12E5", "power of ten"),
    (".inf", "infinite"),
    ("2026-03-04 10:00:00", "moment"),
]


@pytest.mark.usefixtures("parser")
@pytest.mark.parametrize(("written", "words"), MISREAD)
def test_misread_elsewhere(written: str, words: str) -> None:
    reading = read_yaml(f"a: {written}")
    assert reading.data == {"a": written}
    assert [(slip.code, slip.at, slip.path) for slip in reading.slips] == [
        ("value-misread-elsewhere", 3, ("a",))
    ]
    assert words in reading.slips[0].message
    assert read_yaml(f'a: "{written}"').slips == []


@pytest.mark.parametrize("written", ["no", "1:30", "010", "0x1F", "1_000", "~"])
def test_what_is_reported_as_misread_is_misread_by_a_plain_reader(written: str) -> None:
    assert yaml.safe_load(f"a: {written}") != {"a": written}


@pytest.mark.parametrize(
    "written", ["1", "0.20", "8.50", "2026-03-04", "none", "one", "1/4-20", "9/64", "2026-1-5", "0"]
)
def test_not_misread(written: str) -> None:
    assert read_yaml(f"a: {written}").slips == []


def test_places_in_a_note_count_from_the_beginning_of_the_file() -> None:
    text = "---\na: b\nc: [d, e]\n---\nbody: no YAML: here"
    reading = read_yaml(text, 4, text.index("---\nbody"))
    source = Source("content/notes/0001-x.md", text, reading.marks, 5)
    assert reading.data == {"a": "b", "c": ["d", "e"]}
    assert source.place("c", 1) == source.place_in(("c", 1), 0)
    assert (source.place("c", 1).line, source.place("c", 1).column) == (3, 8)
    assert (source.key_place("c").line, source.key_place("c").column) == (3, 1)


@settings(deadline=None)
@given(st.text(max_size=200))
def test_any_text_is_read_without_an_exception(text: str) -> None:
    reading = read_yaml(text)
    assert all(0 <= slip.at <= len(text) for slip in reading.slips)
    assert all(0 <= mark.start <= mark.end <= len(text) for mark in reading.marks.values())
    assert reading.whole or reading.slips


@settings(deadline=None)
@given(st.text(alphabet="ab:-[]{}\"'|>&*!#%?, \n\t<", max_size=60))
def test_any_soup_of_yaml_marks_is_read_without_an_exception(text: str) -> None:
    reading = read_yaml(text)
    assert reading.whole or reading.slips
