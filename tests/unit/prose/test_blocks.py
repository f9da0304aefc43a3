"""A block knows line and column of each of its letters, whatever stands around it."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kbgen.content import parse_markdown
from kbgen.prose.blocks import Block, blocks_of


def block_with(body: str, words: str) -> Block:
    return next(block for block in blocks_of(parse_markdown(body), body) if words in block.text)


@pytest.mark.parametrize(
    ("body", "words"),
    [
        pytest.param("One.\n\nTwo M4 here.", "M4", id="paragraph"),
        pytest.param("One\ntwo `a\nb` three\nM4 here", "M4", id="after a code span over two lines"),
        pytest.param("   One\n     M4 here", "M4", id="indented"),
        pytest.param("- one\n  - two\n    M4 here\n", "M4", id="nested list"),
        pytest.param("> one\n> > M4 here\n> > and", "M4", id="nested quote"),
        pytest.param("> one\nM4 lazily", "M4", id="lazy quote"),
        pytest.param(
            "1. one\n\n   M4 in a second paragraph", "M4", id="second paragraph of a list"
        ),
        pytest.param("-\tM4 after a tab", "M4", id="tab"),
        pytest.param("## A M4 heading ##", "M4", id="heading with closing marks"),
        pytest.param("A M4 heading\n===", "M4", id="underlined heading"),
        pytest.param("- # M4 M4x M4y", "M4y", id="heading in a list"),
        pytest.param("a  \nb M4", "M4", id="hard break"),
        pytest.param("```\none\n  M4 two\n```", "M4", id="fenced code"),
        pytest.param("> ```\n> M4 two\n> ```", "M4", id="fenced code in a quote"),
        pytest.param("text\n\n    M4 two\n", "M4", id="indented code"),
        pytest.param("- a\n\n      M4 two\n", "M4", id="indented code in a list"),
        pytest.param("|a|b|\n|-|-|\n|4|M4|", "M4", id="tight table"),
        pytest.param("a | b\n--|--\nM4 | 4", "M4", id="table without outer bars"),
        pytest.param("> | a | b |\n> |---|---|\n> | | M4 |", "M4", id="empty cell in a quote"),
        pytest.param("- | a | b |\n  |---|---|\n  | 1 \\| 2 | M4 |", "M4", id="a bar in a cell"),
        pytest.param("| a | b |\n|---|---|\n| `1 \\| 2` | **M4** |", "M4", id="a bar in code"),
        pytest.param("| 4 \\| M4 | b |\n|---|---|\n| x | y |", "M4", id="after a bar, in a header"),
        pytest.param("| a |\n|---|\n| x |\n\nAfter M4", "M4", id="after a table"),
    ],
)
def test_a_word_is_where_it_was_written(body: str, words: str) -> None:
    block = block_with(body, words)
    lines = body.split("\n")
    line, column = block.place_of(block.text.index(words))
    assert lines[line][column : column + len(words)] == words
    expected = body.index(words)
    assert (line, column) == (
        body.count("\n", 0, expected),
        expected - body.rfind("\n", 0, expected) - 1,
    )


def test_a_cell_knows_its_header_and_its_row() -> None:
    body = (
        "| Place | Torque (N·m) |\n|---|---|\n"
        "| [the clamp](fastener:halverin-h/needle-clamp) | 4 |\n| bolt | 9 |\n"
    )
    cell = block_with(body, "4")
    assert (cell.header, cell.row) == ("Torque (N·m)", "the clamp")
    assert [link.target for link in cell.row_links] == ["fastener:halverin-h/needle-clamp"]
    assert block_with(body, "9").row == "bolt"
    assert block_with(body, "9").row_links == ()
    assert block_with(body, "bolt").header == "Place"


def test_a_second_table_has_headers_of_its_own() -> None:
    body = "| a | b |\n|---|---|\n| 1 | 2 |\n\n| c | d |\n|---|---|\n| 3 | 4 |\n"
    assert block_with(body, "2").header == "b"
    assert block_with(body, "4").header == "d"


LINES = st.sampled_from(
    [
        "M4x0.8 alone", "> M4x0.8", "- M4x0.8", "  1. `M4x0.8`", "    M4x0.8", "\tM4x0.8", "",
        "| a | M4x0.8 |", "|---|---|", "|:-|", "```", "~~~ M4x0.8", "# M4x0.8 #", "===", "---",
        "**M4x0.8", "b** [M4x0.8](part:a)", "![M4x0.8](a.jpg) \\| x", "> | M4x0.8 \\| b | c |",
        "> |---|---|", "- | q | M4x0.8 |", "  |--|--|", "&frac12; M4x0.8", "[a]: part:M4x0.8",
        "<b>M4x0.8</b>", "* * *", "- - M4x0.8", "`M4", "x0.8`", "é M4x0.8 ½",
        "\u00a0M4x0.8", "\fM4x0.8",
    ]
)  # fmt: skip


@settings(max_examples=200, deadline=None)
@given(st.lists(LINES, max_size=9).map("\n".join))
def test_every_letter_has_a_place_that_is_in_the_body(body: str) -> None:
    lines = body.split("\n")
    for block in blocks_of(parse_markdown(body), body):
        for offset in range(len(block.text) + 1):
            line, column = block.place_of(offset)
            assert 0 <= line < len(lines), (body, block.text, offset)
            assert 0 <= column <= len(lines[line]), (body, block.text, offset)
        start = block.text.find("M4x0.8")
        if start >= 0:
            line, column = block.place_of(start)
            assert lines[line][column:].startswith("M4"), (body, block.text)
