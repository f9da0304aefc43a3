"""From the checked tree to what search knows, note by note."""

from __future__ import annotations

import hashlib
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import TYPE_CHECKING, Protocol

from kbgen.content import Note
from kbgen.content.models import Hazard, NoteFront, Signal, Standing
from kbgen.links import Reference, address_of, plain_thread, thread_slug
from kbgen.prose import Statement, Where, scan_family, scan_note
from kbgen.search.documents import Facet, Shown, ThreadPage, Widening
from kbgen.search.entries import Counted, Entry, count_names, count_text, entry_of
from kbgen.units import HouseThreads, Kind, Thread

if TYPE_CHECKING:
    from kbgen.content import Tree

__all__ = ["CheckedTree", "TreeNotes", "terms_ahead"]

SEVERITY = [Signal.DANGER, Signal.WARNING, Signal.CAUTION, Signal.NOTICE]


class ThreadPages(Protocol):
    """As much of the link graph as is read here."""

    @property
    def threads(self) -> Mapping[Reference, Thread]:
        """Every thread that has a page, by its reference."""


class CheckedTree(Protocol):
    """As much of the checked content as is read here."""

    @property
    def tree(self) -> Tree:
        """The content tree."""

    @property
    def graph(self) -> ThreadPages:
        """The link graph."""


@dataclass(frozen=True, slots=True)
class Own:
    """What follows from a note's file alone.

    Shape: ``stated`` are its figures, canonical; ``threads`` the id and the name of each
    thread among them.
    """

    counted: Counted
    stated: tuple[str, ...]
    threads: tuple[tuple[str, str], ...]


def terms_ahead(file: object, house: HouseThreads) -> None:
    """Count a note's own terms while its file is at hand; they stay with its source."""
    if isinstance(file, Note):
        _own(file, house)


def _own(note: Note, house: HouseThreads) -> Own:
    return note.source.once(f"terms, {_declared(house)}", lambda: _counted(note, house))


def _counted(note: Note, house: HouseThreads) -> Own:
    front = note.front
    body = "\n".join([*_lines(front), front.fix, note.plain])
    stated, threads = _figures(scan_note(note, house).statements)
    return Own(count_text(front.title, body), stated, threads)


@lru_cache(maxsize=8)
def _declared(house: HouseThreads) -> str:
    return "; ".join(sorted(map(str, house.threads)))


def _figures(
    statements: tuple[Statement, ...],
) -> tuple[tuple[str, ...], tuple[tuple[str, str], ...]]:
    """Return the canonical threads and torques stated, and the id and name of each thread."""
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


class TreeNotes:
    """The published notes of a checked tree: nothing is gathered of one that is not asked for."""

    def __init__(self, checked: CheckedTree) -> None:
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
        declared = _declared(self._house).encode()
        named, rows = self._named_keys, self._row_keys
        found = {}
        for number, note in self._tree.notes.items():
            front = note.front
            if front.standing is not Standing.PUBLISHED:
                continue
            parts = [declared, note.source.digest]
            parts += [named["family", family] for family in front.families]
            parts += [named["part", use.part] for use in front.parts]
            parts += [named["heading", heading] for heading in front.headings]
            parts += [named["hazard", hazard] for hazard in front.hazards]
            parts += [rows[row] for row in front.fasteners if isinstance(row, str)]
            found[number] = hashlib.blake2b(b"".join(parts), digest_size=16).digest()
        return found

    def entry(self, number: int) -> Entry:
        """Return what the indexes hold of a note."""
        note = self._tree.notes[number]
        own = _own(note, self._house)
        stated = set(own.stated)
        for figures, _ in self._rows_of(note.front):
            stated.update(figures)
        return entry_of(own.counted, self._names_of(note.front), sorted(stated))

    def shown(self, number: int) -> Shown:
        """Return what is shown of a note."""
        note = self._tree.notes[number]
        front, hazards = note.front, self._hazards
        threads = set(_own(note, self._house).threads)
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
    def _rows(self) -> dict[str, tuple[tuple[str, ...], tuple[tuple[str, str], ...]]]:
        """What each register row states, by FAMILY/ROW."""
        stated: dict[str, list[Statement]] = defaultdict(list)
        for family in self._tree.families.values():
            for statement in scan_family(family, self._house).statements:
                if statement.where is Where.REGISTER and statement.subject:
                    stated[statement.subject].append(statement)
        return {row: _figures(tuple(statements)) for row, statements in stated.items()}

    def _rows_of(
        self, front: NoteFront
    ) -> Iterator[tuple[tuple[str, ...], tuple[tuple[str, str], ...]]]:
        for row in front.fasteners:
            if isinstance(row, str) and row in self._rows:
                yield self._rows[row]

    @cached_property
    def _row_keys(self) -> Mapping[str, bytes]:
        keys = {row: _key(repr(said)) for row, said in self._rows.items()}
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
        keys = {what: _key(repr(said)) for what, said in self._names.items()}
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
    return bytes(16)


def _key(said: str) -> bytes:
    return hashlib.blake2b(said.encode(), digest_size=16).digest()


def _lines(front: NoteFront) -> Iterator[str]:
    """Give the sentences that can be shown as the one that matched, the symptom's first."""
    yield from front.symptom
    for cause in front.causes:
        yield f"{cause.cause}: {cause.tell}"
        if cause.fix:
            yield cause.fix
