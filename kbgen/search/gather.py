"""From the checked tree to what search knows, note by note."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import cached_property
from typing import TYPE_CHECKING, Protocol, TypeVar

from kbgen.content import FamilyFile, Filed, Note
from kbgen.content.models import Family, Hazard, NoteFront, Signal, Standing
from kbgen.links import Reference, address_of, plain_thread, thread_slug
from kbgen.prose import Statement, Where, scan_family, scan_note
from kbgen.search.documents import KEY, Facet, Shown, ThreadPage, Widening, digest
from kbgen.search.entries import Counted, Entry, count_names, count_text, entry_of
from kbgen.units import HouseThreads, Kind, Thread

if TYPE_CHECKING:
    from kbgen.content import Tree

__all__ = ["CheckedTree", "TreeNotes", "keys_ahead", "terms_ahead"]

T = TypeVar("T")

SEVERITY = [Signal.DANGER, Signal.WARNING, Signal.CAUTION, Signal.NOTICE]


class ThreadPages(Protocol):
    """As much of the link graph as is read here."""

    @property
    def threads(self) -> Mapping[Reference, Thread]:
        """Every thread that has a page, by its reference."""


class Summed(Protocol):
    """As much of what tells of changes as is read here."""

    @property
    def sums(self) -> Mapping[str, bytes]:
        """The digests of the bytes of files, by path, as far as they are known."""


class CheckedTree(Protocol):
    """As much of the checked content as is read here."""

    @property
    def tree(self) -> Tree:
        """The content tree."""

    @property
    def graph(self) -> ThreadPages:
        """The link graph."""

    @property
    def facts(self) -> Summed:
        """What tells of changes."""

    def once(self, name: str, make: Callable[[], T]) -> T:
        """Return what follows from the facts of all files, made once."""


Figures = tuple[tuple[str, ...], tuple[tuple[str, str], ...]]
"""Threads and torques that are stated, canonical, and the id and the name of each thread."""


def terms_ahead(file: object, house: HouseThreads) -> None:
    """Count what a file says itself while it is at hand; it stays with its source."""
    if isinstance(file, Note):
        _said(file)
        _figures(file, house)
    elif isinstance(file, Filed) and isinstance(file.model, Family):
        _row_figures(file, house)


def _said(note: Note) -> Counted:
    """Return the words of a note's file, counted."""
    return note.source.once("words", lambda: _counted(note))


def _counted(note: Note) -> Counted:
    front = note.front
    return count_text(front.title, "\n".join([*_lines(front), front.fix, note.plain]))


def _figures(note: Note, house: HouseThreads) -> Figures:
    """Return what a note's file states."""
    return note.source.once(
        f"figures, {house.named}", lambda: _stated(scan_note(note, house).statements)
    )


def _row_figures(family: FamilyFile, house: HouseThreads) -> dict[str, Figures]:
    """Return what the rows of a family's register state, by FAMILY/ROW."""

    def read() -> dict[str, Figures]:
        stated: dict[str, list[Statement]] = defaultdict(list)
        for statement in scan_family(family, house).statements:
            if statement.where is Where.REGISTER and statement.subject:
                stated[statement.subject].append(statement)
        return {row: _stated(statements) for row, statements in stated.items()}

    return family.source.once(f"figures, {house.named}", read)


def _stated(statements: Iterable[Statement]) -> Figures:
    stated, threads = set(), set()
    for statement in statements:
        value = statement.value
        if statement.withdrawn or value.kind not in (Kind.THREAD, Kind.TORQUE):
            continue
        stated.add(str(value.canonical))
        if value.kind is Kind.THREAD and isinstance(value.value, Thread):
            plain = plain_thread(value.value)
            threads.add((thread_slug(plain), str(plain)))
    return tuple(sorted(stated)), tuple(sorted(threads))


def keys_ahead(checked: CheckedTree) -> None:
    """Work out what notes are found by, while all of them are at hand; it is kept."""
    assert TreeNotes(checked).keys is not None


