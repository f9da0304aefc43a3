"""What a reader sees of a stretch of Markdown, and where each letter of it was written.

The parser keeps no columns inside a paragraph, so they are found again: the parsed
pieces are walked along the written text in order, skipping only what is markup.
Source: CommonMark 0.31.2 (backslash escapes 2.4, entities 2.5, code spans 6.1,
links 6.3, images 6.4, autolinks 6.5).
"""

from __future__ import annotations

import html
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Protocol

__all__ = ["Link", "Piece", "links_in", "plain_text", "written_at"]


class Piece(Protocol):
    """A token of parsed Markdown, as much of it as is read here."""

    @property
    def type(self) -> str: ...  # noqa: D102
    @property
    def content(self) -> str: ...  # noqa: D102
    @property
    def markup(self) -> str: ...  # noqa: D102
    @property
    def map(self) -> Sequence[int] | None: ...  # noqa: D102
    @property
    def attrs(self) -> Mapping[str, Any]: ...  # noqa: D102
    @property
    def children(self) -> Sequence[Any] | None: ...  # noqa: D102


@dataclass(frozen=True, slots=True)
class Link:
    """A link in a plain text.

    Shape: ``target`` is the destination as the parser gives it; ``start`` and
    ``end`` are the link's words in the plain text.
    """

    target: str
    start: int
    end: int


def plain_text(pieces: Sequence[Piece]) -> str:
    """Return what a reader sees of inline Markdown, a line break being a space."""
    return "".join([_seen(piece) for piece in pieces])


def _seen(piece: Piece) -> str:
    match piece.type:
        case "text" | "code_inline" | "html_inline":
            return piece.content
        case "softbreak" | "hardbreak":
            return " "
        case "image":
            return plain_text(piece.children or ())
        case _:
            return ""


_LINK = 2  # pieces of a link without words


def links_in(pieces: Sequence[Piece]) -> tuple[Link, ...]:
    """Return the links of inline Markdown with their words' places in its plain text."""
    if len(pieces) < _LINK:
        return ()
    found: list[Link] = []
    at = start = 0
    target: str | None = None
    for piece in pieces:
        if piece.type == "link_open":
            target, start = str(piece.attrs.get("href", "")), at
        elif piece.type == "link_close" and target is not None:
            found.append(Link(target, start, at))
            target = None
        at += len(_seen(piece))
    return tuple(found)


def written_at(written: str, pieces: Sequence[Piece]) -> list[int]:
    """Return, for every code point of the plain text, its offset in the written text.

    Shape: one entry more than the plain text is long, the last one being where
    the written text of the last piece ends.
    """
    walk = _Walk(written)
    for piece in pieces:
        walk.past(piece)
    return [*walk.offsets, walk.at]


_ENTITY = re.compile(r"&(?:#[0-9]{1,7}|#[xX][0-9a-fA-F]{1,6}|[A-Za-z][A-Za-z0-9]{1,31});")
_ESCAPED = re.compile(r"\\[!-/:-@\[-`{-~]")
_MAY_BE_SHORTER = re.compile(r"[&\\]")  # seen text that may have been written longer


class _Walk:
    """A walk along written Markdown that notes where each seen letter stands."""

    __slots__ = ("at", "offsets", "written")

    def __init__(self, written: str) -> None:
        self.written = written
        self.at = 0
        self.offsets: list[int] = []

    def past(self, piece: Piece) -> None:
        """Walk past one piece; where the markup is not understood, stay as near as can be."""
        match piece.type:
            case "text" | "html_inline":
                self._text(piece.content)
            case "code_inline":
                self._code(piece)
            case "softbreak" | "hardbreak":
                end = self._find("\n")
                self.offsets.append(end)
                self.at = end + 1
            case "link_open":
                self._skip("<" if piece.markup == "autolink" else "[")
            case "link_close":
                self._skip(">" if piece.markup == "autolink" else "]")
                if piece.markup != "autolink":
                    self._destination()
            case "image":
                self._skip("![")
                for child in piece.children or ():
                    self.past(child)
                self._skip("]")
                self._destination()
            case "em_open" | "em_close" | "strong_open" | "strong_close":
                self._skip(piece.markup)

    def _find(self, mark: str) -> int:
        found = self.written.find(mark, self.at)
        return self.at if found < 0 else found

    def _skip(self, mark: str) -> None:
        found = self.written.find(mark, self.at)
        if found >= 0:
            self.at = found + len(mark)

    def _text(self, content: str) -> None:
        if not content:
            return
        if not content[0].isspace():
            while self.written[self.at : self.at + 1] in (" ", "\t"):
                self.at += 1
        if self.written.startswith(content, self.at) and not _MAY_BE_SHORTER.search(content):
            self._straight(content)
            return
        rest = content
        while rest:
            step, shown = self._unit()
            if shown and rest.startswith(shown):
                self.offsets.extend([self.at] * len(shown))
                rest = rest[len(shown) :]
                self.at += step
            else:
                found = self.written.find(rest[0], self.at)
                if found < 0:
                    self.offsets.extend([self.at] * len(rest))
                    return
                self.at = found
                self.offsets.append(found)
                rest = rest[1:]
                self.at += 1

    def _straight(self, content: str) -> None:
        self.offsets.extend(range(self.at, self.at + len(content)))
        self.at += len(content)

    def _unit(self) -> tuple[int, str]:
        """Return how much is written for what is seen next: a letter, an escape, an entity."""
        if escaped := _ESCAPED.match(self.written, self.at):
            return 2, escaped[0][1]
        if entity := _ENTITY.match(self.written, self.at):
            shown = html.unescape(entity[0])
            if shown != entity[0]:
                return len(entity[0]), shown
        return 1, self.written[self.at : self.at + 1]

    def _code(self, piece: Piece) -> None:
        # A code span ends at a run of as many backticks as began it, no more and no fewer.
        run = re.compile(rf"(?<!`){piece.markup}(?!`)")
        opened = run.search(self.written, self.at)
        self.at = opened.end() if opened else self.at
        closed = run.search(self.written, self.at)
        end = closed.start() if closed else len(self.written)
        inside = self.written[self.at : end].replace("\n", " ")
        self.at += max(0, inside.find(piece.content))
        self._straight(piece.content)
        self.at = closed.end() if closed else self.at

    def _destination(self) -> None:
        """Walk past what follows the words of a link: ``(target "title")`` or ``[label]``."""
        after = self.written[self.at : self.at + 1]
        if after == "[":
            self._skip("]")
        elif after == "(" and (found := _DESTINATION.match(self.written, self.at)):
            self.at = found.end()


# A destination in angle brackets, or one with up to three levels of round brackets,
# and a title in any of its three quotations.
_FLAT = r"(?:\\.|[^\s\\()])*"
_ROUND = rf"{_FLAT}(?:\({_FLAT}(?:\({_FLAT}\){_FLAT})*\){_FLAT})*"
_DESTINATION = re.compile(
    rf"\(\s*(?:<(?:\\.|[^\n\\<>])*>|{_ROUND})"
    r"(?:\s+(?:\"(?:\\.|[^\"\\])*\"|'(?:\\.|[^'\\])*'|\((?:\\.|[^()\\])*\)))?\s*\)",
    re.DOTALL,
)
