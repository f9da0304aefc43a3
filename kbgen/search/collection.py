"""Notes at hand as an index of their own: what questions and the ranking ask, from memory."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

from kbgen.search.documents import Notes
from kbgen.search.inverted import Inverted
from kbgen.search.lexicon import Lexicon
from kbgen.search.ranking import Scale

__all__ = ["Collection"]


class Collection:
    """All notes of a shelf with their terms counted; answers like any index."""

    def __init__(self, shelf: Notes) -> None:
        self.shelf = shelf

    @cached_property
    def _terms(self) -> Inverted:
        return Inverted.of(self.shelf)

    @property
    def notes(self) -> int:
        """The number of notes."""
        return len(self.shelf.keys)

    @cached_property
    def scale(self) -> Scale:
        """What the impacts depend on."""
        return Scale(self.notes, sum(self._terms.lengths.values()))

    @cached_property
    def lexicon(self) -> Lexicon:
        """The words of the notes, stop words left out."""
        return Lexicon(self._terms.words)

    def neighbours(self, first: str, second: str) -> Sequence[int]:
        """Return the numbers of the notes in whose titles the second term follows the first."""
        if not (self.holders(first) and self.holders(second)):
            return []
        followed = dict(self._terms.look(second).places())
        return [
            number
            for number, places in self._terms.look(first).places()
            if places << 1 & followed.get(number, 0)
        ]

    def holders(self, term: str) -> int:
        """Return how many notes hold the term."""
        return self._terms.holders.get(term, 0)

    def postings(self, term: str) -> tuple[Sequence[int], Sequence[int]]:
        """Return the numbers of the notes that hold the term, and its impacts in them."""
        holders = self.holders(term)
        if not holders:
            return [], []
        posted, lengths = self._terms.look(term), self._terms.lengths
        numbers = posted.numbers()
        return numbers, [
            self.scale.impact(count, lengths[number], holders)
            for number, count in zip(numbers, posted.counts(), strict=True)
        ]