class TreeNotes:
    """The published notes of a checked tree: nothing is gathered of one that is not asked for."""

    def __init__(self, checked: CheckedTree) -> None:
        self._checked = checked
        self._tree = checked.tree
        self._house = HouseThreads.of([row.thread for row in checked.tree.house_threads])
        self.threads = tuple(
            sorted(
                ThreadPage(str(plain_thread(thread)), address_of(reference))
                for reference, thread in checked.graph.threads.items()
            )
        )
        self.widenings = tuple(sorted(Widening(p.lay, p.trade) for p in self._tree.vocabulary))

    @cached_property
    def keys(self) -> Mapping[int, bytes]:
        """A digest of all that search takes of each note: of its file, and of what it names."""
        sums, notes = self._checked.facts.sums, self._tree.notes
        named = self._checked.once("what notes are found by", self._named)
        return {
            number: digest(key + (sums.get(path) or notes[number].source.digest))
            for number, (path, key) in named.items()
        }

    def _named(self) -> dict[int, tuple[str, bytes]]:
        """Return the path of each published note, and a digest of what it names."""
        declared = self._house.named.encode()
        named, rows = self._named_keys, self._row_keys
        found = {}
        for number, note in self._tree.notes.items():
            front = note.front
            if front.standing is not Standing.PUBLISHED:
                continue
            parts = [declared]
            parts += [named["family", family] for family in front.families]
            parts += [named["part", use.part] for use in front.parts]
            parts += [named["heading", heading] for heading in front.headings]
            parts += [named["hazard", hazard] for hazard in front.hazards]
            parts += [rows[row] for row in front.fasteners if isinstance(row, str)]
            found[number] = note.source.path, digest(b"".join(parts))
        return found

    def entry(self, number: int) -> Entry:
        """Return what the indexes hold of a note."""
        note = self._tree.notes[number]
        stated = set(_figures(note, self._house)[0])
        for figures, _ in self._rows_of(note.front):
            stated.update(figures)
        return entry_of(_said(note), self._names_of(note.front), sorted(stated))

    def shown(self, number: int) -> Shown:
        """Return what is shown of a note."""
        note = self._tree.notes[number]
        front, hazards = note.front, self._hazards
        threads = set(_figures(note, self._house)[1])
        for _, more in self._rows_of(front):
            threads.update(more)
        facets = {*self._facets(front), *(Facet("thread", id_, name) for id_, name in threads)}
        signals = [hazards[one].signal for one in front.hazards if one in hazards]
        return Shown(
            number,
            front.title,
            front.fix,
            tuple(_lines(front)),
            tuple(sorted(facets)),
            min(signals, key=SEVERITY.index).value if signals else "",
        )

    @cached_property
    def _hazards(self) -> Mapping[str, Hazard]:
        return self._tree.hazards

    @cached_property
    def _rows(self) -> dict[str, Figures]:
        """What each register row states, by FAMILY/ROW."""
        found = {}
        for family in self._tree.families.values():
            found.update(_row_figures(family, self._house))
        return found

    def _rows_of(self, front: NoteFront) -> Iterator[Figures]:
        for row in front.fasteners:
            if isinstance(row, str) and row in self._rows:
                yield self._rows[row]

    @cached_property
    def _row_keys(self) -> Mapping[str, bytes]:
        keys = {row: digest(said) for row, said in self._rows.items()}
        return defaultdict(_nothing, keys)

    @cached_property
    def _names(self) -> Mapping[tuple[str, str], tuple[str, str]]:
        """The name of each family, part, heading and hazard, and all that it is found by."""
        tree = self._tree
        found: dict[tuple[str, str], tuple[str, str]] = {}
        for id_, family in tree.families.items():
            names = [family.model.name, *family.model.also_called]
            found["family", id_] = family.model.name, " ".join(names)
        for id_, part in tree.parts.items():
            names = [part.model.name, *part.model.also_called]
            found["part", id_] = part.model.name, " ".join(names)
        for id_, heading in tree.headings.items():
            found["heading", id_] = heading.heading, " ".join([heading.heading, *heading.also])
        for id_, hazard in tree.hazards.items():
            found["hazard", id_] = hazard.hazard, hazard.signal.value
        return found

    @cached_property
    def _named_keys(self) -> Mapping[tuple[str, str], bytes]:
        keys = {what: digest(said) for what, said in self._names.items()}
        return defaultdict(_nothing, keys)

    @cached_property
    def _counted_names(self) -> dict[tuple[str, str], Counted]:
        return {}

    def _names_of(self, front: NoteFront) -> Iterator[Counted]:
        """Give the names of the families, parts and headings that a note stands under, counted."""
        for what in (
            *(("family", family) for family in front.families),
            *(("part", use.part) for use in front.parts),
            *(("heading", heading) for heading in front.headings),
        ):
            if what in self._names:
                if what not in self._counted_names:
                    self._counted_names[what] = count_names(self._names[what][1])
                yield self._counted_names[what]

    def _facets(self, front: NoteFront) -> Iterator[Facet]:
        for kind, what, ids in (
            ("family", "family", front.families),
            ("symptom", "heading", front.headings),
            ("part", "part", [use.part for use in front.parts]),
            ("hazard", "hazard", front.hazards),
        ):
            for id_ in ids:
                if (what, id_) in self._names:
                    yield Facet(kind, id_, self._names[what, id_][0])


def _nothing() -> bytes:
    """Return the key of a name that nothing has."""
    return bytes(KEY)


def _lines(front: NoteFront) -> Iterator[str]:
    """Give the sentences that can be shown as the one that matched, the symptom's first."""
    yield from front.symptom
    for cause in front.causes:
        yield f"{cause.cause}: {cause.tell}"
        if cause.fix:
            yield cause.fix
