"""Every letter of the seen text is found again where it was written."""

from __future__ import annotations

import html
from collections.abc import Iterator

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from kbgen.content import parse_markdown
from kbgen.prose.align import links_in, plain_text, written_at


def inline_pieces(text: str) -> Iterator[tuple[str, list]]:
    for token in parse_markdown(text):
        if token.type == "inline":
            yield token.content, token.children or []


@pytest.mark.parametrize(
    ("written", "seen", "figure", "column"),
    [
        pytest.param("a M4x0.8 b", "a M4x0.8 b", "M4", 2, id="plain"),
        pytest.param("**a** *M4x0.8*", "a M4x0.8", "M4", 7, id="emphasis"),
        pytest.param("``a ` b`` `M4x0.8`", "a ` b M4x0.8", "M4", 11, id="code spans"),
        pytest.param("`a\nb` M4x0.8", "a b M4x0.8", "M4", 6, id="a code span over two lines"),
        pytest.param("` M4 ` M5", " M4  M5".strip().replace("  ", " "), "M5", 7, id="padded code"),
        pytest.param("[M4](part:m4) M4x0.8", "M4 M4x0.8", "M4x", 14, id="a link before"),
        pytest.param("[a](<x M4> 'M4 (') M4x", "a M4x", "M4x", 19, id="a title before"),
        pytest.param("[a](x(M4(1))) M4x", "a M4x", "M4x", 14, id="brackets in a target"),
        pytest.param(r"[a](x\)M4x) M4x", "a M4x", "M4x", 12, id="an escape in a target"),
        pytest.param("<http://m4.example> M4x", "http://m4.example M4x", "M4x", 20, id="autolink"),
        pytest.param("![M4x](a.jpg) M4x0.8", "M4x M4x0.8", "M4x0", 14, id="a picture before"),
        pytest.param("![a M4x](b.jpg)", "a M4x", "M4x", 4, id="in a picture's words"),
        pytest.param(r"1\*2 M4\-x", "1*2 M4-x", "M4", 5, id="escapes"),
        pytest.param("&frac12; M4", "½ M4", "M4", 9, id="an entity"),
        pytest.param("&amp;amp; M4", "&amp; M4", "M4", 10, id="an entity of an entity"),
        pytest.param("a & b M4", "a & b M4", "M4", 6, id="a bare ampersand"),
        pytest.param("a *b M4", "a *b M4", "M4", 5, id="a star that opens nothing"),
        pytest.param("a  \nM4", "a M4", "M4", 4, id="a hard break"),
        pytest.param("a\\\nM4", "a M4", "M4", 3, id="a hard break by backslash"),
        pytest.param("*a*a M4", "aa M4", "M4", 5, id="the same letter after emphasis"),
    ],
)
def test_a_figure_is_found_where_it_was_written(
    written: str, seen: str, figure: str, column: int
) -> None:
    ((content, pieces),) = inline_pieces(written)
    text = plain_text(pieces)
    assert text == seen
    assert written_at(content, pieces)[text.rindex(figure)] == column


def test_a_reference_link_is_passed_by_its_label() -> None:
    ((content, pieces),) = inline_pieces("[a][M4] M4x\n\n[M4]: part:x")
    text = plain_text(pieces)
    assert written_at(content, pieces)[text.index("M4x")] == content.index("M4x")


def test_links_know_their_words() -> None:
    ((_, pieces),) = inline_pieces("see [the **tyre**](part:winder-tyre) and [17](note:17)")
    text = plain_text(pieces)
    links = links_in(pieces)
    assert [(link.target, text[link.start : link.end]) for link in links] == [
        ("part:winder-tyre", "the tyre"),
        ("note:17", "17"),
    ]


FRAGMENTS = st.sampled_from(
    [
        "M4x0.8", "1/4-20", " ", "\n", "**", "*", "_", "`", "``", "[a](part:b)", "[x *y* z](t:1)",
        "![alt](p.jpg)", "\\*", "\\\\", "&frac12;", "&amp;", "&", "½", "<http://a.b>", "a", "(b)",
        "]", "[", "  \n", "\\\n", "é", "x",
    ]
)  # fmt: skip


@example("` `` `")
@settings(max_examples=300, deadline=None)
@given(st.lists(FRAGMENTS, max_size=14).map("".join))
def test_letters_are_themselves_wherever_they_were_written(text: str) -> None:
    for content, pieces in inline_pieces(text):
        seen = plain_text(pieces)
        offsets = written_at(content, pieces)
        assert len(offsets) == len(seen) + 1
        assert offsets == sorted(offsets)
        for letter, offset in zip(seen, offsets, strict=False):
            written = content[offset : offset + 12]
            assert (
                written.startswith((letter, "\\" + letter))
                or (letter == " " and written.startswith("\n"))
                or html.unescape(written).startswith(letter)
            ), (content, seen, letter, offset)
