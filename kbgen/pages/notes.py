"""Note pages: the job card of a repair, in the order it is read at the bench."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from kbgen.content import Note
from kbgen.content.models import Fastener, FitVerdict, Hazard, Obtained, PartUse, Signal
from kbgen.links import Reference, Scheme, address_of, printed_form
from kbgen.pages.asked import asked_often
from kbgen.pages.drawings import Cabinet
from kbgen.pages.fasteners import cabinet_of, label, mixups, registered
from kbgen.pages.leads import leads_to
from kbgen.pages.photos import Photos
from kbgen.pages.readable import plain
from kbgen.pages.shelf import Shelf
from kbgen.pages.views import (
    CauseView,
    Caution,
    Drawn,
    FastenerView,
    FitView,
    LinkView,
    MixupView,
    NoteView,
    Page,
    PartUseView,
)

__all__ = ["OBTAINED", "most_severe_first", "note_page", "withdrawn_page"]

OBTAINED = {
    Obtained.BOUGHT: "bought and paid for by us",
    Obtained.GIFT: "given to us",
    Obtained.LOAN: "lent to us",
    Obtained.PAID: "we were paid to show it",
}

_SEVERITY = list(Signal)


def most_severe_first(shelf: Shelf, hazards: Iterable[Hazard]) -> tuple[Caution, ...]:
    """Return cautions in the order of their signal words, then as they were listed."""
    ordered = sorted(hazards, key=lambda hazard: _SEVERITY.index(hazard.signal))
    return tuple(_caution(shelf, hazard) for hazard in ordered)


def _caution(shelf: Shelf, hazard: Hazard) -> Caution:
    return Caution(
        str(hazard.signal),
        shelf.prose(hazard.hazard),
        shelf.prose(hazard.consequence or ""),
        shelf.prose(hazard.avoid),
        shelf.prose(hazard.defer_to or ""),
    )


def note_page(shelf: Shelf, note: Note, photos: Photos) -> Page:
    """Return the page of a published note."""
    front = note.front
    before = front.before
    path = address_of(Reference(Scheme.NOTE, str(note.number)))
    cabinet = cabinet_of(shelf, _rows(shelf, note))
    view = NoteView(
        number=f"{note.number:04}",
        symptoms=tuple(shelf.prose(line) for line in front.symptom),
        headings=tuple(
            LinkView(shelf.tree.headings[heading].heading, f"s/{heading}.html")
            for heading in front.headings
        ),
        cautions=most_severe_first(shelf, (shelf.tree.hazards[hazard] for hazard in front.hazards)),
        people=before.people,
        tools=_listed(before.tools),
        supplies=_listed(before.supplies),
        spares=tuple(shelf.part_link(part) for part in _listed(before.spares)),
        causes=tuple(
            CauseView(shelf.prose(c.cause), shelf.prose(c.tell), shelf.prose(c.fix or ""))
            for c in front.causes
        ),
        fix=shelf.prose(front.fix),
        steps=shelf.body(note),
        photos=tuple(photos.view(photo) for photo in front.photos),
        fasteners=_fasteners(shelf, note, cabinet),
        mixups=_mixups(shelf, note),
        drawn=Drawn(cabinet.symbols(), cabinet.scale),
        parts=tuple(_part_use(shelf, use, front.families) for use in front.parts),
        works_when=shelf.prose(front.works_when),
        shown=tuple(
            shelf.recording_link(moment.recording, moment.at) for moment in front.recordings
        ),
        asked=asked_often(shelf, note),
        corrections=tuple(shelf.correction(line) for line in front.corrections),
        authors=front.authors,
        first_published=front.first_published,
        card=printed_form(path),
    )
    return Page(
        path=path,
        kind="note",
        title=front.title,
        heading=shelf.prose(front.title),
        purpose=plain(shelf.prose(front.fix)),
        families=tuple(shelf.family_link(family) for family in front.families),
        revised=front.revised,
        body=view,
        source=note.source.path,
        leads_here=leads_to(shelf, Reference(Scheme.NOTE, str(note.number))),
        bench=True,
    )


def withdrawn_page(shelf: Shelf, note: Note) -> Page:
    """Return the page of a withdrawn note: it leads to its successor."""
    successor = _successor(shelf, note)
    view = {
        "number": f"{note.number:04}",
        "successor": shelf.note_link(successor) if successor else None,
        "corrections": tuple(shelf.correction(line) for line in note.front.corrections),
    }
    return Page(
        path=address_of(Reference(Scheme.NOTE, str(note.number))),
        kind="withdrawn",
        title=note.front.title,
        heading=shelf.prose(note.front.title),
        purpose="A note that was withdrawn, and what stands in its place.",
        revised=note.front.revised,
        body=view,
        source=note.source.path,
        stands_at=address_of(Reference(Scheme.NOTE, str(successor.number))) if successor else "",
    )


def _successor(shelf: Shelf, note: Note) -> Note | None:
    """Return the published note that took the place of a withdrawn one in the end."""
    seen = {note.number}
    while (number := note.front.successor) and number not in seen:
        if number in shelf.notes:
            return shelf.notes[number]
        seen.add(number)
        note = shelf.tree.notes[number]
    return None


def _listed(said: tuple[str, ...] | str) -> tuple[str, ...]:
    return () if isinstance(said, str) else said


def _rows(shelf: Shelf, note: Note) -> Iterator[Fastener]:
    for fastener in note.front.fasteners:
        yield shelf.rows[fastener][1] if isinstance(fastener, str) else fastener


def _fasteners(shelf: Shelf, note: Note, cabinet: Cabinet) -> tuple[FastenerView, ...]:
    return tuple(
        registered(shelf, *shelf.rows[fastener], cabinet, at_home=False)
        if isinstance(fastener, str)
        else label(shelf, fastener, cabinet)
        for fastener in note.front.fasteners
    )


def _mixups(shelf: Shelf, note: Note) -> tuple[MixupView, ...]:
    """Return the pairs of the note's families in which one of its own places stands."""
    cited = [fastener for fastener in note.front.fasteners if isinstance(fastener, str)]
    families = dict.fromkeys(key.partition("/")[0] for key in cited)
    return tuple(
        view
        for family in families
        for view in mixups(shelf, shelf.tree.families[family], touching=cited)
    )


def _part_use(shelf: Shelf, use: PartUse, families: tuple[str, ...]) -> PartUseView:
    """Return a part with what it does on the note's families, and every harm elsewhere."""
    part = shelf.tree.parts[use.part].model
    told = [
        fit
        for fit in part.fits
        if fit.family in families or not families or fit.verdict is not FitVerdict.FITS
    ]
    return PartUseView(
        shelf.part_link(use.part),
        use.quantity,
        tuple(
            FitView(
                shelf.family_link(fit.family), str(fit.verdict), shelf.prose(fit.why), fit.source
            )
            for fit in told
        ),
        OBTAINED[part.obtained],
    )
