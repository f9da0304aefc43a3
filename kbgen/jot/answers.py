"""What was said, and the note that it makes."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from typing import Any

from kbgen.content import UNWRITTEN, read_plain, started_note

__all__ = ["Answers", "note_of", "read_answers"]

Answers = dict[str, Any]
"""What was said, by the key of its question: texts, lists and mappings of them."""

_BEFORE = ("people", "tools", "supplies", "spares")
_APART = ("title", "symptom", "families", "hazards", "steps", "authors", *_BEFORE)


def note_of(answers: Mapping[str, Any], day: datetime.date) -> str:
    """Return the note that the answers make; what was not answered stands as not written.

    Raises: ValueError, with the words of a finding, where an answer does not fit.
    """
    before = {"people": "one", "tools": [UNWRITTEN], "supplies": "none", "spares": "none"}
    before |= {key: answers[key] for key in _BEFORE if key in answers}
    known = {key: value for key, value in answers.items() if key not in _APART}
    return started_note(
        _text(answers, "title"),
        symptom=_texts(answers, "symptom"),
        families=_texts(answers, "families"),
        hazards=_texts(answers, "hazards"),
        body=_text(answers, "steps"),
        authors=_texts(answers, "authors") or ("workshop",),
        day=day,
        known={"before": before} | known,
    )


def _text(answers: Mapping[str, Any], key: str) -> str:
    """Return the text that answers a question. Raises: ValueError for what is none."""
    value = answers.get(key) or ""
    if not isinstance(value, str):
        raise ValueError(f"`{key}` is a text, not a list and not keys with values")
    return value


def _texts(answers: Mapping[str, Any], key: str) -> list[str]:
    """Return the texts that answer a question, one or several. Raises: ValueError."""
    value = answers.get(key) or []
    texts = [value] if isinstance(value, str) else value
    if not isinstance(texts, list) or not all(isinstance(text, str) for text in texts):
        raise ValueError(f"`{key}` is a list of texts")
    return texts


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
    return before | answers
