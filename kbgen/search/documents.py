"""What search knows of a note: the words it is found by and the lines it is shown with."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass, field
from typing import Any

from kbgen.search.analysis import plain_terms
from kbgen.search.quantities import quantity_terms

__all__ = ["Facet", "SearchDocument", "Shelf", "ThreadPage", "Widening"]

WORD_HALVES, LEAD_HALVES, NAME_HALVES, TITLE_HALVES = 2, 3, 4, 10
LEAD = 20  # the first terms of a body tell what it is about
TITLE_PLACES = 24
FACETS = ("family", "symptom", "part", "thread", "hazard")


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
class SearchDocument:
    """A published note as search takes it.

    Shape: ``number`` is the note's number; ``names`` are those of its families,
    parts and headings; ``body`` is everything else that it is found by; ``lines``
    are the sentences that can be shown as the one that matched, the symptom's
    first; ``stated`` holds the canonical threads and torques of the note;
    ``caution`` is its most severe signal word or "".
    """

    number: int
    title: str
    body: str
    address: str
    names: tuple[str, ...] = ()
    fix: str = ""
    lines: tuple[str, ...] = ()
    stated: tuple[str, ...] = ()
    facets: tuple[Facet, ...] = ()
    caution: str = ""

    def counts(self) -> dict[str, int]:
        """Return how much of each term the note holds, in halves of a word.

        Shape: a word of the title counts five times, of ``names`` twice, of the
        first twenty words of the body one and a half times; a stated thread or
        torque twice.
        """
        found: Counter[str] = Counter()
        for term in plain_terms(self.title):
            found[term] += TITLE_HALVES
        for term in plain_terms(" ".join(self.names)):
            found[term] += NAME_HALVES
        for place, term in enumerate(plain_terms(self.body)):
            found[term] += LEAD_HALVES if place < LEAD else WORD_HALVES
        for stated in self.stated:
            for term in quantity_terms(stated):
                found[term] += NAME_HALVES
        return dict(found)

    def title_terms(self) -> list[str]:
        """Return the terms of the title in order, so far as neighbours in it are looked for."""
        return plain_terms(self.title)[:TITLE_PLACES]

    def shown(self) -> dict[str, Any]:
        """Return what a result shows of the note, as plain data."""
        return {
            "title": self.title,
            "address": self.address,
            "fix": self.fix,
            "caution": self.caution,
            "families": self.families(),
            "lines": list(self.lines),
        }

    def families(self) -> list[str]:
        """Return the names of the families that the note stands under."""
        return [facet.name for facet in self.facets if facet.kind == "family"]

    def digest(self) -> str:
        """Return a short digest of everything in the document."""
        import hashlib

        whole = json.dumps(asdict(self), ensure_ascii=False, sort_keys=True)
        return hashlib.sha256(whole.encode()).hexdigest()[:20]


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


@dataclass(frozen=True, slots=True)
class Shelf:
    """All that can be found, in the order of the note numbers."""

    documents: tuple[SearchDocument, ...]
    threads: tuple[ThreadPage, ...] = ()
    widenings: tuple[Widening, ...] = ()
    headings: Mapping[str, str] = field(default_factory=dict)

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
