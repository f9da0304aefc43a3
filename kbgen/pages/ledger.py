"""The corrections page and the page about the workshop and safety."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from markupsafe import Markup

from kbgen.checks import Corrections
from kbgen.content.models import Correction
from kbgen.links import Reference, Scheme, clock
from kbgen.pages.notes import most_severe_first
from kbgen.pages.recordings import moment_link
from kbgen.pages.shelf import Shelf
from kbgen.pages.views import CorrectionLine, LinkView, Page

__all__ = ["about_page", "corrections_of", "corrections_page"]


def corrections_page(shelf: Shelf) -> Page:
    """Return every dated correction, newest first, by year."""
    films = _films(shelf)
    told = (
        replace(line, said_in=films.get((place, correction), ()))
        for place, correction, line in corrections_of(shelf)
    )
    lines = sorted(told, key=lambda line: line.date, reverse=True)
    years: dict[int, list[CorrectionLine]] = {}
    for line in lines:
        years.setdefault(line.date.year, []).append(line)
    return Page(
        path="corrections.html",
        kind="corrections",
        title="Corrections",
        purpose="What we said wrongly, when that was put right, and what is right.",
        body=tuple((str(year), tuple(group)) for year, group in years.items()),
        revised=lines[0].date if lines else None,
        source="content/",
    )


def _films(shelf: Shelf) -> dict[tuple[Reference, Correction], tuple[LinkView, ...]]:
    """Return the moments of films that say what a correction withdraws, by where it stands.

    Shape: a film's own correction names its moment itself.
    """
    corrections = Corrections(shelf.checked)
    return {
        (one.place, one.correction): tuple(
            shelf.recording_link(said.recording, clock(said.at_s) if said.at_s else None)
            for said in corrections.said(one)
            if said.sure
        )
        for one in corrections.all
        if one.place.scheme is not Scheme.RECORDING
    }


def corrections_of(shelf: Shelf) -> Iterator[tuple[Reference, Correction, CorrectionLine]]:
    """Yield the corrections of registers, notes and recordings, as written and as shown.

    Shape: each with the register row, the note or the recording that carries it.
    """
    for key, (family, row) in shelf.rows.items():
        place = Reference(Scheme.FASTENER, family.id, row.id)
        for line in row.corrections:
            yield place, line, shelf.correction(line, shelf.row_link(key), row)
    for note in shelf.notes.values():
        place = Reference(Scheme.NOTE, str(note.number))
        for line in note.front.corrections:
            yield place, line, shelf.correction(line, shelf.note_link(note))
        for fastener in note.front.fasteners:
            if not isinstance(fastener, str):
                for line in fastener.corrections:
                    yield place, line, shelf.correction(line, shelf.note_link(note), fastener)
    for recording in shelf.tree.recordings.values():
        place = Reference(Scheme.RECORDING, recording.id)
        for line in recording.model.corrections:
            told = shelf.correction(line, shelf.recording_link(recording.id))
            yield place, line, replace(told, at=moment_link(recording, line.at))


def about_page(shelf: Shelf) -> Page:
    """Return the page about the workshop, its hazards, its figures and its money."""
    workshop = shelf.tree.workshop
    view = {
        "about": shelf.blocks(workshop.about or "") if workshop else Markup(""),
        "cautions": most_severe_first(shelf, shelf.tree.hazards.values()),
        "disclosure": workshop.disclosure if workshop else "",
    }
    return Page(
        path="about.html",
        kind="about",
        title="About us, and safety",
        purpose="Who writes this, what can hurt you, and what a figure here rests on.",
        body=view,
        revised=max((note.front.revised for note in shelf.notes.values()), default=None),
        source="content/workshop.yaml",
    )
