"""Every text of a content file that a reader reads, each knowing where it was written."""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from pydantic import BaseModel

from kbgen.content import Body, Note, Place, Question, Source, parse_markdown
from kbgen.prose.align import Link
from kbgen.prose.blocks import Block, blocks_of
from kbgen.prose.fields import TextField, loose_fields, text_fields
from kbgen.text import Span

__all__ = [
    "Passage",
    "passages_in_body",
    "passages_in_fields",
    "passages_in_fragment",
    "passages_of",
    "passages_of_answer",
]

_ROW_SCHEME = "fastener:"
_MARKS = frozenset("*_[`<&\\\n")  # without one of them, Markdown shows a line as it is written


class Passage(NamedTuple):
    """One text of a content file.

    Shape: ``text`` is what a reader sees, ``links`` stand in it; ``field`` is set for
    a text of a front matter or a YAML file, ``block`` for Markdown; of a field whose
    text is marked up, both, and then ``lines`` is where each line of its text begins.
    """

    text: str
    links: tuple[Link, ...]
    source: Source
    field: TextField | None
    block: Block | None
    lines: Sequence[int] = (0,)

    def place_of(self, offset: int) -> Place:
        """Return where a code point of the text stands in the file."""
        if self.block is None:
            assert self.field is not None
            return self.source.place_in(self.field.path, offset)
        line, column = self.block.place_of(offset)
        if self.field is None:
            return Place(self.source.body_line + line, column + 1)
        return self.source.place_in(self.field.path, self.lines[line] + column)

    def rows_named(self, sentence: Span) -> tuple[str, ...]:
        """Return the register rows that a sentence links to, else those of its table row."""
        first, last = (
            bisect_left(self.links, at, key=_start_of) for at in (sentence.start, sentence.end)
        )
        inside = self.links[first:last]
        for links in (inside, self.block.row_links if self.block else ()):
            rows = [
                link.target.removeprefix(_ROW_SCHEME)
                for link in links
                if link.target.startswith(_ROW_SCHEME)
            ]
            if rows:
                return tuple(dict.fromkeys(rows))
        return ()


def _start_of(link: Link) -> int:
    return link.start


def passages_in_fields(
    source: Source, model: BaseModel | tuple[BaseModel, ...]
) -> Iterator[Passage]:
    """Yield the texts of a content model in order; of those that are marked up, the seen text."""
    return _passages(source, text_fields(model))


def passages_in_fragment(body: Body) -> Iterator[Passage]:
    """Yield the texts of what could be read of a broken file."""
    yield from _passages(body.source, loose_fields(body.source))
    yield from passages_in_body(body)


def _passages(source: Source, fields: Iterable[TextField]) -> Iterator[Passage]:
    for field in fields:
        if field.kind is None and not _MARKS.isdisjoint(field.text):
            lines = [0, *(found.end() for found in re.finditer("\n", field.text))]
            for block in blocks_of(parse_markdown(field.text), field.text):
                yield Passage(block.text, block.links, source, field, block, lines)
        else:
            yield Passage(field.text, (), source, field, None)


def passages_in_body(note: Body) -> Iterator[Passage]:
    """Yield the texts of a note's body in order."""
    for block in blocks_of(note.tokens, note.body):
        yield Passage(block.text, block.links, note.source, None, block)


def passages_of_answer(question: Question) -> Iterator[Passage]:
    """Yield the texts of the workshop's own answer to a question, none where it has none."""
    return passages_in_fields(question.source, question.front)


def passages_of(note: Note) -> Iterator[Passage]:
    """Yield the texts of a note in the order of the file; what was withdrawn is left out."""
    for passage in passages_in_fields(note.source, note.front):
        if passage.field is None or not passage.field.withdrawn:
            yield passage
    yield from passages_in_body(note)
