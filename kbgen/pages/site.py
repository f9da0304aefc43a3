"""Every page and static file of the site, in one order."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, partial
from pathlib import Path
from typing import TypeVar

from kbgen.checks import Checked
from kbgen.content.models import Standing
from kbgen.kept import Laid, Same, digest
from kbgen.links import (
    Forward,
    Reference,
    Scheme,
    address_of,
    forwards,
    kept_anchors,
    printed_form,
    promised_anchors,
)
from kbgen.pages.amended import Amending
from kbgen.pages.asked import shown_questions
from kbgen.pages.cards import bench_card, pitch_card
from kbgen.pages.environment import Templates
from kbgen.pages.families import family_page
from kbgen.pages.kept_pages import Earlier, Entry, Maker, pages_of
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
from kbgen.pages.parts import part_page, ties
from kbgen.pages.photos import Photos
from kbgen.pages.questions import question_page, questions_page
from kbgen.pages.recordings import recording_page
from kbgen.pages.scales import printers_bar, rule_again, steel_rule
from kbgen.pages.shelf import Shelf
from kbgen.pages.structured import Publisher, data_of
from kbgen.pages.threads import thread_page
from kbgen.pages.tools import (
    TOOL_SCRIPTS,
    measure_page,
    serial_page,
    tool_file,
    tool_files,
    torque_page,
)
from kbgen.pages.views import LinkView, Page
from kbgen.pages.watch import Asked, Watch

__all__ = ["Press", "names_ahead", "render_site", "shown_of"]

T = TypeVar("T")

NAVIGATION = (
    LinkView("What it does wrong", "symptoms.html"),
    LinkView("Which machine", "families.html"),
    LinkView("Screws", "screws.html"),
    LinkView("Parts", "parts.html"),
    LinkView("Recordings", "recordings.html"),
    LinkView("Questions", "questions.html"),
    LinkView("Corrections", "corrections.html"),
    LinkView("Find", "find.html"),
)

RULE_CM = 24
"""As long as the widest column."""

STATIC = (
    "icon.svg",
    "fonts/sofia-sans.woff2",
    "fonts/OFL.txt",
    "scripts/find.js",
    "scripts/lead-on.js",
    *TOOL_SCRIPTS,
)
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


class Press:
    """A site ready to be made: the whole of it, or any file of it.

    Shape: ``templates`` is the tree's own folder of templates, which need not exist;
    paths are relative to the site with forward slashes.
    """

    def __init__(
        self, checked: Checked, templates: Path | None = None, earlier: Earlier | None = None
    ) -> None:
        """Take the content; pages that ``earlier`` builds have left are not made again."""
        self._earlier = earlier
        self._watch = Watch(checked) if earlier else None
        self._shelf = Shelf(checked, self._watch)
        self._photos = Photos(checked.tree.root, _photos_shown(checked), self._shows, earlier)
        self._shown = shown_of(checked)
        shared = {"workshop": self._shown, "nav": NAVIGATION, "steel_rule": steel_rule(RULE_CM)}
        shared["printers_bar"], shared["rule_again"] = printers_bar(), rule_again(RULE_CM)
        shared["ties"] = ties(self._shelf)
        self._laid = Templates(templates, shared)
        self._publisher = Publisher(self._shown.name, self._shown.base, self._shown.licence)
        self._kept = kept_anchors(checked.ledger)

    @cached_property
    def _makers(self) -> tuple[Maker, ...]:
        return tuple(_makers(self._shelf, self._photos, self._shown.base))

    def files(self) -> Iterator[tuple[str, bytes | Same | Laid]]:
        """Yield path and bytes of every file but those of the search, each once.

        Shape: in place of bytes that the site already has stands that they are the same,
        or that they are laid.
        """
        for entry in self._entries():
            yield from entry.files

    def _entries(self) -> Iterator[Entry]:
        """Yield the files that ``files`` yields, those of the one before where they stand."""
        if self._earlier is None or self._watch is None:
            yield from self._whole()
            return
        amending = Amending(self._earlier, self._watch, self._laid.digest)
        stale = amending.stale()
        if stale is not None and stale <= self._notes_at.keys():
            yield from amending.amended(self._amend, stale)
        else:
            yield from amending.noted(self._whole())
        amending.keep()

    def _whole(self) -> Iterator[Entry]:
        """Yield all files, none of them known."""
        # First, because every process that makes pages then has at hand what was reckoned.
        yield Entry(list(tool_files(self._shelf, self._earlier)), [], ())
        written: dict[str, Page] = {}
        for entry in self._pages():
            written.update((page.path, page) for page in entry.told)
            yield entry
        for old, page in self._forwards.items():
            yield _alone(old, self._laid.render(page))
        yield _alone(LOST.path, self._laid.render(LOST))
        told, asked = self._listen(lambda: list(_for_machines(self._shelf, self._shown, written)))
        yield Entry(told, [], asked)
        for path, photo in self._photos.files():  # one by one: memory holds no more of them
            yield _alone(path, photo)
        for name in STATIC:
            yield _alone(name, self._laid.file(name))

    def file(self, path: str) -> bytes | None:
        """Return one of the files that ``files`` yields, None where there is none such."""
        if path in self._maker_of:
            return next(self._render(page) for page in self._maker_of[path]() if page.path == path)
        if path in self._forwards:
            return self._laid.render(self._forwards[path])
        if path == LOST.path:
            return self._laid.render(LOST)
        if path in STATIC:
            return self._laid.file(path)
        if path.startswith("bench/"):
            return tool_file(self._shelf, path)
        if path.startswith("photos/"):
            return self._photos.file(path)
        return self._told.get(path) if path.endswith((".xml", ".txt")) else None

    def _amend(self, address: str) -> Entry:
        """Make the pages of a note whose text changed."""
        number = self._notes_at[address]
        assert self._earlier is not None and self._watch is not None
        pages, asked, groups = self._watch.listen_anywhere(
            partial(_with_card, self._shelf, number, self._photos, self._shown.base)
        )
        files = [(page.path, self._earlier.lay(page.path, self._render(page))) for page in pages]
        return Entry(files, [], asked, groups)

    @cached_property
    def _notes_at(self) -> dict[str, int]:
        """The numbers of all notes by the addresses of their pages."""
        numbers = self._watch.checked.tree.notes if self._watch else self._shelf.tree.notes
        return {address_of(Reference(Scheme.NOTE, str(number))): number for number in numbers}

    def _listen(self, make: Callable[[], T]) -> tuple[T, tuple[Asked, ...]]:
        return self._watch.listen(make) if self._watch else (make(), ())

    def _pages(self) -> Iterator[Entry]:
        if self._earlier and self._watch:
            yield from pages_of(
                self._makers, self._render, self._watch, self._common, self._earlier, self._ahead
            )
            return
        for _, make in self._makers:
            for page in make():
                told = replace(page, body=None)  # machines are told no views
                yield Entry([(page.path, self._render(page))], [told], ())

    def _ahead(self) -> None:
        """Do once what each process that makes pages would do for itself."""
        assert self._watch is not None
        self._watch.ahead()
        self._laid.compile()

    def _shows(self, photo: str) -> None:
        if self._watch:
            self._watch.tell("photo", photo)

    def _common(self, path: str) -> bytes:
        """Return a digest of what a page depends on beside what it asks of the content."""
        assert self._watch is not None
        anchors = repr((self._kept.get(path), self._anchors.get(path)))
        return digest(self._laid.digest, self._watch.common, anchors.encode())

    @cached_property
    def _anchors(self) -> dict[str, list[str]]:
        """The anchors that the ledger promises of each page."""
        return promised_anchors(self._shelf.checked.ledger)

    def _render(self, page: Page) -> bytes:
        data = data_of(page, self._publisher)
        return self._laid.render(page, self._kept.get(page.path, ()), data)

    @cached_property
    def _maker_of(self) -> dict[str, Callable[[], Sequence[Page]]]:
        return {path: make for paths, make in self._makers for path in paths}

    @cached_property
    def _forwards(self) -> dict[str, Page]:
        moved = forwards(self._shelf.checked.ledger)
        return {one.old: forward_page(one) for one in moved if one.old not in self._maker_of}

    @cached_property
    def _told(self) -> dict[str, bytes]:
        pages = {page.path: page for _, make in self._makers for page in make()}
        return dict(_for_machines(self._shelf, self._shown, pages))


def names_ahead(checked: Checked) -> None:
    """Work out what pages ask of all notes at once, while all of them are at hand."""
    Watch(checked).ahead()
    _photos_shown(checked)


def render_site(
    checked: Checked, templates: Path | None = None, earlier: Earlier | None = None
) -> Iterator[tuple[str, bytes | Same | Laid]]:
    """Yield the path and the bytes of every page and static file but those of the search.

    Shape: ``templates`` is the tree's own folder of templates, which need not exist;
    paths are relative to the site with forward slashes, each yielded once.
    """
    yield from Press(checked, templates, earlier).files()


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


def shown_of(checked: Checked) -> Shown:
    """Return the workshop as pages show it.

    Raises: ValueError where its file cannot be read.
    """
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


def _makers(shelf: Shelf, photos: Photos, base: str) -> Iterator[Maker]:
    """Yield every page of the site in one order, none of them made yet."""

    def one(path: str, make: Callable[..., Page], *given: object) -> Maker:
        return (path,), lambda: (make(*given),)

    for path, front in _FRONT:
        yield one(path, front, shelf)
    yield one("find.html", find_page)
    for number in shelf.notes:
        path = address_of(Reference(Scheme.NOTE, str(number)))
        yield (path, printed_form(path)), partial(_with_card, shelf, number, photos, base)
    for number, standing in shelf.checked.standings.items():
        if standing is Standing.WITHDRAWN:
            path = address_of(Reference(Scheme.NOTE, str(number)))
            yield one(path, _withdrawn, shelf, number)
    for name, heading in shelf.tree.headings.items():
        yield one(address_of(Reference(Scheme.SYMPTOM, name)), symptom_page, shelf, heading)
    for name, family in shelf.tree.families.items():
        path = address_of(Reference(Scheme.FAMILY, name))
        yield one(path, family_page, shelf, family)
        yield one(printed_form(path), pitch_card, shelf, family, base)
    for reference, thread in shelf.checked.graph.threads.items():
        yield one(address_of(reference), thread_page, shelf, reference, thread)
    for name, part in shelf.tree.parts.items():
        yield one(address_of(Reference(Scheme.PART, name)), part_page, shelf, part)
    for name, recording in shelf.tree.recordings.items():
        yield one(address_of(Reference(Scheme.RECORDING, name)), recording_page, shelf, recording)
    for number in shown_questions(shelf):
        path = address_of(Reference(Scheme.QUESTION, str(number)))
        yield one(path, question_page, shelf, number)


def _alone(path: str, data: bytes | Same) -> Entry:
    return Entry([(path, data)], [], ())


def _photos_shown(checked: Checked) -> tuple[str, ...]:
    def found() -> tuple[str, ...]:
        return tuple(photo.file for note in checked.published for photo in note.front.photos)

    return checked.once("photos shown", found)


def _with_card(shelf: Shelf, number: int, photos: Photos, base: str) -> tuple[Page, Page]:
    page = note_page(shelf, shelf.notes[number], photos)
    return page, bench_card(page, base)


def _withdrawn(shelf: Shelf, number: int) -> Page:
    return withdrawn_page(shelf, shelf.tree.notes[number])


_FRONT: tuple[tuple[str, Callable[[Shelf], Page]], ...] = (
    ("index.html", home_page),
    ("symptoms.html", symptoms_page),
    ("families.html", families_page),
    ("screws.html", screws_page),
    ("measure.html", measure_page),
    ("torque.html", torque_page),
    ("serial.html", serial_page),
    ("parts.html", parts_page),
    ("recordings.html", recordings_page),
    ("notes.html", notes_page),
    ("questions.html", questions_page),
    ("corrections.html", corrections_page),
    ("about.html", about_page),
)
