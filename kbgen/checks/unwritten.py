"""A note that was begun and published before it was finished."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.checks.rule import Material
from kbgen.content import UNWRITTEN, Source
from kbgen.content.models import Standing
from kbgen.findings import Finding, finding
from kbgen.prose import passages_of

__all__ = ["may_be_unfinished", "note_unfinished"]


def note_unfinished(material: Material) -> Iterator[Finding]:
    """Report each text of a published note that still says it is not written."""
    for note in material.tree.notes.values():
        if note.front.standing is not Standing.PUBLISHED or not may_be_unfinished(note.source):
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


def may_be_unfinished(source: Source) -> bool:
    """Return whether a file says anywhere that something is not written yet."""
    return source.once("unfinished", lambda: UNWRITTEN in source.text.lower(), of_all=True)
