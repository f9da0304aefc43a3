"""Keys of a front matter set in place: everything else stays as it was, byte for byte."""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable, Mapping
from pathlib import Path

from kbgen.content.files import read_note, read_question
from kbgen.content.tree import Note, Question
from kbgen.content.written import front_matter
from kbgen.disk import locked_folder, replace_file
from kbgen.findings import Severity

__all__ = ["set_keys", "with_keys"]

Value = str | int | datetime.date


def set_keys(
    root: Path, path: str, values: Mapping[str, Value], waiting: Callable[[], None] = lambda: None
) -> None:
    """Set keys of the front matter of a note or a question, and write the file in one step.

    Shape: ``path`` is relative to ``root`` with forward slashes; ``waiting`` is
    called once if another process is writing there. The file is read anew, so that nothing
    is lost that was written since the tree was loaded.
    Raises: OSError; ValueError where it cannot be done, and then nothing is written.
    """
    file = root / path
    with locked_folder(file.parent, root / ".kbgen", waiting):
        data = with_keys(path, file.read_bytes(), values)
        replace_file(file, data, root / ".kbgen" / f"{file.name}.new")


def with_keys(path: str, data: bytes, values: Mapping[str, Value]) -> bytes:
    """Return the bytes of a note or a question with some keys of its front matter set.

    Shape: a key that is there gets its new value where it stands; others follow, in
    their order, below the first one that is there, else below the last.
    Raises: ValueError where the file has errors, or would not read back as meant.
    """
    before = _read(path, data)
    text = before.source.text
    paths = list(before.source.marks)
    held = {step[0] for step in paths if len(step) > 1}
    marks = {str(step[0]): before.source.marks[step] for step in paths if len(step) == 1}
    plain = [key for key in marks if key not in held]  # of a list or mapping no end is known
    anchor = next((key for key in values if key in marks), plain[-1])
    flow = text.partition("\n")[2].lstrip().startswith("{")
    edits: list[tuple[int, int, str]] = []
    added = ""
    for key, value in values.items():
        line = _line(key, value)
        if key in held:
            raise ValueError(f"{path}: `{key}` holds a list or a mapping; change it by hand")
        if key in marks:
            edits.append((marks[key].start, marks[key].end, line.partition(": ")[2]))
        else:
            added += f", {line}" if flow else f"\n{_indent(text, marks[anchor].key)}{line}"
    at = marks[anchor].end
    while not flow and text[at - 1] == "\n":  # the lines below a folded value are part of it
        at -= 1
    edits = [(start, min(end, at) if start < at else end, new) for start, end, new in edits]
    at = at if flow else _line_end(text, at)
    edits.append((at, at, added))
    changed = _applied(data.decode("utf-8"), edits)
    after = _read(path, changed)
    meant = before.front.model_copy(update=dict(values))
    if after.front != meant or after.body != before.body:
        raise ValueError(f"{path} could not be changed without touching more of it")
    return changed


def _read(path: str, data: bytes) -> Note | Question:
    """Return what a file holds. Raises: ValueError with its first error."""
    questions = "/questions/" in f"/{path}"
    body, findings = read_question(path, data) if questions else read_note(path, data)
    for finding in findings:
        if finding.severity is Severity.ERROR:
            raise ValueError(f"{path}:{finding.line}: {finding.message}")
    if not isinstance(body, Note | Question):
        raise ValueError(f"{path} holds neither a note nor a question")
    return body


def _line(key: str, value: Value) -> str:
    return front_matter({key: value}).split("\n")[1]


def _indent(text: str, key_at: int) -> str:
    return " " * (key_at - text.rfind("\n", 0, key_at) - 1)


def _line_end(text: str, at: int) -> int:
    """Return where the line ends in which a character stands."""
    end = text.find("\n", at)
    return len(text) if end < 0 else end


def _applied(raw: str, edits: list[tuple[int, int, str]]) -> bytes:
    """Return the file with stretches of its text replaced.

    Shape: places count the text as it is loaded, without a byte order mark and with line
    feeds as line ends; what is written takes the line ends of the file.
    """
    mark = "\ufeff" if raw.startswith("\ufeff") else ""
    ends = [found.start() for found in re.finditer("\r\n", raw[len(mark) :])]
    loaded_ends = [at - number for number, at in enumerate(ends)]
    line_end = "\r\n" if ends else "\n"

    def in_raw(at: int) -> int:
        return len(mark) + at + sum(end < at for end in loaded_ends)

    for start, end, new in sorted(edits, reverse=True):
        raw = raw[: in_raw(start)] + new.replace("\n", line_end) + raw[in_raw(end) :]
    return raw.encode()
