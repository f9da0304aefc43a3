"""The words of markup, held against Python's own parser of HTML; the numbered lists in it."""

from __future__ import annotations

from html.parser import HTMLParser

import pytest

from kbgen.content import parse_markdown
from kbgen.pages.figured import figured_markdown
from kbgen.pages.readable import StepList, plain, step_lists
from kbgen.units import scan

WRITTEN = [
    "Plain words, and no more.",
    "A cup & saucer, 5 < 6 > 4, &copy; and &lt;li&gt;.",
    'See [the *clamp* "a > b"](note:1 \'say "a > b" & so on\'), `x < y`.',
    "One line\\\nand another; 1/4-20 UNC at 2.5 N·m, ½ and 3/8.",
    "| a & b | c |\n|---|---|\n| 1/4-20 UNC | d |",
    "- one\n- two\n\n  still two\n\n> quoted\n> on",
    "```\n<ol><li>code & no list</li></ol>\n```",
    "<ol><li>letters and no list</li></ol>",
]


def rendered(markdown: str) -> str:
    return str(figured_markdown(parse_markdown(markdown), scan, lambda target: target))


class _Letters(HTMLParser):
    """Every letter that a reader sees, blanks left out."""

    def __init__(self, markup: str) -> None:
        super().__init__(convert_charrefs=True)
        self.seen = ""
        self.feed(markup)
        self.close()

    def handle_data(self, data: str) -> None:
        self.seen += "".join(data.split())


@pytest.mark.parametrize("markdown", WRITTEN)
def test_the_words_are_those_that_a_parser_of_html_reads(markdown: str) -> None:
    html = rendered(markdown)
    assert "".join(plain(html).split()) == _Letters(html).seen


def test_blocks_are_kept_apart_and_marks_are_not() -> None:
    assert plain(rendered("Wi*nd*er.\n\n- one\n- two")) == "Winder. one two"
    assert plain("one<br>two &amp; <b>th</b>ree\n four") == "one two & three four"


def test_steps_stand_under_their_heading_with_what_is_in_them() -> None:
    markdown = (
        "## Take it *off*\n\n1. Undo `a < b`.\n   - first\n   - second\n"
        "2. Lift it.\n\n   Not too high.\n\n# Put it on\n\n1. Push."
    )
    assert step_lists(rendered(markdown)) == (
        StepList("Take it off", ("Undo a < b. first second", "Lift it. Not too high.")),
        StepList("Put it on", ("Push.",)),
    )


@pytest.mark.parametrize(
    "markdown", ["- 1. inner", "> 1. quoted", "no list", "<ol><li>letters</li></ol>"]
)
def test_only_outermost_lists_are_steps(markdown: str) -> None:
    assert step_lists(rendered(markdown)) == ()
