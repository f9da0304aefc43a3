"""One content file: bytes → model with its source, a pure function of the bytes."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import TypeVar

from kbgen.content.decode import NOTE_LIMIT, YAML_LIMIT, text_of
from kbgen.content.marks import Marks
from kbgen.content.names import note_name_hint, number_of
from kbgen.content.plain_yaml import Slip, read_yaml
from kbgen.content.rules import slips_in
from kbgen.content.shape import NOTE, Kind, shaped
from kbgen.content.source import Source, place_at
from kbgen.content.tree import Body, Note
from kbgen.findings import Finding, finding

__all__ = ["load_note", "load_yaml", "read_note"]

M = TypeVar("M")

_BEGUN = "write it, or take the file out of content/"
_FENCE = re.compile(r"^---[ ]*$", re.MULTILINE)


def load_note(path: str, data: bytes) -> tuple[Note | None, list[Finding]]:
    """Return the note that a file holds, and what is wrong with it; never raises.

    Shape: ``path`` is relative to the tree with forward slashes. A pure function of
    its arguments; the result can be handed to another process.
    """
    note, findings = read_note(path, data)
    return (note if isinstance(note, Note) else None), findings


def read_note(path: str, data: bytes) -> tuple[Note | Body | None, list[Finding]]:
    """Return a note, or what can be read of it where the front matter or the name is broken."""
    name = path.rpartition("/")[2]
    number = number_of(name)
    findings: list[Finding] = []
    if not number:
        findings.append(_misnamed(path))
    text, undecoded = text_of(path, data, NOTE_LIMIT)
    findings += undecoded
    if text is None:
        return None, findings
    fences = _fences(text)
    if fences is None:
        findings.append(_no_front_matter(path, text))
        return (None if _FENCE.match(text) else Body(Source(path, text, {}, 1), text)), findings
    start, end, body = fences
    reading = read_yaml(text, start, end)
    front, slips = shaped(NOTE, reading)
    if front is not None:
        slips += slips_in(front, reading.marks)
    findings += _findings(path, text, slips)
    source = Source(path, text, Marks(reading.marks), text.count("\n", 0, body) + 1)
    if front is None or not number:
        return Body(source, text[body:]), findings
    slug = name.removesuffix(".md").partition("-")[2]
    return Note(source, text[body:], number, slug, front), findings


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
    return model, Source(path, text, Marks(reading.marks)), findings


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


def _no_front_matter(path: str, text: str) -> Finding:
    if not text.strip():
        return finding("file-empty", path, 1, 1, "nothing is written in this note", _BEGUN)
    if _FENCE.match(text):
        message = "the front matter begins here and never ends"
        hint = "put a line of three hyphens, ---, after its last key"
    else:
        message = "a note begins with a line of three hyphens, ---, and its front matter"
        hint = "put the keys between two lines of ---, the steps of the repair below them"
    return finding("front-matter-missing", path, 1, 1, message, hint)


def _misnamed(path: str) -> Finding:
    name = path.rpartition("/")[2]
    return finding(
        "name-wrong",
        path,
        1,
        1,
        f"`{name}` is no name of a note: four digits or more, a hyphen, and words of small "
        "letters and digits with hyphens between, .md",
        note_name_hint(name),
    )
