"""Files for machines: the feed, the list of pages, what robots may do, how to search here.

Every date in them is one of the content; addresses are whole, from the base address on.
"""

from __future__ import annotations

import datetime
import hashlib
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from heapq import nlargest
from urllib.parse import urlsplit
from xml.etree import ElementTree as Xml

from kbgen.content import Note
from kbgen.content.models import Correction
from kbgen.links import Reference, Scheme, address_of
from kbgen.pages.ledger import corrections_of
from kbgen.pages.readable import plain
from kbgen.pages.shelf import Shelf
from kbgen.pages.structured import correction_text
from kbgen.pages.views import CorrectionLine, Page

__all__ = ["Site", "feed", "robots", "search_description", "sitemaps"]

ATOM = "http://www.w3.org/2005/Atom"
SITEMAP = "http://www.sitemaps.org/schemas/sitemap/0.9"
OPENSEARCH = "http://a9.com/-/spec/opensearch/1.1/"

FEED_ENTRIES = 250
"""The newest entries that the feed holds; a reader that comes once a year misses none."""

SITEMAP_PAGES = 50_000
"""The most addresses that one list may hold. Source: Sitemaps 0.9, sitemaps.org."""

NO_DAY = datetime.date(1970, 1, 1)
"""The day of a feed in which nothing is dated yet: a feed must name one."""


@dataclass(frozen=True, slots=True)
class Site:
    """The site as machines are told of it; ``base`` ends in a slash."""

    name: str
    language: str
    base: str
    motto: str
    licence: str


@dataclass(frozen=True, slots=True)
class _Entry:
    """Something new: its permanent name, the day it was last changed, and where it stands."""

    id: str
    title: str
    address: str
    published: datetime.date
    updated: datetime.date
    summary: str


def _written(root: Xml.Element) -> bytes:
    Xml.indent(root, space="")
    text: str = Xml.tostring(root, encoding="unicode")
    return f'<?xml version="1.0" encoding="utf-8"?>\n{text}\n'.encode()


def _add(parent: Xml.Element, name: str, text: str = "", **attributes: str) -> Xml.Element:
    child = Xml.SubElement(parent, name, attributes)
    child.text = text or None
    return child


# --- the feed


def feed(shelf: Shelf, site: Site) -> bytes:
    """Return the feed of notes, new and revised, and of corrections, newest first.

    Shape: a note is one entry, known by its permanent address, whose ``updated`` is the
    day of its last revision; a correction is an entry of its own, known by a name that
    its day, its place and its words make. Source: RFC 4287; RFC 4151 for those names.
    """
    newest = nlargest(
        FEED_ENTRIES,
        shelf.notes.values(),
        key=lambda note: (note.front.revised, note.front.first_published, f"{note.number:04}"),
    )
    entries = sorted(
        [*_entries(shelf, site, newest), *_corrections(shelf, site)],
        key=lambda entry: (entry.updated, entry.published, entry.id),
        reverse=True,
    )[:FEED_ENTRIES]
    root = Xml.Element("feed", {"xmlns": ATOM, "xml:lang": site.language})
    _add(root, "id", site.base + "feed.xml")
    _add(root, "title", site.name)
    if site.motto:
        _add(root, "subtitle", site.motto)
    _add(root, "link", rel="self", type="application/atom+xml", href=site.base + "feed.xml")
    _add(root, "link", rel="alternate", type="text/html", href=site.base + "index.html")
    _add(root, "updated", _moment(entries[0].updated if entries else NO_DAY))
    _add(_add(root, "author"), "name", site.name)
    if site.licence:
        _add(root, "rights", site.licence)
    for entry in entries:
        told = _add(root, "entry")
        _add(told, "id", entry.id)
        _add(told, "title", entry.title)
        _add(told, "link", rel="alternate", type="text/html", href=site.base + entry.address)
        _add(told, "published", _moment(entry.published))
        _add(told, "updated", _moment(entry.updated))
        _add(told, "summary", entry.summary)
    return _written(root)


def _moment(day: datetime.date) -> str:
    """Return a day as the moment it begins. Source: RFC 3339, section 5.6."""
    return f"{day.isoformat()}T00:00:00Z"


