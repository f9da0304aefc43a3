"""The body of a note as blocks of plain text whose letters know their line and column.

A block is a paragraph, a heading, a list item's words, one cell of a table, one line
of code, or the title of a link. Figures are sought in the plain text, so that markup
between a number and its unit does not hide it; where a figure was written is worked
out only when there is one.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from kbgen.prose.align import Link, Piece, links_in, plain_text, written_at

__all__ = ["Block", "blocks_of"]


class Block(NamedTuple):
    """A stretch of plain text of a note's body.

    Shape: ``text`` is what a reader sees, ``links`` are in its order. Of a table
    cell, ``header`` is the words above its column, ``row`` the words of the first
    cell of its row and ``row_links`` the links there; all empty elsewhere. ``token`` holds
    what was written, from line ``first`` of ``lines`` and, in a cell or in code, column
    ``start`` on; ``walked`` is where its letters stand, once that was asked.
    """

    text: str
    links: tuple[Link, ...]
    header: str
    row: str
    row_links: tuple[Link, ...]
    in_table: bool
    token: Piece
    lines: Sequence[str]
    first: int
    start: int
    walked: list[_Written]

    def place_of(self, offset: int) -> tuple[int, int]:
        """Return line and column, 0-based, of a code point of ``text`` in the body."""
        if self.token.type != "inline":
            return self.first, self.start + offset
        if not self.walked:
            self.walked.append(_Written(self.token, self.lines, self.first, self.in_table))
        line, column = self.walked[0].place_of(offset)
        return self.first + line, (self.start if self.in_table else 0) + column


class _Written:
    """Where each letter of one piece of inline Markdown was written, worked out once."""

    __slots__ = ("_at", "_breaks", "_starts")

    def __init__(self, token: Piece, lines: Sequence[str], first: int, in_table: bool) -> None:
        written = token.content
        self._at = written_at(written, token.children or ())
        if in_table:  # a bar that was escaped is one letter shorter here than in its line
            self._breaks = [at for at, mark in enumerate(written) if mark == "|"]
            self._starts: list[int] | None = None
            return
        parts = written.split("\n")
        sources = [*lines[first : first + len(parts)], *([""] * len(parts))]
        self._breaks = [at for at, mark in enumerate(written) if mark == "\n"]
        self._starts = [_starts(*pair) for pair in zip(sources, parts, strict=False)]

    def place_of(self, offset: int) -> tuple[int, int]:
        """Return line and column, 0-based, from the block's first line and its beginning."""
        at = self._at[offset]
        before = bisect_right(self._breaks, at - 1)
        if self._starts is None:
            return 0, at + before
        begins = self._breaks[before - 1] + 1 if before else 0
        return before, self._starts[before] + at - begins


def _starts(source: str, written: str) -> int:
    """Return where a line of a block begins in the line of the file that holds it.

    The parser takes away what stands before it (quote marks, list marks, indents)
    and, of a heading, the closing marks.
    """
    found = source.rfind(written.rstrip())
    if found >= 0:
        return found
    bare = written.strip()
    return max(0, source.rfind(bare)) - (len(written) - len(written.lstrip()))


@dataclass(frozen=True, slots=True)
class _Title:
    """What stands for the token of a link's title."""

    type: str = "title"
    content: str = ""
    markup: str = ""
    map: Sequence[int] | None = None
    attrs: Mapping[str, Any] = field(default_factory=dict)
    children: Sequence[Any] | None = None


_TITLE = _Title()


def blocks_of(tokens: Sequence[Piece], body: str) -> Iterator[Block]:
    """Yield the blocks of a note's body in order."""
    lines = body.split("\n")
    table = _Table()
    for token in tokens:
        match token.type:
            case "inline" if table.inside:
                first = token.map[0] if token.map else 0
                start = table.cell_starts(token, lines[first] if first < len(lines) else "")
                yield _block(token, lines, first, start, table)
                yield from _titles(token, lines)
            case "inline":
                yield _block(token, lines, token.map[0] if token.map else 0, 0, None)
                yield from _titles(token, lines)
            case "fence":
                yield from _code(token, lines, 1)
            case "code_block":
                yield from _code(token, lines, 0)
            case kind if kind in _OF_TABLES:
                table.meets(token)


