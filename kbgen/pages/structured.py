"""What a page says of itself for machines: data blocks in the words that the page shows.

Shape: JSON-LD with the types and properties of schema.org; every text in it stands on
the page, every date in a ``time`` element, every address behind a link or a picture.
Source: schema.org release 30.1; JSON-LD 1.1 (W3C, 2020), clause 9 for the HTML element.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from typing import Any

from markupsafe import Markup

from kbgen.pages.readable import plain, step_lists
from kbgen.pages.views import (
    CorrectionLine,
    FamilyView,
    NoteView,
    Page,
    PartView,
    QuestionView,
    RecordingView,
)

__all__ = ["Publisher", "correction_text", "data_of", "duration"]

_UNSAFE = str.maketrans({"<": "\\u003c", ">": "\\u003e", "&": "\\u0026"})
Data = dict[str, Any]


class Publisher:
    """Who publishes: the name, the base address (which ends in a slash) and the licence."""

    def __init__(self, name: str, base: str, licence: str) -> None:
        self.name, self.base, self.licence = name, base, licence

    def organization(self) -> Data:
        """Return the workshop as the one who answers for a page."""
        return {"@type": "Organization", "name": self.name}

    def signature(self, page: Page) -> Data:
        """Return what every work says: its address, its last day, its publisher and licence."""
        told: Data = {"url": self.base + page.path}
        if page.revised:
            told["dateModified"] = page.revised.isoformat()
        told["publisher"] = self.organization()
        if self.licence:
            told["license"] = {"@type": "CreativeWork", "name": self.licence}
        return told


def data_of(page: Page, publisher: Publisher) -> Markup:
    """Return the data block of a page as the text of its element, empty where it has none."""
    match page.body:
        case NoteView() as view if page.kind == "note":
            told = _note(page, view, publisher)
        case PartView() as view:
            told = _part(page, view, publisher)
        case RecordingView() as view:
            told = _recording(page, view, publisher)
        case QuestionView() as view:
            told = _question(page, view, publisher)
        case FamilyView() as view:
            told = _corrected(page, "WebPage", _of_family(view), publisher)
        case tuple() as years if page.kind == "corrections":
            told = _corrected(
                page, "CollectionPage", (line for _, lines in years for line in lines), publisher
            )
        case _:
            told = {}
    return _block(told) if told else Markup("")


def _block(told: Mapping[str, Any]) -> Markup:
    """Return data as the text of a script element: nothing in it can end the element."""
    text = json.dumps(
        {"@context": "https://schema.org", **told}, ensure_ascii=False, separators=(",", ":")
    )
    return Markup(text.translate(_UNSAFE))


def correction_text(line: CorrectionLine) -> str:
    """Return a correction in the words in which its line stands on a page."""
    what = f"{plain(line.what)}: " if line.what else ""
    now = f", is {plain(line.now)}" if line.now else ""
    told = f". Told by {line.told_by}" if line.told_by else ""
    return f"{what}was {plain(line.was)}{now}{told}."


def _corrections(lines: Iterable[CorrectionLine]) -> Data:
    told = [
        {
            "@type": "CorrectionComment",
            "datePublished": line.date.isoformat(),
            "text": correction_text(line),
        }
        for line in lines
    ]
    return {"correction": told} if told else {}


def _corrected(
    page: Page, kind: str, lines: Iterable[CorrectionLine], publisher: Publisher
) -> Data:
    """Return what a page that is no work of its own says: its corrections, if it has any."""
    corrections = _corrections(lines)
    if not corrections:
        return {}
    return {"@type": kind, "name": page.title, **publisher.signature(page), **corrections}


def _of_family(view: FamilyView) -> Iterable[CorrectionLine]:
    return (line for fastener in view.fasteners for line in fastener.corrections)


def _note(page: Page, view: NoteView, publisher: Publisher) -> Data:
    """Return a note as an article, and as instructions too where it has numbered steps."""
    steps = _steps(view)
    told: Data = {
        "@type": ["TechArticle", "HowTo"] if steps else "TechArticle",
        "headline": page.title,
        "description": plain(view.fix),
        "author": publisher.organization(),
        "creditText": ", ".join(view.authors),
        "datePublished": view.first_published.isoformat(),
        **publisher.signature(page),
    }
    if view.photos:
        told["image"] = [publisher.base + photo.large for photo in view.photos]
    if steps:
        told["step"] = steps
        for name, kind, things in (
            ("tool", "HowToTool", view.tools),
            ("supply", "HowToSupply", view.supplies),
        ):
            if things:
                told[name] = [{"@type": kind, "name": thing} for thing in things]
    lines = (*view.corrections, *(c for f in view.fasteners for c in f.corrections))
    return {**told, **_corrections(lines)}


def _steps(view: NoteView) -> list[Data]:
    """Return the numbered steps of a note, those under a heading as a section of it."""
    told: list[Data] = []
    for listed in step_lists(view.steps):
        steps = [{"@type": "HowToStep", "text": step} for step in listed.steps]
        if listed.heading and steps:
            section = {"@type": "HowToSection", "name": listed.heading, "itemListElement": steps}
            told.append(section)
        else:
            told += steps
    return told


def _part(page: Page, view: PartView, publisher: Publisher) -> Data:
    """Return a part; only what it fits without harm is said to be served by it."""
    told: Data = {"@type": "Product", "name": view.name, "url": publisher.base + page.path}
    if view.also_called:
        told["alternateName"] = list(view.also_called)
    if view.summary:
        told["description"] = plain(view.summary)
    fits = [
        {
            "@type": "Product",
            "name": plain(fit.other.text),
            "url": publisher.base + fit.other.address,
        }
        for fit in view.fits
        if fit.verdict == "fits"
    ]
    if fits:
        told["isAccessoryOrSparePartFor"] = fits
    return told


def _recording(page: Page, view: RecordingView, publisher: Publisher) -> Data:
    """Return a recording with its chapters, each from its moment to the next.

    Shape: the licence and the days of revision are the page's and not the film's, so
    that neither is said here.
    """
    return {
        "@type": "VideoObject",
        "name": view.title,
        "description": plain(view.summary) or page.purpose,
        "uploadDate": view.date.isoformat(),
        "duration": view.duration,
        "url": publisher.base + page.path,
        "sameAs": view.address,
        "publisher": publisher.organization(),
        **_clips(view),
        **_corrections(view.corrections),
    }


def _question(page: Page, view: QuestionView, publisher: Publisher) -> Data:
    """Return a question, the first that asked it, with the one answer that it got."""
    asked: Data = {
        "@type": "Question",
        "name": page.title,
        "text": plain(view.asked.words),
        "dateCreated": view.asked.date.isoformat(),
    }
    if view.asked.alias:
        asked["author"] = {"@type": "Person", "name": view.asked.alias}
    asked["answerCount"] = 1
    asked["acceptedAnswer"] = {
        "@type": "Answer",
        "text": plain(view.answer),
        "dateCreated": view.asked.answered.isoformat(),
        "author": publisher.organization(),
        "url": publisher.base + view.note.address,
    }
    return {
        "@type": "QAPage",
        "name": page.title,
        **publisher.signature(page),
        "mainEntity": asked,
        **_corrections(view.corrections),
    }


def _clips(view: RecordingView) -> Data:
    """Return the chapters as clips; one that has no length of its own is left out."""
    starts = [*(chapter.second for chapter in view.chapters), view.seconds]
    clips = [
        {
            "@type": "Clip",
            "name": plain(chapter.title),
            "startOffset": start,
            "endOffset": end,
            "url": chapter.moment,
        }
        for chapter, start, end in zip(view.chapters, starts, starts[1:], strict=False)
        if end > start
    ]
    return {"hasPart": clips} if clips else {}


def duration(seconds: int) -> str:
    """Return a length of time as ISO 8601 writes it: ``PT48M10S``."""
    hours, rest = divmod(seconds, 3600)
    minutes, left = divmod(rest, 60)
    parts = ((hours, "H"), (minutes, "M"), (left, "S"))
    return "PT" + ("".join(f"{count}{unit}" for count, unit in parts if count) or "0S")
