"""What search knows of a note: the words it is found by and the lines it is shown with."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass, field
from typing import Any

from kbgen.search.analysis import plain_terms
from kbgen.search.quantities import quantity_terms

__all__ = ["Facet", "SearchDocument", "Shelf", "ThreadPage", "Widening"]

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

    Shape: ``number`` is the note's number; ``body`` is everything else that it
    is found by; ``lines`` are the sentences that can be shown as the one that
    matched, the symptom's first; ``stated`` holds the canonical threads and
    torques of the note; ``caution`` is its most severe signal word or "".
    """

    number: int
    title: str
    body: str
    address: str
    fix: str = ""
    lines: tuple[str, ...] = ()
    stated: tuple[str, ...] = ()
    facets: tuple[Facet, ...] = ()
    caution: str = ""

    def content(self) -> list[str]:
        """Return the terms of the one field that is ranked, the title's three times.

        Shape: plain stems in the order of the text, then the terms of the
        stated threads and torques.
        """
        terms = plain_terms(self.title) * 3 + plain_terms(self.body)
        for stated in self.stated:
            terms.extend(quantity_terms(stated))
        return terms

    def shown(self) -> dict[str, Any]:
        """Return what a result shows of the note, as plain data."""
        return {
            "title": self.title,
            "address": self.address,
            "fix": self.fix,
            "caution": self.caution,
            "families": [facet.name for facet in self.facets if facet.kind == "family"],
            "lines": list(self.lines),
        }

    def digest(self) -> str:
        """Return a short digest of everything in the document."""
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
