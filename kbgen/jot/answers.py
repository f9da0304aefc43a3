"""What was said, and the note that it makes."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from typing import Any

from kbgen.content import in_one_line, read_plain, started_note

__all__ = ["Answers", "note_of", "read_answers"]

Answers = dict[str, Any]
"""What was said, by the key of its question: texts, lists and mappings of them."""

_BEFORE = ("people", "tools", "supplies", "spares")
_APART = ("title", "symptom", "families", "hazards", "steps", "authors", *_BEFORE)


def note_of(answers: Mapping[str, Any], day: datetime.date) -> str:
    """Return the note that the answers make; what was not answered stands as not written.

    Raises: ValueError, with the words of a finding, where an answer does not fit.
    """
    before = {"people": "one", "tools": ["not written yet"], "supplies": "none", "spares": "none"}
    before |= {key: answers[key] for key in _BEFORE if key in answers}
    known = {key: value for key, value in answers.items() if key not in _APART}
    return started_note(
        str(answers.get("title", "")),
        symptom=answers.get("symptom", ()),
        families=answers.get("families", ()),
        hazards=answers.get("hazards", ()),
        body=str(answers.get("steps", "")),
        authors=answers.get("authors") or ("workshop",),
        day=day,
        known={"before": before} | known,
    )


def read_answers(text: str) -> Answers:
    """Return the answers that a YAML or JSON text holds.

    Shape: the keys of a note's front matter, and ``steps`` for the text below it.
    Raises: ValueError where it cannot be read, or is no mapping.
    """
    found, slips = read_plain(text)
    if slips:
        raise ValueError(slips[0])
    if not isinstance(found, dict):
        raise ValueError("answers are keys with their values, such as title: Winder slips")
    answers: Answers = dict(found)
    before = answers.pop("before", {})
    if not isinstance(before, dict):
        raise ValueError("under `before` stand people, tools, supplies and spares")
    for key in ("standing", "first_published", "revised", "successor"):
        if key in answers:
            raise ValueError(f"`{key}` is not for an answer: a note begins as a draft of today")
    if isinstance(answers.get("symptom"), str):
        answers["symptom"] = [in_one_line(answers["symptom"])]
    return before | answers
