"""Every page and static file of the site, in one order."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from kbgen.checks import Checked
from kbgen.content.models import Standing
from kbgen.links import Forward, forwards, kept_anchors
from kbgen.pages.cards import bench_card, pitch_card
from kbgen.pages.environment import Templates
from kbgen.pages.families import family_page
from kbgen.pages.ledger import about_page, corrections_page
from kbgen.pages.lists import (
    families_page,
    find_page,
    home_page,
    notes_page,
    parts_page,
    recordings_page,
    screws_page,
    symptom_page,
    symptoms_page,
)
from kbgen.pages.machines import Site, feed, robots, search_description, sitemaps
from kbgen.pages.notes import note_page, withdrawn_page
from kbgen.pages.parts import part_page
from kbgen.pages.photos import Photos
from kbgen.pages.recordings import recording_page
from kbgen.pages.scales import printers_bar, steel_rule
from kbgen.pages.shelf import Shelf
from kbgen.pages.structured import Publisher, data_of
from kbgen.pages.threads import thread_page
from kbgen.pages.views import LinkView, Page

__all__ = ["render_site"]

NAVIGATION = (
    LinkView("What it does wrong", "symptoms.html"),
    LinkView("Which machine", "families.html"),
    LinkView("Screws", "screws.html"),
    LinkView("Parts", "parts.html"),
    LinkView("Recordings", "recordings.html"),
    LinkView("Corrections", "corrections.html"),
    LinkView("Find", "find.html"),
)

RULE_CM = 24
"""As long as the widest column."""

STATIC = ("icon.svg", "fonts/sofia-sans.woff2", "fonts/OFL.txt", "scripts/find.js")
"""Files that are published as they are."""


LOST = Page(
    path="404.html",
    kind="lost",
    title="Nothing stands here",
    purpose="No page of ours has this address. Those that were given out lead on.",
    body=None,
    source="content/workshop.yaml",
    anywhere=True,
)
"""What a host that wants one shows for an address that is none; its links are whole."""


@dataclass(frozen=True, slots=True)
class Shown:
    """The workshop as every page shows it; ``base`` ends in a slash."""

    name: str
    language: str
    base: str
    contact: str
    motto: str
    licence: str

    @property
    def locale(self) -> str:
        """The language and its territory as OpenGraph writes them: ``en_GB``."""
        language, *rest = self.language.split("-")
        territory = next((part for part in rest if len(part) == 2 and part.isalpha()), "")
        return f"{language.lower()}_{territory.upper()}" if territory else language.lower()


def render_site(checked: Checked, templates: Path | None = None) -> Iterator[tuple[str, bytes]]:
    """Yield the path and the bytes of every page and static file but those of the search.

    Shape: ``templates`` is the tree's own folder of templates, which need not exist;
    paths are relative to the site with forward slashes, each yielded once.
    """
    shelf = Shelf(checked)
    photos = Photos(checked.tree.root)
    shown = _shown(checked)
    shared = {"workshop": shown, "nav": NAVIGATION, "steel_rule": steel_rule(RULE_CM)}
    shared["printers_bar"] = printers_bar()
    laid = Templates(templates, shared)
    publisher = Publisher(shown.name, shown.base, shown.licence)
    kept = kept_anchors(checked.ledger)
    written: dict[str, Page] = {}
    for page in _pages(shelf, photos, shown.base):
        written[page.path] = replace(page, body=None)  # what machines are told needs no views
        data = data_of(page, publisher)
        yield page.path, laid.render(page, kept.get(page.path, ()), data)
    for forward in forwards(checked.ledger):
        if forward.old not in written:
            yield forward.old, laid.render(forward_page(forward))
    yield LOST.path, laid.render(LOST)
    yield from _for_machines(shelf, shown, written)
    yield from photos.files()
    for name in STATIC:
        yield name, laid.file(name)


def _for_machines(
    shelf: Shelf, shown: Shown, pages: dict[str, Page]
) -> Iterator[tuple[str, bytes]]:
    site = Site(shown.name, shown.language, shown.base, shown.motto, shown.licence)
    yield "feed.xml", feed(shelf, site)
    yield "opensearch.xml", search_description(site, pages["find.html"].purpose)
    yield "robots.txt", robots(site)
    yield from sitemaps(pages.values(), site).items()


def forward_page(forward: Forward) -> Page:
    """Return the page of an address that has moved: it takes its readers along."""
    return Page(
        path=forward.old,
        kind="forward",
        title="Moved",
        purpose="What stood at this address stands elsewhere now.",
        body=forward,
        source="content/addresses.tsv",
        stands_at=forward.new.partition("#")[0],
    )


def _shown(checked: Checked) -> Shown:
    workshop = checked.tree.workshop
    if workshop is None:
        raise ValueError("a tree whose content/workshop.yaml cannot be read cannot be published")
    return Shown(
        workshop.name,
        workshop.language,
        workshop.base_address.rstrip("/") + "/",
        workshop.contact,
        workshop.motto or "",
        workshop.licence or "",
    )


def _pages(shelf: Shelf, photos: Photos, base: str) -> Iterator[Page]:
    yield home_page(shelf)
    for front in (
        symptoms_page, families_page, screws_page, parts_page, recordings_page, notes_page,
        corrections_page, about_page,
    ):  # fmt: skip
        yield front(shelf)
    yield find_page()
    for note in shelf.notes.values():
        page = note_page(shelf, note, photos)
        yield page
        yield bench_card(page, base)
    for note in shelf.tree.notes.values():
        if note.front.standing is Standing.WITHDRAWN:
            yield withdrawn_page(shelf, note)
    for heading in shelf.tree.headings.values():
        yield symptom_page(shelf, heading)
    for family in shelf.tree.families.values():
        yield family_page(shelf, family)
        yield pitch_card(shelf, family, base)
    for reference, thread in shelf.checked.graph.threads.items():
        yield thread_page(shelf, reference, thread)
    for part in shelf.tree.parts.values():
        yield part_page(shelf, part)
    for recording in shelf.tree.recordings.values():
        yield recording_page(shelf, recording)
