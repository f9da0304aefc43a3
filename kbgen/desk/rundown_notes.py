"""Notes begun for what was left over: the question stands in them, the answer does not yet."""

from __future__ import annotations

import datetime
import re
from collections.abc import Sequence
from pathlib import Path

from kbgen.content import Tree, started_note, write_started
from kbgen.content.models import Standing
from kbgen.desk.repeats import in_short, numbers
from kbgen.desk.rundown import Item

__all__ = ["start_notes"]

_ASKED = re.compile(r"^Asked in ((?:Q[0-9]{4,6}(?:, | and )?)+)\.", re.MULTILINE)


def start_notes(
    tree: Tree, root: Path, items: Sequence[Item], day: datetime.date
) -> list[tuple[Item, Path]]:
    """Begin a draft for each item that no draft was begun for yet; return what was begun.

    Shape: the note's symptoms are what was asked, in one line each; its body names the
    questions, and by that it is known again.
    Raises: OSError.
    """
    begun = _begun(tree)
    written = []
    for item in items:
        if any(one.number in begun for one in item.questions):
            continue
        families = [
            family
            for family in dict.fromkeys(f for one in item.questions for f in one.front.families)
            if family in tree.families
        ]
        symptoms = list(dict.fromkeys(in_short(one) for one in item.questions))
        text = started_note(
            item.short,
            symptom=symptoms,
            families=families,
            body=f"Asked in {numbers(item.questions)}.",
            day=day,
        )
        written.append((item, write_started(root, text, item.short)))
    return written


def _begun(tree: Tree) -> frozenset[int]:
    """Return the questions for which a draft stands already."""
    return frozenset(
        int(number)
        for note in tree.notes.values()
        if note.front.standing is Standing.DRAFT
        for found in _ASKED.finditer(note.body)
        for number in re.findall(r"[0-9]+", found[1])
    )
