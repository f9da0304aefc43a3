"""Bytes that are no plain text: each named with its place, and no place shifted by it."""

from __future__ import annotations

import pytest

from kbgen.content.decode import text_of

PATH = "content/notes/0001-x.md"


def seen(data: bytes, limit: int = 1000) -> tuple[str | None, list[tuple[str, int, int]]]:
    text, findings = text_of(PATH, data, limit)
    return text, [(one.code, one.line, one.column) for one in findings]


@pytest.mark.parametrize(
    ("data", "text"),
    [
        pytest.param(b"a\nb\n", "a\nb\n", id="line feeds"),
        pytest.param(b"a\r\nb\r\n", "a\nb\n", id="Windows line ends"),
        pytest.param("½ ⁄ × – \u2011".encode(), "½ ⁄ × – \u2011", id="typographic marks"),
        pytest.param("\U0001f9f5 \u00ad\u200b".encode(), "\U0001f9f5 \u00ad\u200b", id="beyond"),
        pytest.param(b"a\tb", "a\tb", id="tab"),
        pytest.param(b"", "", id="nothing"),
    ],
)
def test_plain_text(data: bytes, text: str) -> None:
    assert seen(data) == (text, [])


# (data, text, code, line, column, words)
WRONG = [
    pytest.param(b"\xef\xbb\xbf---", "---", "byte-order-mark", 1, 1, "without", id="mark"),
    pytest.param(b"a\n\xbd inch", "a\n? inch", "text-undecodable", 2, 1, "½", id="Windows-1252"),
    pytest.param(b"\xc2\xbd\xe9x", "½?x", "text-undecodable", 1, 2, "é", id="after a fraction"),
    pytest.param(b"a\xe2\x82", "a?", "text-undecodable", 1, 2, "UTF-8", id="cut short"),
    pytest.param(b"a\r\nb\xff", "a\nb?", "text-undecodable", 2, 2, "UTF-8", id="Windows lines"),
    pytest.param(b"a\x00b", "a b", "text-unseen", 1, 2, "U+0000", id="zero byte"),
    pytest.param(b"a\nb\x1bc", "a\nb c", "text-unseen", 2, 2, "U+001B", id="escape character"),
    pytest.param(b"a\rb", "a b", "text-unseen", 1, 2, "carriage return", id="lone return"),
    pytest.param(b"a\rb\r\rc", "a\nb\n\nc", "text-unseen", 1, 2, "lines end", id="old line ends"),
    pytest.param(b"a\xe9\xe8b", "a??b", "text-undecodable", 1, 2, "E9 E8", id="two in a row"),
    pytest.param(b"a\xed\xa0\x80b", "a???b", "text-undecodable", 1, 2, "D800", id="surrogate"),
    pytest.param("a\u202eb".encode(), "a b", "text-unseen", 1, 2, "direction", id="turned text"),
    pytest.param("a\u2028b".encode(), "a b", "text-unseen", 1, 2, "line break", id="separator"),
    pytest.param("a\ufeffb".encode(), "a b", "text-unseen", 1, 2, "byte order", id="mark inside"),
    pytest.param("a\ufffdb".encode(), "a b", "text-unseen", 1, 2, "lost", id="lost character"),
]


@pytest.mark.parametrize(("data", "text", "code", "line", "column", "words"), WRONG)
def test_wrong(data: bytes, text: str, code: str, line: int, column: int, words: str) -> None:
    assert seen(data) == (text, [(code, line, column)])
    found = text_of(PATH, data, 1000)[1][0]
    assert words in f"{found.message} {found.hint}"
    assert found.path == PATH


def test_every_wrong_byte_is_named() -> None:
    text, places = seen(b"\xe9 a \xe9\nb \xe9")
    assert text == "? a ?\nb ?"
    assert places == [
        ("text-undecodable", 1, 1),
        ("text-undecodable", 1, 5),
        ("text-undecodable", 2, 3),
    ]


@pytest.mark.parametrize(
    "data",
    [
        pytest.param("note".encode("utf-16"), id="UTF-16"),
        pytest.param(bytes(range(256)), id="every byte"),
        pytest.param(b"\x89PNG\r\n\x1a\n" + b"\x00\xff" * 40, id="a picture"),
        pytest.param(b"\x00" * 400, id="zeros"),
    ],
)
def test_what_is_no_text_at_all_is_one_finding(data: bytes) -> None:
    text, places = seen(data)
    assert text is None
    assert [code for code, _, _ in places] == ["text-undecodable"]


def test_a_file_at_the_limit_is_read_and_one_above_is_not() -> None:
    assert seen(b"a" * 10, 10) == ("a" * 10, [])
    assert seen(b"a" * 11, 10) == (None, [("file-too-large", 1, 1)])
