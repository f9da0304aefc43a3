"""Markdown that is nested deeper than its parser follows, which would be left out unseen."""

from __future__ import annotations

import re
from collections.abc import Iterator

from kbgen.checks.rule import Material
from kbgen.content import Body
from kbgen.findings import Finding, finding

__all__ = ["markdown_too_deep"]

MAX_LEVEL = 20
"""The parser leaves out what lies deeper: a quotation is one level, an item of a list two."""

_MARKS = re.compile(r"[ \t]*(?:(>)|[-+*](?=[ \t])|[0-9]{1,9}[.)](?=[ \t]))")
_OPENED = ("blockquote_open", "list_item_open")


def markdown_too_deep(material: Material) -> Iterator[Finding]:
    """Report the text of a note that nobody would ever see, because it lies too deep."""
    for body in (*material.tree.notes.values(), *material.tree.fragments):
        yield from deep_places(body)


def deep_places(body: Body) -> tuple[Finding, ...]:
    """Return a finding for each place of a body that lies too deep."""
    return body.source.once("deep places", lambda: tuple(_deep_places(body)), of_all=True)


def _deep_places(body: Body) -> Iterator[Finding]:
    lines = body.body.split("\n") if body.body else []
    done = 0
    for token in body.tokens:
        if token.type in _OPENED and token.level + 1 >= MAX_LEVEL and token.map:
            if token.map[0] >= done:
                yield _finding(body, token.map[0], lines[token.map[0]])
            done = max(done, token.map[1])


def _finding(body: Body, number: int, line: str) -> Finding:
    return finding(
        "markdown-too-deep",
        body.source.path,
        body.source.body_line + number,
        _column(line),
        f"quotations and lists are nested {MAX_LEVEL} levels deep here, and what stands in them "
        "would be left out",
        "begin the line further to the left, with fewer marks",
    )


def _column(line: str) -> int:
    """Return where the mark stands that is one too many, else the last mark of the line."""
    level = at = 0
    column = len(line) - len(line.lstrip())
    while (mark := _MARKS.match(line, at)) and level < MAX_LEVEL:
        at = mark.end()
        level += 1 if mark[1] else 2
        column = len(mark[0].rstrip()) - len(mark[0].strip()) + mark.start()
    return column + 1
