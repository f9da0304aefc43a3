"""A shelf taken apart into terms: what the page's files are written from."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from kbgen.kept import Store
from kbgen.search.analysed import Analysed, analysed
from kbgen.search.analysis import STOP_WORDS, stem
from kbgen.search.documents import SearchDocument, Shelf
from kbgen.search.lexicon import Lexicon
from kbgen.search.ranking import LONGEST, Scale, length_steps

__all__ = ["Collection"]


@dataclass(frozen=True)
class Collection:
    """All notes of a shelf with their terms counted; answers like any index.

    Shape: a note's position is its place in the order of the note numbers.
    """

    shelf: Shelf
    store: Store | None = field(default=None, compare=False, repr=False)

    @property
    def documents(self) -> tuple[SearchDocument, ...]:
        """The notes in the order of their numbers."""
        return self.shelf.documents

    @property
    def notes(self) -> int:
        """The number of notes."""
        return len(self.documents)

    @cached_property
    def _analysed(self) -> list[Analysed]:
        return analysed(self.documents, self.store)

    @property
    def _counts(self) -> Iterator[dict[str, int]]:
        return (one.counts for one in self._analysed)

    @cached_property
    def lengths(self) -> tuple[int, ...]:
        """The length of each note in steps."""
        return tuple(length_steps(sum(counts.values())) for counts in self._counts)

    @cached_property
    def scale(self) -> Scale:
        """What the impacts depend on."""
        return Scale(self.notes, sum(self.lengths))

    @cached_property
    def counted(self) -> dict[str, list[tuple[int, int]]]:
        """For every term, sorted, the positions of the notes that hold it and how much."""
        holders: dict[str, list[tuple[int, int]]] = {}
        for position, counts in enumerate(self._counts):
            for term, count in counts.items():
                holders.setdefault(term, []).append((position, count))
        return dict(sorted(holders.items()))

    @cached_property
    def titled(self) -> dict[str, list[tuple[int, tuple[int, ...]]]]:
        """For every term of a title, the positions of the notes and its places in their titles."""
        found: dict[str, list[tuple[int, tuple[int, ...]]]] = {}
        for position, one in enumerate(self._analysed):
            places: dict[str, list[int]] = {}
            for place, term in enumerate(one.title):
                places.setdefault(term, []).append(place)
            for term, where in places.items():
                found.setdefault(term, []).append((position, tuple(where)))
        return found

    @cached_property
    def surfaces(self) -> dict[str, str]:
        """The stem of every word of the notes that is no stop word, sorted by word.

        Shape: a stem that is itself no word of the notes stands for itself; one
        that is a word with another stem stands behind ``^``.
        """
        said: set[str] = set()
        for one in self._analysed:
            said.update(one.words)
        pairs = {word: stem(word) for word in said if word not in STOP_WORDS}
        for term in self.counted:
            plain = pairs.get(term, term) == term and (term[0] == "=" or stem(term) == term)
            pairs[term if plain else "^" + term] = term
        return dict(sorted(pairs.items()))

    @cached_property
    def lexicon(self) -> Lexicon:
        """The words of the notes, stop words left out."""
        return Lexicon(self.surfaces)

    def neighbours(self, first: str, second: str) -> Sequence[int]:
        """Return the numbers of the notes in whose titles the second term follows the first."""
        followed = dict(self.titled.get(second, ()))
        return [
            self.documents[position].number
            for position, places in self.titled.get(first, ())
            if any(place + 1 in followed.get(position, ()) for place in places)
        ]

    def holders(self, term: str) -> int:
        """Return how many notes hold the term."""
        return len(self.counted.get(term, ()))

    def postings(self, term: str) -> tuple[Sequence[int], Sequence[int]]:
        """Return the numbers of the notes that hold the term, and its impacts in them."""
        places = self.counted.get(term, [])
        return (
            [self.documents[position].number for position, _ in places],
            self.impacts(term),
        )

    def impacts(self, term: str) -> list[int]:
        """Return the impacts of the term in the notes that hold it."""
        places = self.counted.get(term, [])
        return [
            self.scale.impact(min(LONGEST, count), self.lengths[position], len(places))
            for position, count in places
        ]