def _entries(shelf: Shelf, site: Site, notes: Iterable[Note]) -> Iterator[_Entry]:
    for note in notes:
        address = address_of(Reference(Scheme.NOTE, str(note.number)))
        yield _Entry(
            site.base + address,
            note.front.title,
            address,
            note.front.first_published,
            note.front.revised,
            plain(shelf.prose(note.front.fix)),
        )


def _corrections(shelf: Shelf, site: Site) -> Iterator[_Entry]:
    told: set[str] = set()
    for _, correction, line in corrections_of(shelf):
        entry = _corrected(correction, line, site)
        if entry.id not in told:  # the same words twice on one day are one correction
            told.add(entry.id)
            yield entry


def _corrected(correction: Correction, line: CorrectionLine, site: Site) -> _Entry:
    place = line.place
    address, name = (place.address, plain(place.text)) if place else ("corrections.html", site.name)
    said = "\n".join((correction.what or "", correction.was, correction.at or ""))
    mark = hashlib.sha256(said.encode()).hexdigest()[:12]
    host, day = urlsplit(site.base).hostname or "", line.date.isoformat()
    return _Entry(
        f"tag:{host},{day}:{address.replace('#', '/')}/{mark}",
        f"Corrected: {name}",
        address,
        line.date,
        line.date,
        correction_text(line),
    )


# --- the list of pages


def sitemaps(pages: Iterable[Page], site: Site, most: int = SITEMAP_PAGES) -> dict[str, bytes]:
    """Return the list of every page that stands at its own address, by path.

    Shape: one ``sitemap.xml``; where there are more than ``most`` pages it lists further
    files, which list the pages. Days are those of the content; a page without one
    has none. Source: Sitemaps 0.9, sitemaps.org.
    """
    listed = sorted((page for page in pages if _listed(page)), key=lambda page: page.path)
    if len(listed) <= most:
        return {"sitemap.xml": _pages_list(listed, site)}
    files = {
        f"sitemap-{number}.xml": _pages_list(listed[start : start + most], site)
        for number, start in enumerate(range(0, len(listed), most), 1)
    }
    root = Xml.Element("sitemapindex", {"xmlns": SITEMAP})
    for path in files:
        _add(_add(root, "sitemap"), "loc", site.base + path)
    return {"sitemap.xml": _written(root), **files}


def _listed(page: Page) -> bool:
    return not page.anywhere and page.canonical == page.path


def _pages_list(pages: Sequence[Page], site: Site) -> bytes:
    root = Xml.Element("urlset", {"xmlns": SITEMAP})
    for page in pages:
        told = _add(root, "url")
        _add(told, "loc", site.base + page.path)
        if page.revised:
            _add(told, "lastmod", page.revised.isoformat())
    return _written(root)


# --- robots, and searching from elsewhere


def robots(site: Site) -> bytes:
    """Return the rules for robots: they may read everything. Source: RFC 9309."""
    return f"User-agent: *\nAllow: /\n\nSitemap: {site.base}sitemap.xml\n".encode()


def search_description(site: Site, purpose: str) -> bytes:
    """Return how a browser searches here. Source: OpenSearch 1.1, draft 6."""
    root = Xml.Element("OpenSearchDescription", {"xmlns": OPENSEARCH})
    _add(root, "ShortName", _within(site.name, 16))
    _add(root, "LongName", _within(site.name, 48))
    _add(root, "Description", _within(purpose, 1024))
    _add(root, "Image", site.base + "icon.svg", type="image/svg+xml")
    template = site.base + "find.html?q={searchTerms}"
    _add(root, "Url", type="text/html", method="get", template=template)
    _add(root, "Language", site.language)
    _add(root, "InputEncoding", "UTF-8")
    _add(root, "OutputEncoding", "UTF-8")
    return _written(root)


def _within(words: str, most: int) -> str:
    """Return as many whole words as there is room for; of one long word its beginning."""
    words = " ".join(words.split())
    if len(words) <= most:
        return words
    return words[: most + 1].rpartition(" ")[0].rstrip(" ,;:") or words[:most]
