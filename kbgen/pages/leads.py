"""Links back: what leads to a page, grouped by what it is, and lines of notes for lists."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from markupsafe import Markup

from kbgen.content import Note
from kbgen.links import Reference, Scheme
from kbgen.pages.figures import quiet_join
from kbgen.pages.shelf import Shelf
from kbgen.pages.views import IndexGroup, IndexRow

__all__ = ["leads_to", "note_row", "note_rows", "number_of"]

NAMED = 2
"""How many families a line names before it counts the rest."""

_HEADINGS = {
    Scheme.NOTE: "Notes",
    Scheme.FAMILY: "Families",
    Scheme.PART: "Parts",
    Scheme.RECORDING: "Recordings",
    Scheme.PAGE: "Lists",
}


def leads_to(
    shelf: Shelf, reference: Reference, shown: Collection[Reference] = ()
) -> tuple[IndexGroup, ...]:
    """Return what leads to a thing, its rows and its moments, grouped and sorted.

    Shape: ``shown`` is left out, because the page itself lists it already.
    """
    own = reference.whole
    edges = shelf.checked.graph.leads_to_page(reference)
    origins = dict.fromkeys(edge.origin for edge in edges)
    rows: dict[Scheme, list[IndexRow]] = {scheme: [] for scheme in _HEADINGS}
    for origin in sorted(origins, key=_by_number):
        whole = origin.whole
        if whole.scheme not in rows or whole == own or whole in shown:
            continue
        if (link := shelf.link(origin)) is not None:
            rows[whole.scheme].append(IndexRow(link))
    return tuple(
        IndexGroup(heading, tuple(rows[scheme]))
        for scheme, heading in _HEADINGS.items()
        if rows[scheme]
    )


def _by_number(reference: Reference) -> tuple[int, str, str]:
    number = int(reference.target) if reference.scheme is Scheme.NOTE else 0
    return number, reference.target, reference.detail


def note_row(shelf: Shelf, note: Note) -> IndexRow:
    """Return a note as a line of a list: its title, the first complaint and the families."""
    names = [shelf.tree.families[family].model.name for family in note.front.families]
    if len(names) > NAMED + 1:
        names[NAMED:] = [f"{len(names) - NAMED} more"]
    said = f"“{shelf.prose(note.front.symptom[0])}”"
    says = f"{said} {quiet_join(list(names))}" if names else said
    return IndexRow(shelf.note_link(note), Markup(says), number_of(note))


def number_of(note: Note) -> Markup:
    """Return a note's number as it stands at the end of a line."""
    return Markup(f'<span class="q">No. {note.number}</span>')


def note_rows(shelf: Shelf, notes: Iterable[Note]) -> tuple[IndexRow, ...]:
    """Return notes as lines of a list, in the order they come in."""
    return tuple(note_row(shelf, note) for note in notes)