def _block(
    token: Piece, lines: Sequence[str], first: int, start: int, table: _Table | None
) -> Block:
    pieces = token.children or ()
    text, links = plain_text(pieces), links_in(pieces)
    if table is None:
        return Block(text, links, "", "", (), False, token, lines, first, start, [])
    header, row, row_links = table.note(text, links)
    return Block(text, links, header, row, row_links, True, token, lines, first, start, [])


def _titles(token: Piece, lines: Sequence[str]) -> Iterator[Block]:
    """Yield the titles of links, which a reader sees beside the pointer."""
    titles = [str(piece.attrs["title"]) for piece in token.children or () if "title" in piece.attrs]
    if not titles:
        return
    first, last = token.map or (0, len(lines))
    for title in sorted(set(titles)):
        # Beside the link, or where a label is defined, which may be anywhere.
        places = (*range(first, min(last, len(lines))), *range(len(lines)))
        number = next((one for one in places if title in lines[one]), first)
        start = max(0, lines[number].find(title)) if number < len(lines) else 0
        yield Block(title, (), "", "", (), False, _TITLE, lines, number, start, [])


def _code(token: Piece, lines: Sequence[str], skipped: int) -> Iterator[Block]:
    begin = (token.map[0] if token.map else 0) + skipped
    for number, text in enumerate(token.content.split("\n")):
        if text.strip() and begin + number < len(lines):
            start = _starts(lines[begin + number], text)
            yield Block(text, (), "", "", (), False, token, lines, begin + number, start, [])


_OF_TABLES = frozenset(
    {"table_open", "table_close", "thead_open", "thead_close", "tr_open", "th_open", "td_open"}
)
_BEFORE_ROW = re.compile(r"[\s>]*(?:(?:[-+*]|\d{1,9}[.)])\s+)*\|?")


class _Table:
    """The table that is being walked through: its headers, its row, its cell."""

    __slots__ = ("column", "cursor", "first", "first_links", "head", "headers", "inside")

    def __init__(self) -> None:
        self.inside = False
        self.head = False
        self.headers: list[str] = []
        self.first = ""
        self.first_links: tuple[Link, ...] = ()
        self.column = -1
        self.cursor = 0

    def meets(self, token: Piece) -> None:
        """Take note of an opening or closing token of a table."""
        match token.type:
            case "table_open":
                self.inside, self.headers = True, []
            case "table_close":
                self.inside = False
            case "thead_open":
                self.head = True
            case "thead_close":
                self.head = False
            case "tr_open":
                self.column, self.cursor, self.first, self.first_links = -1, -1, "", ()
            case "th_open" | "td_open":
                self.column += 1

    def cell_starts(self, token: Piece, source: str) -> int:
        """Return where the words of the next cell begin in its line of the file."""
        if self.cursor < 0:
            before = _BEFORE_ROW.match(source)
            self.cursor = before.end() if before else 0
        while self.cursor < len(source) and source[self.cursor].isspace():
            self.cursor += 1
        start = self.cursor
        self.cursor += len(token.content) + token.content.count("|")
        self.cursor = source.find("|", self.cursor) + 1 or len(source)
        return start

    def note(self, text: str, links: tuple[Link, ...]) -> tuple[str, str, tuple[Link, ...]]:
        """Take note of a cell; return its header, and its row's first words and links."""
        if self.head:
            self.headers.append(text)
            return "", "", ()
        if self.column == 0:
            self.first, self.first_links = text, links
            return self._header(), "", ()
        return self._header(), self.first, self.first_links

    def _header(self) -> str:
        return self.headers[self.column] if self.column < len(self.headers) else ""
