"""What was said in a recording, and notes that are begun from it."""

from __future__ import annotations

import datetime
import re
from collections.abc import Collection, Iterator, Sequence
from dataclasses import replace
from typing import Any

from kbgen.checks import Checked, Heard, Material, Stance, cautions_called_for, heard
from kbgen.content import Caption, RecordingFile, Tree, load_note, plain_text, started_note
from kbgen.content.models import Chapter
from kbgen.links import clock, seconds
from kbgen.prose import Statement
from kbgen.units import HouseThreads

__all__ = ["heard_lines", "heard_shape", "note_from_recording"]


def heard_lines(tree: Tree, one: Heard) -> Iterator[str]:
    """Yield what a caption states and what the register says, as a person reads it."""
    value = one.statement.value
    at = clock(int(one.statement.said_at_s or 0))
    yield f"{at:>8}  {value.as_written}  =  {value.canonical}  {value.verdict}: {one.stance}"
    for row in one.rows:
        held = [figure.value.canonical for figure in one.held if figure.subject == row]
        yield f"          {_place(tree, row)}: {held[0] if held else f'no {value.kind}'}"


def _place(tree: Tree, row: str) -> str:
    family, _, name = row.partition("/")
    model = tree.families[family].model
    where = next(one.where for one in model.fasteners if one.id == name)
    return f"{model.name}, {plain_text(where)}"


def heard_shape(one: Heard) -> dict[str, Any]:
    """Return what a caption states as plain data of a stable shape."""
    statement = one.statement
    second = int(statement.said_at_s or 0)
    return {
        "at": clock(second),
        "second": second,
        "path": statement.path,
        "line": statement.line,
        "column": statement.column,
        "kind": str(statement.value.kind),
        "as_written": statement.value.as_written,
        "canonical": statement.value.canonical,
        "verdict": str(statement.value.verdict),
        "sentence": statement.sentence,
        "stance": str(one.stance),
        "places": [
            {
                "row": row,
                "registered": next(
                    (figure.value.canonical for figure in one.held if figure.subject == row), None
                ),
            }
            for row in one.rows
        ],
    }


# --- a note from what was said


def note_from_recording(
    checked: Checked, recording: RecordingFile, at: str, day: datetime.date
) -> tuple[str, str]:
    """Return the text of a note that is begun from what is said from a moment on, and its title.

    Shape: what is said until the chapter ends stands in its body, but for figures that the
    register says otherwise: those are not passed on. The register rows that are spoken of
    and the cautions that the words call for stand in its front matter.
    Raises: ValueError where nothing is said there.
    """
    begin_s = seconds(at)
    chapter, end_s = _chapter_at(recording, begin_s)
    said = [one for one in recording.captions if begin_s <= int(one.start) < end_s]
    if not said:
        raise ValueError(f"no caption of {recording.id} begins between {at} and {clock(end_s)}")
    values = [
        one
        for one in heard(checked, recording)
        if begin_s <= (one.statement.said_at_s or 0) < end_s
    ]
    title = plain_text(chapter.title) if chapter else " ".join(said[0].text.split())
    rows = dict.fromkeys(row for one in values if len(one.rows) == 1 for row in one.rows)
    families = tuple(dict.fromkeys(row.partition("/")[0] for row in rows))
    if chapter and chapter.note in checked.tree.notes:
        families = checked.tree.notes[chapter.note or 0].front.families

    def begun(hazards: Sequence[str]) -> str:
        return started_note(
            title,
            symptom=(),
            families=families,
            recording=(recording.id, clock(begin_s)),
            hazards=hazards,
            body=_body(said, values),
            day=day,
            known={"fasteners": list(rows)} if rows else None,
        )

    return begun(_called_for(checked.tree, begun(()))), title


def _chapter_at(recording: RecordingFile, second: int) -> tuple[Chapter | None, int]:
    """Return the chapter that runs at a moment, None before the first, and when it ends."""
    found, end_s = None, seconds(recording.model.length)
    for chapter in recording.model.chapters:
        if seconds(chapter.at) > second:
            return found, seconds(chapter.at)
        found = chapter
    return found, end_s


def _body(said: Sequence[Caption], values: Sequence[Heard]) -> str:
    """Return what is said, a line a caption; in place of a wrong figure a line that says so."""
    wrong = [one.statement for one in values if one.stance in _WRONG]
    lines = ["What was said there, to be written up:", ""]
    for number, caption in enumerate(said):
        if _states(said, number, wrong):
            lines.append(f"- {clock(int(caption.start))}: a figure that the register corrects")
        else:
            lines.append(f"- {clock(int(caption.start))}: {_plain(caption.text)}")
    return "\n".join(lines)


_WRONG = (Stance.DISAGREES, Stance.CORRECTED, Stance.CANNOT_BE)


def _states(said: Sequence[Caption], number: int, wrong: Collection[Statement]) -> bool:
    """Return whether a wrong figure stands in a caption, or runs on into it."""
    caption = said[number]
    for statement in wrong:
        begins = statement.said_at_s == caption.start
        before = number > 0 and statement.said_at_s == said[number - 1].start
        whole = before and statement.value.as_written in said[number - 1].text.replace("\n", " ")
        if begins or (before and not whole):
            return True
    return False


def _plain(text: str) -> str:
    """Return words so that Markdown shows them as they are."""
    return re.sub(r"[\\`*_\[\]<>#&]", r"\\\g<0>", " ".join(text.split()))


def _called_for(tree: Tree, text: str) -> list[str]:
    """Return the hazards that the words of a note call for, the first of those that would do."""
    number = max(tree.notes, default=0) + 1
    note, _ = load_note(f"content/notes/{number:04}-begun.md", text.encode())
    if note is None:
        return []
    house = HouseThreads.of([row.thread for row in tree.house_threads])
    calls = cautions_called_for(Material(replace(tree, notes={number: note}), house, (), ()))
    return list(dict.fromkeys(call.hazards[0] for call in calls if call.hazards))
