"""Every link that somebody wrote: in a note's body, and in any sentence of a YAML file.

Links are read by the parser of the content room, so that what is checked here is what
is published; the parser keeps no columns, which are found again in the file.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Sequence
from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple

from kbgen.content import Body, Source, parse_markdown

if TYPE_CHECKING:
    from markdown_it.token import Token

__all__ = ["WrittenLink", "links_in_body", "links_in_fields"]


_DEFINITION = re.compile(r"[\s>]*\[[^\]]+\]:\s*<?(?P<target>[^\s<>]+)")


class WrittenLink(NamedTuple):
    """A link as written.

    Shape: ``target`` is the destination, ``image`` whether it is a picture's;
    ``line`` and ``column`` (1-based) are where the destination begins in the file.
    """

    target: str
    image: bool
    line: int
    column: int


def links_in_body(note: Body) -> Iterator[WrittenLink]:
    """Yield the links of a note's body in order."""
    lines = note.body.split("\n")
    seek = _Seeker(lines, note.source.body_line)
    for token in note.tokens:
        if token.type == "inline":
            yield from seek.links(token)


def links_in_fields(source: Source, only: Collection[str] = ()) -> Iterator[WrittenLink]:
    """Yield the links in every scalar of a file's YAML that looks as if it held one.

    Shape: ``only`` are the keys that are read, all where none is named.
    """
    if not _may_hold_links(source):
        return
    for path, mark in source.marks.items():
        if only and (not path or path[0] not in only):
            continue
        value = source.text[mark.start : mark.end] if mark.value is None else mark.value
        if "[" not in value and "<" not in value:
            continue
        lines = value.split("\n")
        starts = [0, *(found.end() for found in re.finditer("\n", value))]
        seek = _Seeker(lines, 1)
        for token in parse_markdown(value):
            if token.type != "inline":
                continue
            for link in seek.links(token):
                place = source.place_in(path, starts[link.line - 1] + link.column - 1)
                yield WrittenLink(link.target, link.image, place.line, place.column)


def _may_hold_links(source: Source) -> bool:
    """Return whether a link can stand in a file's YAML; most hold none, and are known at sight.

    A destination stands in brackets behind the words, or where its label is defined; a
    backslash in quotation marks can hide either.
    """
    yaml = source.text
    if source.body_line:
        yaml = "\n".join(yaml.split("\n", source.body_line - 1)[:-1])
    return any(mark in yaml for mark in ("](", "]:", "<", "\\"))


class _Seeker:
    """Finds where destinations stand, each further on in its line than the last."""

    def __init__(self, lines: Sequence[str], first_line: int) -> None:
        self._lines = lines
        self._first_line = first_line
        self._cursors: dict[int, int] = {}
        self._elsewhere: set[tuple[int, str]] = set()

    @cached_property
    def _definitions(self) -> dict[str, tuple[int, int]]:
        """Where each destination stands that a label is defined as."""
        found: dict[str, tuple[int, int]] = {}
        for number, line in enumerate(self._lines):
            match = _DEFINITION.match(line)
            if match:
                found.setdefault(match["target"], (number, match.start("target")))
        return found

    def links(self, token: Token) -> Iterator[WrittenLink]:
        """Yield the links of one inline token."""
        begin, end = token.map or (0, len(self._lines))
        for child in token.children or ():
            if child.type == "link_open":
                yield self._found(str(child.attrs.get("href", "")), False, begin, end)
            elif child.type == "image":
                yield self._found(str(child.attrs.get("src", "")), True, begin, end)

    def _found(self, target: str, image: bool, begin: int, end: int) -> WrittenLink:
        """Return the link with its place; the block's first character where it is hidden.

        A reference-style link (``[words][label]``) has its destination elsewhere.
        """
        sought = target or "]("  # an empty destination is nowhere but in its brackets
        for number in range(begin, min(end, len(self._lines))):
            if (begin, sought) in self._elsewhere:
                break
            at = self._lines[number].find(sought, self._cursors.get(number, 0))
            if at >= 0:
                self._cursors[number] = at + len(sought)
                column = at + 1 if target else at + 3
                return WrittenLink(target, image, self._first_line + number, column)
        self._elsewhere.add((begin, sought))
        if target in self._definitions:
            number, at = self._definitions[target]
            return WrittenLink(target, image, self._first_line + number, at + 1)
        line = self._lines[begin] if begin < len(self._lines) else ""
        return WrittenLink(
            target, image, self._first_line + begin, len(line) - len(line.lstrip()) + 1
        )
