"""A note that is begun: valid from its first line, a draft until a person finishes it."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any

from kbgen.content.decode import only_seen
from kbgen.content.files import load_note
from kbgen.content.models import NoteFront
from kbgen.content.numbers import add_numbered
from kbgen.content.written import front_matter, in_one_line
from kbgen.findings import Severity

__all__ = ["UNWRITTEN", "started_note", "write_started"]

UNWRITTEN = "not written yet"
"""What stands where something is still to be said; no published note may keep it."""


def started_note(
    title: str,
    *,
    symptom: Sequence[str],
    families: Sequence[str] = (),
    recording: tuple[str, str] | None = None,
    hazards: Sequence[str] = (),
    body: str = "",
    day: datetime.date,
    authors: Sequence[str] = ("workshop",),
    known: Mapping[str, Any] | None = None,
) -> str:
    """Return the text of a new note, ``standing: draft``, that loads without an error.

    Shape: ``recording`` is its id and the time in it; ``known`` holds other keys of the
    front matter, such as causes and fix; ``body`` is Markdown. What is not known yet
    stands as ``UNWRITTEN``.
    Raises: ValueError, with the words of the finding, where a value does not fit its key.
    """
    said = [in_one_line(one) for one in symptom]
    values: dict[str, Any] = {
        "title": in_one_line(title) or UNWRITTEN,
        "standing": "draft",
        "authors": list(authors),
        "symptom": [one for one in said if one] or [UNWRITTEN],
        "families": list(families),
        "causes": [{"cause": UNWRITTEN, "tell": UNWRITTEN}],
        "fix": UNWRITTEN,
        "before": {"people": "one", "tools": [UNWRITTEN], "supplies": "none", "spares": "none"},
        "hazards": list(hazards) or None,
        "works_when": UNWRITTEN,
        "first_published": day,
        "revised": day,
    }
    if recording is not None:
        values["recordings"] = [{"recording": recording[0], "at": recording[1]}]
    values |= {**(known or {}), "standing": "draft"}
    ordered = {key: values[key] for key in NoteFront.model_fields if key in values}
    ordered |= {key: value for key, value in values.items() if key not in ordered}
    below = only_seen(body).strip("\n ")
    below = below if below.strip() else f"{UNWRITTEN.capitalize()}."
    text = f"{front_matter(ordered)}{below}\n"
    _, findings = load_note("content/notes/0001-started.md", text.encode())
    for finding in findings:
        if finding.severity is Severity.ERROR:
            raise ValueError(f"a note cannot be begun so: {finding.message}")
    return text


def write_started(
    root: Path, text: str, words: str, waiting: Callable[[], None] = lambda: None
) -> Path:
    """Write a new note under the next number that no note ever had; return its path.

    Shape: ``words`` make the file's name; ``waiting`` is called once if another process
    is writing a note. The file appears whole; none is ever written over.
    Raises: OSError; ValueError where no number is left.
    """
    return add_numbered(root, "note", text, words, waiting)
