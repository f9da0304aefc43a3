"""A note that was begun and published before it was finished."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.checks.rule import Material
from kbgen.content import UNWRITTEN
from kbgen.content.models import Standing
from kbgen.findings import Finding, finding
from kbgen.prose import passages_of

__all__ = ["note_unfinished"]


def note_unfinished(material: Material) -> Iterator[Finding]:
    """Report each text of a published note that still says it is not written."""
    for note in material.tree.notes.values():
        if note.front.standing is not Standing.PUBLISHED or (
            UNWRITTEN not in note.source.text.lower()
        ):
            continue
        for passage in passages_of(note):
            if passage.text.strip(" .").lower() == UNWRITTEN:
                place = passage.place_of(0)
                yield finding(
                    "note-unfinished",
                    note.source.path,
                    place.line,
                    place.column,
                    f"the note is published, and here it says `{UNWRITTEN}`",
                    "write it, or set standing: draft until it is written",
                )
