"""Family pages: how to know the machine, its fastener register, settings and lots."""

from __future__ import annotations

from collections.abc import Iterable

from markupsafe import Markup

from kbgen.content import FamilyFile, Note
from kbgen.content.models import Family
from kbgen.links import Reference, Scheme, address_of, printed_form
from kbgen.pages.asked import questions_about
from kbgen.pages.fasteners import cabinet_of, mixups, registered
from kbgen.pages.figures import month
from kbgen.pages.leads import leads_to, number_of
from kbgen.pages.scales import since, year_scale
from kbgen.pages.shelf import Shelf
from kbgen.pages.tools import lots_in_words
from kbgen.pages.views import Drawn, FamilyView, FitView, IndexRow, LotView, Page, SettingView

__all__ = ["family_page"]


def family_page(shelf: Shelf, family: FamilyFile) -> Page:
    """Return the page of a model family."""
    model = family.model
    reference = Reference(Scheme.FAMILY, family.id)
    notes = shelf.notes_under("families", family.id)
    cabinet = cabinet_of(shelf, model.fasteners)
    view = FamilyView(
        name=model.name,
        summary=shelf.prose(model.summary),
        also_called=model.also_called,
        recognise=tuple(shelf.prose(line) for line in model.recognise),
        variants=tuple((v.id, v.name, shelf.prose(v.differs)) for v in model.variants),
        mixups=mixups(shelf, family),
        fasteners=tuple(
            registered(shelf, family, row, cabinet, at_home=True) for row in model.fasteners
        ),
        drawn=Drawn(cabinet.symbols(), cabinet.scale),
        settings=tuple(
            SettingView(
                setting.id,
                shelf.prose(setting.what),
                shelf.figured(setting.value),
                str(setting.basis),
                setting.source,
                shelf.prose(setting.remark or ""),
            )
            for setting in model.settings
        ),
        lots=_lots(model),
        lots_added=lots_in_words(family),
        timeline=year_scale([_years(lot.allotted) for lot in model.lots])
        if model.lots
        else Markup(""),
        pitches=printed_form(address_of(reference)),
        parts=_parts(shelf, family.id),
        notes=tuple(IndexRow(shelf.note_link(note), "", number_of(note)) for note in notes),
        questions=questions_about(shelf, reference),
        remarks=shelf.blocks(model.remarks or ""),
    )
    return Page(
        path=address_of(reference),
        kind="family",
        title=model.name,
        purpose=f"What is known of the {model.name}: its screws, settings, lots and repairs.",
        revised=max(
            [
                *(note.front.revised for note in notes),
                *(line.date for row in model.fasteners for line in row.corrections),
            ],
            default=None,
        ),
        body=view,
        source=family.source.path,
        leads_here=leads_to(shelf, reference, shown=_listed(notes)),
        bench=True,
    )


def _listed(notes: Iterable[Note]) -> frozenset[Reference]:
    """Return the notes that the page lists as mended, so that they are not named twice."""
    return frozenset(Reference(Scheme.NOTE, str(note.number)) for note in notes)


def _lots(model: Family) -> tuple[LotView, ...]:
    names = {variant.id: variant.name for variant in model.variants}
    dates = [_years(lot.allotted) for lot in model.lots]
    return tuple(
        LotView(
            lot.first,
            lot.last,
            month(lot.allotted),
            lot.works or "",
            names.get(lot.variant or "", lot.variant or ""),
            str(lot.basis),
            lot.source,
            since(date, dates),
        )
        for lot, date in zip(model.lots, dates, strict=True)
    )


def _years(allotted: str) -> float:
    """Return a date written 1911, 1911-03 or 1911-03-16 as years and their fraction."""
    year, month, day_of_month = (int(part) for part in (allotted + "-01-01").split("-")[:3])
    return year + (month - 1) / 12 + (day_of_month - 1) / 365


def _parts(shelf: Shelf, family: str) -> tuple[FitView, ...]:
    return tuple(
        FitView(shelf.part_link(part.id), str(fit.verdict), shelf.prose(fit.why), fit.source)
        for part in shelf.tree.parts.values()
        for fit in part.model.fits
        if fit.family == family
    )
