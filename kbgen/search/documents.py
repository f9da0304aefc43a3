"""What search knows of a note: the words it is found by and the lines it is shown with."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Protocol

from kbgen.search.entries import Entry, count_names, count_text, entry_of

__all__ = [
    "FACETS",
    "KEY",
    "Facet",
    "Notes",
    "SearchDocument",
    "Shelf",
    "Shown",
    "ThreadPage",
    "Widening",
    "digest",
]

KEY = 16
"""Bytes of a digest by which notes and pieces of the indexes are known again."""

FACETS = ("family", "symptom", "part", "thread", "hazard")


def digest(value: object) -> bytes:
    """Return a digest of bytes, or of a plain value as it is written."""
    data = value if isinstance(value, bytes) else repr(value).encode()
    return hashlib.blake2b(data, digest_size=KEY).digest()


@dataclass(frozen=True, slots=True, order=True)
class Facet:
    """One value by which results can be narrowed.

    Shape: ``kind`` is one of family, symptom, part, thread, hazard; ``id`` goes
    into addresses; ``name`` is shown.
    """

    kind: str
    id: str
    name: str


@dataclass(frozen=True, slots=True)
class Shown:
    """What a result shows of a note, and by what it can be narrowed.

    Shape: ``lines`` are the sentences that can be shown as the one that matched, the
    symptom's first; ``facets`` are sorted; ``caution`` is its most severe signal word or "".
    """

    number: int
    title: str
    fix: str = ""
    lines: tuple[str, ...] = ()
    facets: tuple[Facet, ...] = ()
    caution: str = ""

    def families(self) -> list[Facet]:
        """Return the families that the note stands under."""
        return [facet for facet in self.facets if facet.kind == "family"]

    def plain(self) -> dict[str, Any]:
        """Return what a result at the bench shows, as plain data."""
        return {
            "title": self.title,
            "address": f"n/{self.number:04}.html",
            "fix": self.fix,
            "caution": self.caution,
            "families": [family.name for family in self.families()],
            "lines": list(self.lines),
        }


@dataclass(frozen=True, slots=True, order=True)
class ThreadPage:
    """The page of a thread: its canonical designation and its address."""

    thread: str
    address: str


@dataclass(frozen=True, slots=True, order=True)
class Widening:
    """Lay words and trade words that mean the same."""

    lay: tuple[str, ...]
    trade: tuple[str, ...]


class Notes(Protocol):
    """All that can be found, asked note by note, so that only what changed is gathered."""

    @property
    def keys(self) -> Mapping[int, bytes]:
        """A digest of all that search takes of each note, in the order of the numbers."""

    @property
    def threads(self) -> tuple[ThreadPage, ...]:
        """The pages of threads, sorted."""

    @property
    def widenings(self) -> tuple[Widening, ...]:
        """Words that mean the same, sorted."""

    def entry(self, number: int) -> Entry:
        """Return what the indexes hold of a note."""

    def shown(self, number: int) -> Shown:
        """Return what is shown of a note."""


@dataclass(frozen=True, slots=True)
class SearchDocument:
    """A note as search takes it, all of it at once.

    Shape: ``number`` is the note's number; ``names`` are those of its families,
    parts and headings; ``body`` is everything else that it is found by;
    ``stated`` holds the canonical threads and torques of the note; the rest is as
    it is shown.
    """

    number: int
    title: str
    body: str
    names: tuple[str, ...] = ()
    fix: str = ""
    lines: tuple[str, ...] = ()
    stated: tuple[str, ...] = ()
    facets: tuple[Facet, ...] = ()
    caution: str = ""

    def entry(self) -> Entry:
        """Return what the indexes hold of the note."""
        own = count_text(self.title, self.body)
        return entry_of(own, map(count_names, self.names), dict.fromkeys(self.stated))

    def shown(self) -> Shown:
        """Return what is shown of the note."""
        facets = tuple(sorted(self.facets))
        return Shown(self.number, self.title, self.fix, self.lines, facets, self.caution)

    def key(self) -> bytes:
        """Return a digest of everything in the document."""
        return digest(self)


@dataclass(frozen=True)
class Shelf:
    """Notes that are at hand, in the order of their numbers."""

    documents: tuple[SearchDocument, ...]
    threads: tuple[ThreadPage, ...] = ()
    widenings: tuple[Widening, ...] = ()

    @classmethod
    def of(
        cls,
        documents: Iterable[SearchDocument],
        threads: Iterable[ThreadPage] = (),
        widenings: Iterable[Widening] = (),
    ) -> Shelf:
        """Return a shelf with everything sorted."""
        return cls(
            tuple(sorted(documents, key=lambda document: document.number)),
            tuple(sorted(threads)),
            tuple(sorted(widenings)),
        )

    @cached_property
    def _by_number(self) -> dict[int, SearchDocument]:
        return {document.number: document for document in self.documents}

    @cached_property
    def keys(self) -> Mapping[int, bytes]:
        """A digest of each note, in the order of the numbers."""
        return {number: document.key() for number, document in self._by_number.items()}

    def entry(self, number: int) -> Entry:
        """Return what the indexes hold of a note."""
        return self._by_number[number].entry()

    def shown(self, number: int) -> Shown:
        """Return what is shown of a note."""
        return self._by_number[number].shown()
