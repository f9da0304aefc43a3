"""Whole files read for what they state: notes, families, parts, recordings, lists."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Sequence
from dataclasses import replace
from urllib.parse import unquote

from pydantic import BaseModel

from kbgen.content import Body, FamilyFile, Note, PartFile, Question, RecordingFile, Source
from kbgen.content.models import Correction, RegisterRow
from kbgen.prose.captions import scan_captions
from kbgen.prose.fields import TextField
from kbgen.prose.figures import moved, read_figure
from kbgen.prose.passages import (
    Passage,
    passages_in_body,
    passages_in_fields,
    passages_in_fragment,
)
from kbgen.prose.sentences import sentence_around
from kbgen.prose.statement import Scan, Statement, Unreadable, Where, faults_of
from kbgen.prose.table import read_under
from kbgen.text import NotationError, Span
from kbgen.units import HouseThreads, Kind, Stated, Verdict, scan

__all__ = [
    "scan_family",
    "scan_fields",
    "scan_fragment",
    "scan_note",
    "scan_part",
    "scan_question",
    "scan_recording",
]

_THREAD_SCHEME = "thread:"


def scan_note(note: Note, house: HouseThreads) -> Scan:
    """Return what a note states, front matter and body.

    A pure function of the note's bytes and the declared house threads.
    """
    return note.source.once(f"scan, {house.named}", lambda: _scan_note(note, house), of_all=True)


def _scan_note(note: Note, house: HouseThreads) -> Scan:
    front = _scan_fields(note.source, note.front, house, Where.FRONT, "")
    prose = [
        statement
        for passage in passages_in_body(note)
        for statement in _read(passage, house, Where.PROSE)
    ]
    return Scan((*front.statements, *prose), front.unreadable)


def scan_fragment(body: Body, house: HouseThreads) -> Scan:
    """Return what a broken file states, as far as it could be read; of a whole note, all."""
    if isinstance(body, Note):
        return scan_note(body, house)
    found = [
        statement
        for passage in passages_in_fragment(body)
        for statement in _read(passage, house, _where_in(body, passage))
    ]
    return Scan(tuple(found), ())


def _where_in(body: Body, passage: Passage) -> Where:
    if passage.field is None:
        return Where.PROSE
    return Where.FRONT if body.source.body_line else Where.RECORD


def scan_family(family: FamilyFile, house: HouseThreads) -> Scan:
    """Return what a family's file states; the figures of a register row are about the row."""
    return scan_fields(family.source, family.model, house, Where.RECORD, family.id)


def scan_part(part: PartFile, house: HouseThreads) -> Scan:
    """Return what a part's file states."""
    return scan_fields(part.source, part.model, house, Where.RECORD)


def scan_recording(recording: RecordingFile, house: HouseThreads) -> Scan:
    """Return what a recording states: its file, and what its captions say."""
    file = scan_fields(recording.source, recording.model, house, Where.RECORD)
    return Scan((*file.statements, *scan_captions(recording, house)), file.unreadable)


def scan_question(question: Question, house: HouseThreads) -> Scan:
    """Return what the answer to a question states; the words of who asked are not read."""
    return scan_fields(question.source, question.front, house, Where.FRONT)


def scan_fields(
    source: Source,
    model: BaseModel | tuple[BaseModel, ...],
    house: HouseThreads,
    where: Where,
    family: str = "",
) -> Scan:
    """Return what the texts of a content model state.

    Shape: ``where`` is said of plain texts; rows of a register, corrections and
    disputed figures have a word of their own. ``family`` names the register. A pure
    function of the file's bytes and the declared house threads.
    """
    return source.once(
        f"scan of fields, {house.named}",
        lambda: _scan_fields(source, model, house, where, family),
        of_all=True,
    )


def _scan_fields(
    source: Source,
    model: BaseModel | tuple[BaseModel, ...],
    house: HouseThreads,
    where: Where,
    family: str,
) -> Scan:
    statements: list[Statement] = []
    unreadable: list[Unreadable] = []
    for passage in passages_in_fields(source, model):
        field = passage.field
        assert field is not None
        if field.kind is None:
            found = _read(passage, house, where)
        else:
            try:
                found = [_statement(passage, read_figure(field.text, field.kind, house), where)]
            except NotationError as slip:
                unreadable.append(_unreadable(source, field, field.kind, slip))
                continue
        statements += [_of_field(field, statement, family) for statement in found]
    return Scan(tuple(statements), tuple(unreadable))


def _unreadable(source: Source, field: TextField, kind: Kind, slip: NotationError) -> Unreadable:
    place = source.place_in(field.path, slip.span.start)
    return Unreadable(
        source.path, place.line, place.column, str(kind), field.text, slip.message, slip.hint
    )


def _of_field(field: TextField, statement: Statement, family: str) -> Statement:
    """Return a statement with what its field says of it: its kind of place, its register row."""
    row = field.owner(RegisterRow)
    where, subject = statement.where, statement.subject
    words = statement.row
    correction = field.owner(Correction)
    if isinstance(correction, Correction):
        where, words = Where.CORRECTION, correction.what or ""
    elif field.disputed:
        where = Where.DISPUTED
    elif row is not None and field.kind is not None:
        where = Where.REGISTER
    if isinstance(row, RegisterRow) and (
        field.kind is not None or field.path[-1] in ("was", "now", "says")
    ):
        subject = f"{family}/{row.id}"
    named = (subject,) if subject else statement.named
    return replace(
        statement,
        where=where,
        subject=subject,
        row=words,
        named=named,
        withdrawn=field.withdrawn,
    )


def _read(passage: Passage, house: HouseThreads, where: Where) -> list[Statement]:
    """Return what one text states, a table cell with the help of its header."""
    block = passage.block
    found = scan(passage.text, house)
    if block is not None and block.in_table:
        where = Where.TABLE if where is Where.PROSE else where
        if block.header and not found:
            under = read_under(block.header, block.text, house)
            found = (under,) if under else ()
    if passage.links:
        found = (*found, *_linked_threads(passage, found, house))
    return [_statement(passage, stated, where) for stated in found]


def _statement(passage: Passage, stated: Stated, where: Where) -> Statement:
    place = passage.place_of(stated.span.start)
    sentence = sentence_around(passage.text, stated.span)
    named = passage.rows_named(sentence)
    return Statement(
        passage.source.path,
        place.line,
        place.column,
        where,
        stated,
        named[0] if len(named) == 1 else None,
        sentence.of(passage.text),
        stated.span.start - sentence.start,
        passage.block.row if passage.block else "",
        named,
        faults=faults_of(stated, passage.text, passage.place_of),
    )


def _linked_threads(
    passage: Passage, found: Sequence[Stated], house: HouseThreads
) -> Iterable[Stated]:
    """Yield the threads that links name and their words do not.

    A link to what is no thread leads nowhere, and the links room says so.
    """
    starts = [one.span.start for one in found]
    for link in passage.links:
        if not link.target.startswith(_THREAD_SCHEME):
            continue
        said = unquote(link.target.removeprefix(_THREAD_SCHEME))
        try:
            stated = read_figure(said, Kind.THREAD, house)
        except NotationError:
            continue
        if stated.verdict is Verdict.CONTRADICTORY:
            continue
        words = found[bisect_left(starts, link.start) : bisect_left(starts, link.end)]
        if all(one.canonical != stated.canonical for one in words):
            yield moved(stated, Span(link.start, link.end))
