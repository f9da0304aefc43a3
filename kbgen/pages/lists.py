"""The ways in: home, and the lists of symptoms, families, screws, parts, recordings, notes."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from markupsafe import Markup

from kbgen.content.models import SymptomHeading
from kbgen.links import Reference, Scheme, address_of
from kbgen.pages.figures import day
from kbgen.pages.leads import note_rows
from kbgen.pages.shelf import Shelf
from kbgen.pages.threads import SYSTEMS, thread_row
from kbgen.pages.views import FrontDoor, IndexGroup, IndexRow, LinkView, Page, SymptomView

__all__ = [
    "families_page",
    "find_page",
    "home_page",
    "notes_page",
    "parts_page",
    "recordings_page",
    "screws_page",
    "symptom_page",
    "symptoms_page",
]

NEWEST = 5

MEASURE = IndexRow(
    LinkView("Name a screw", "measure.html"), "From a caliper and a pitch gauge.", ""
)
TORQUE = IndexRow(
    LinkView("Convert a torque", "torque.html"), "And see what it does to its screw.", ""
)
SERIAL = IndexRow(
    LinkView("Look a serial number up", "serial.html"),
    "And see how old the machine is at most.",
    "",
)


def _many(count: int, one: str, more: str) -> str:
    return f"{count} {one if count == 1 else more}"


# --- symptoms


def _headings(shelf: Shelf) -> list[SymptomHeading]:
    """Return the headings of symptoms, A to Z."""
    return sorted(
        shelf.tree.headings.values(), key=lambda heading: (heading.heading.casefold(), heading.id)
    )


def _heading_row(shelf: Shelf, heading: SymptomHeading) -> IndexRow:
    notes = shelf.notes_under("headings", heading.id)
    link = LinkView(heading.heading, address_of(Reference(Scheme.SYMPTOM, heading.id)))
    end = _many(len(notes), "note", "notes") if notes else "none yet"
    return IndexRow(link, ", ".join(heading.also), end)


def symptom_page(shelf: Shelf, heading: SymptomHeading) -> Page:
    """Return the page of one symptom heading."""
    reference = Reference(Scheme.SYMPTOM, heading.id)
    notes = shelf.notes_under("headings", heading.id)
    families = {family: None for note in notes for family in note.front.families}
    return Page(
        path=address_of(reference),
        kind="symptom",
        title=heading.heading,
        purpose="What may be behind this complaint, and the note that mends each.",
        families=tuple(shelf.family_link(family) for family in sorted(families)),
        revised=max((note.front.revised for note in notes), default=None),
        body=SymptomView(heading.heading, heading.also, note_rows(shelf, notes)),
        source="content/symptoms.yaml",
    )


def symptoms_page(shelf: Shelf) -> Page:
    """Return the list of symptoms, A to Z."""
    letters: dict[str, list[IndexRow]] = {}
    for heading in _headings(shelf):
        initial = _initial(heading.heading)
        letters.setdefault(initial, []).append(_heading_row(shelf, heading))
    return _list(
        shelf,
        "symptoms.html",
        "What it does wrong",
        "Every complaint we have answered, A to Z, in the words customers use.",
        (IndexGroup(letter, tuple(rows), letter.lower()) for letter, rows in letters.items()),
    )


def _initial(words: str) -> str:
    """Return the letter a heading stands under; figures and marks share one place."""
    letter = words[:1].upper()
    return letter if letter.isalpha() else "0–9"


# --- the other lists

_SOURCES = {
    "symptoms.html": "content/symptoms.yaml",
    "families.html": "content/families/",
    "screws.html": "content/families/",
    "parts.html": "content/parts/",
    "recordings.html": "content/recordings/",
    "notes.html": "content/notes/",
}
"""What each list is made from."""


def _list(shelf: Shelf, path: str, title: str, purpose: str, groups: Iterable[IndexGroup]) -> Page:
    revised = max((note.front.revised for note in shelf.notes.values()), default=None)
    return Page(path, "list", title, purpose, tuple(groups), revised=revised, source=_SOURCES[path])


def _family_rows(shelf: Shelf) -> tuple[IndexRow, ...]:
    counts = Counter(family for note in shelf.notes.values() for family in note.front.families)
    return tuple(
        IndexRow(
            shelf.family_link(family.id),
            shelf.prose(family.model.summary),
            _many(counts[family.id], "note", "notes"),
        )
        for family in shelf.tree.families.values()
    )


def families_page(shelf: Shelf) -> Page:
    """Return the list of model families."""
    rows = _family_rows(shelf)
    groups = [IndexGroup("Families", rows, "families")] if rows else []
    groups.append(IndexGroup("With a number in hand", (SERIAL,), "tools"))
    return _list(
        shelf,
        "families.html",
        "Which machine",
        "The model families: machines of one family share castings, screws and settings.",
        groups,
    )


def screws_page(shelf: Shelf) -> Page:
    """Return the list of threads by system."""
    systems: dict[str, list[IndexRow]] = {}
    for reference, thread in shelf.checked.graph.threads.items():
        systems.setdefault(str(thread.system), []).append(thread_row(shelf, reference, thread))
    return _list(
        shelf,
        "screws.html",
        "Screws",
        "Every thread that a family or a note names, by the standard it belongs to.",
        (
            IndexGroup("With a screw in hand", (MEASURE, TORQUE), "tools"),
            *(
                IndexGroup(name, tuple(systems[key]), key.lower())
                for key, name in SYSTEMS.items()
                if key in systems
            ),
        ),
    )


def parts_page(shelf: Shelf) -> Page:
    """Return the list of parts, A to Z."""
    rows = []
    for part in sorted(shelf.tree.parts.values(), key=lambda part: part.model.name.casefold()):
        harms = sum(fit.verdict != "fits" for fit in part.model.fits)
        end = _many(harms, "warning", "warnings") if harms else ""
        rows.append(IndexRow(shelf.part_link(part.id), shelf.prose(part.model.summary or ""), end))
    return _list(
        shelf,
        "parts.html",
        "Parts",
        "Parts we have fitted: what each fits, what it harms, and how we came by it.",
        [IndexGroup("Parts, A to Z", tuple(rows), "parts")] if rows else (),
    )


def recordings_page(shelf: Shelf) -> Page:
    """Return the list of recordings, newest first."""
    newest = sorted(
        shelf.tree.recordings.values(), key=lambda r: (r.model.date, r.id), reverse=True
    )
    rows = tuple(
        IndexRow(
            shelf.recording_link(recording.id),
            Markup("{}. {}").format(
                day(recording.model.date), shelf.prose(recording.model.summary or "")
            ),
            recording.model.length,
        )
        for recording in newest
    )
    return _list(
        shelf,
        "recordings.html",
        "Recordings",
        "Our films, newest first, each with its chapters and what was said wrongly in it.",
        [IndexGroup("Newest first", rows, "recordings")] if rows else (),
    )


def notes_page(shelf: Shelf) -> Page:
    """Return the list of every published note by number."""
    rows = note_rows(shelf, shelf.notes.values())
    return _list(
        shelf,
        "notes.html",
        "All notes",
        "Every repair note that is published, by its number.",
        [IndexGroup("By number", rows, "notes")] if rows else (),
    )


def find_page() -> Page:
    """Return the page that is searched on; with scripts off it leads to the lists."""
    groups = (
        IndexGroup(
            "Or by list",
            (
                IndexRow(LinkView("What it does wrong", "symptoms.html"), "complaints, A to Z"),
                IndexRow(LinkView("Which machine", "families.html"), "model families"),
                IndexRow(LinkView("Screws", "screws.html"), "threads by their standard"),
                IndexRow(LinkView("Parts", "parts.html"), "parts, A to Z"),
                IndexRow(LinkView("All notes", "notes.html"), "by number"),
            ),
            "lists",
            "The same notes stand in these lists, which need no scripts.",
        ),
    )
    return Page(
        "find.html",
        "find",
        "Find",
        "Search every note: say what it does wrong, or name a screw as 5/16-18 or M6x1.",
        groups,
        source="content/",
    )


def home_page(shelf: Shelf) -> Page:
    """Return the home page: the ways in, and what changed last."""
    workshop = shelf.tree.workshop
    newest = sorted(
        shelf.notes.values(), key=lambda note: (note.front.revised, note.number), reverse=True
    )
    symptoms = IndexGroup(
        "By complaint",
        tuple(
            IndexRow(row.link, "", row.end)
            for heading in _headings(shelf)
            if shelf.notes_under("headings", heading.id)
            for row in (_heading_row(shelf, heading),)
        ),
        "wrong",
    )
    families = IndexGroup("By machine", _family_rows(shelf), "machine")
    notes = IndexGroup(
        "Everything",
        (IndexRow(LinkView("All notes", "notes.html"), "", _many(len(newest), "note", "notes")),),
        "everything",
    )
    tools = IndexGroup("At the bench", (MEASURE, TORQUE, SERIAL), "bench")
    body = FrontDoor(
        groups=tuple(group for group in (symptoms, families, tools, notes) if group.rows),
        newest=tuple(
            IndexRow(shelf.note_link(note), "", day(note.front.revised)) for note in newest[:NEWEST]
        ),
    )
    name = workshop.name if workshop else ""
    return Page(
        "index.html",
        "home",
        name,
        f"Repair notes of {name}: what it does wrong, why, and how to mend it.",
        body,
        heading="What does it do wrong?",
        revised=max((note.front.revised for note in newest), default=None),
        source="content/",
    )
