"""One content file: bytes → model with its source, a pure function of the bytes."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from typing import Any, TypeVar

from kbgen.content.decode import NOTE_LIMIT, YAML_LIMIT, text_of
from kbgen.content.marks import KeyPath, Mark
from kbgen.content.names import (
    note_name_hint,
    number_of,
    question_name_hint,
    question_number_of,
)
from kbgen.content.plain_yaml import Slip, read_yaml
from kbgen.content.rules import slips_in
from kbgen.content.shape import FAMILY, NOTE, PART, QUESTION, RECORDING, Kind, shaped
from kbgen.content.source import Source, place_at
from kbgen.content.tree import Body, Filed, Note, Question
from kbgen.findings import Finding, finding

__all__ = [
    "load_note",
    "load_yaml",
    "marks_in",
    "read_file",
    "read_filed",
    "read_note",
    "read_question",
]

M = TypeVar("M")

_FILED: dict[str, Kind[Any]] = {"families": FAMILY, "parts": PART, "recordings": RECORDING}

_BELOW = {"note": "the steps of the repair", "question": "the words as they were written"}
_BEGUN = "write it, or take the file out of content/"
_FENCE = re.compile(r"^---[ ]*$", re.MULTILINE)


def load_note(path: str, data: bytes) -> tuple[Note | None, list[Finding]]:
    """Return the note that a file holds, and what is wrong with it; never raises.

    Shape: ``path`` is relative to the tree with forward slashes. A pure function of
    its arguments; the result can be handed to another process.
    """
    note, findings = read_note(path, data)
    return (note if isinstance(note, Note) else None), findings


def read_file(path: str, data: bytes) -> tuple[Any, list[Finding]]:
    """Return what a file of a content folder holds, and what is wrong with it.

    Shape: a note or a question, a body where one is broken, or what a YAML file is filed
    as, a body without text where that is broken.
    """
    folder, _, name = path.removeprefix("content/").rpartition("/")
    if folder == "notes":
        return read_note(path, data)
    if folder == "questions":
        return read_question(path, data)
    return read_filed(_FILED[folder], path, data, name.rpartition(".")[0])


def read_filed(
    kind: Kind[M], path: str, data: bytes, name: str
) -> tuple[Filed[M] | Body, list[Finding]]:
    """Return a YAML file as what it is filed as, or a body where it is broken."""
    model, source, findings = load_yaml(kind, path, data)
    return (Body(source, "") if model is None else Filed(name, source, model)), findings


def read_note(path: str, data: bytes) -> tuple[Note | Body | None, list[Finding]]:
    """Return a note, or what can be read of it where the front matter or the name is broken."""
    number = number_of(path.rpartition("/")[2])
    findings = [] if number else [_misnamed(path, "note", note_name_hint)]
    front, body, slips = _read_fronted(NOTE, path, data)
    findings += slips
    if body is None or front is None or not number:
        return body, findings
    return Note(body.source, body.body, number, _slug(path), front), findings


def read_question(path: str, data: bytes) -> tuple[Question | Body | None, list[Finding]]:
    """Return a question, or what can be read of it where the front matter or the name is broken."""
    number = question_number_of(path.rpartition("/")[2])
    findings = [] if number else [_misnamed(path, "question", question_name_hint)]
    front, body, slips = _read_fronted(QUESTION, path, data)
    findings += slips
    if body is None or front is None or not number:
        return body, findings
    return Question(body.source, body.body, number, _slug(path), front), findings


def _read_fronted(
    kind: Kind[M], path: str, data: bytes
) -> tuple[M | None, Body | None, list[Finding]]:
    """Return front matter and body of a file that has both, and what is wrong with them."""
    text, findings = text_of(path, data, NOTE_LIMIT)
    if text is None:
        return None, None, findings
    fences = _fences(text)
    if fences is None:
        findings.append(_no_front_matter(path, text, kind.name))
        unread = None if _FENCE.match(text) else Body(Source(path, text, {}, 1), text)
        return None, unread, findings
    start, end, body = fences
    reading = read_yaml(text, start, end)
    front, slips = shaped(kind, reading)
    if front is not None:
        slips += slips_in(front, reading.marks)
    findings += _findings(path, text, slips)
    source = Source(path, text, reading.marks, text.count("\n", 0, body) + 1)
    return front, Body(source, text[body:]), findings


def _slug(path: str) -> str:
    return path.rpartition("/")[2].removesuffix(".md").partition("-")[2]


def load_yaml(kind: Kind[M], path: str, data: bytes) -> tuple[M | None, Source, list[Finding]]:
    """Return the model of a YAML content file, its source, and what is wrong with it."""
    text, findings = text_of(path, data, YAML_LIMIT)
    if text is None:
        return None, Source(path, "", {}), findings
    reading = read_yaml(text)
    model, slips = shaped(kind, reading)
    if model is not None:
        slips += slips_in(model, reading.marks)
    findings += _findings(path, text, slips)
    return model, Source(path, text, reading.marks), findings


def marks_in(text: str, body_line: int) -> Mapping[KeyPath, Mark]:
    """Return the place of every value of a file, read again from the text of its source."""
    if not body_line:
        return read_yaml(text).marks
    fences = _fences(text)
    return read_yaml(text, *fences[:2]).marks if fences else {}


def _findings(path: str, text: str, slips: Iterable[Slip]) -> list[Finding]:
    found = []
    for slip in slips:
        place = place_at(text, slip.at)
        found.append(finding(slip.code, path, place.line, place.column, slip.message, slip.hint))
    return found


def _fences(text: str) -> tuple[int, int, int] | None:
    """Return where the front matter begins and ends, and where the body begins."""
    opening = _FENCE.match(text)
    if opening is None:
        return None
    closing = _FENCE.search(text, opening.end())
    if closing is None:
        return None
    return opening.end() + 1, closing.start(), min(closing.end() + 1, len(text))


def _no_front_matter(path: str, text: str, kind: str) -> Finding:
    if not text.strip():
        return finding("file-empty", path, 1, 1, f"nothing is written in this {kind}", _BEGUN)
    if _FENCE.match(text):
        message = "the front matter begins here and never ends"
        hint = "put a line of three hyphens, ---, after its last key"
    else:
        message = f"a {kind} begins with a line of three hyphens, ---, and its front matter"
        hint = f"put the keys between two lines of ---, {_BELOW[kind]} below them"
    return finding("front-matter-missing", path, 1, 1, message, hint)


def _misnamed(path: str, kind: str, hint: Callable[[str], str]) -> Finding:
    name = path.rpartition("/")[2]
    first = "" if kind == "note" else "a Q, "
    return finding(
        "name-wrong",
        path,
        1,
        1,
        f"`{name}` is no name of a {kind}: {first}four digits or more, a hyphen, and words of "
        "small letters and digits with hyphens between, .md",
        hint(name),
    )
