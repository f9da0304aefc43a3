"""A question becomes weighted terms, and the terms rank the notes.

Everything here works on what an :class:`Index` answers, so that the bench and
the tests of the page's files share it. All arithmetic is on whole numbers.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from kbgen.search.analysis import STOP_WORDS, plain_terms, stem, words
from kbgen.search.documents import Widening
from kbgen.search.quantities import ATOM, read_quantities
from kbgen.search.ranking import question_weight

__all__ = ["Hit", "Index", "Question", "Widened", "ask", "rank"]

WIDENED_SHARE = 8  # of 16: words that the vocabulary adds count half
WEAK_SHARE = 40  # percent of what was asked that a hit has to hold


class Index(Protocol):
    """What the ranking asks of an index."""

    @property
    def notes(self) -> int:
        """The number of notes."""

    def holders(self, term: str) -> int:
        """Return how many notes hold the term."""

    def postings(self, term: str) -> tuple[Sequence[int], Sequence[int]]:
        """Return the numbers of the notes that hold the term, and its impacts in them."""


@dataclass(frozen=True, slots=True)
class Widened:
    """What the vocabulary added: the words said and the words looked for as well."""

    said: str
    also: str


@dataclass(frozen=True, slots=True)
class Question:
    """A question as the ranking takes it.

    Shape: ``terms`` maps each term to its whole weight, in the order in which
    they were first said; ``threads`` are the pair terms of the threads in it.
    """

    text: str
    terms: tuple[tuple[str, int], ...]
    widened: tuple[Widened, ...] = ()
    threads: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Hit:
    """A note found: its number, its score, and whether it holds little of what was asked."""

    number: int
    score: int
    weak: bool


def ask(text: str, index: Index, widenings: Sequence[Widening] = ()) -> Question:
    """Read a question: count its words, read its threads, widen it by the vocabulary."""
    readings = [r for r in read_quantities(text) if any(map(index.holders, r.terms))]
    spoken = {word for reading in readings for word in reading.spoken}
    counts = Counter(
        stem(word)
        for word in words(text)
        if word not in STOP_WORDS and not (spoken and _said_by(word, spoken))
    )
    for reading in readings:
        counts.update(reading.terms)
    weights = {term: question_weight(times) for term, times in counts.items()}
    widened = []
    stems = plain_terms(text)
    for pair in widenings:
        found = _widening(pair, stems)
        if found is None:
            continue
        widened.append(found)
        for term in plain_terms(found.also):
            weights.setdefault(term, WIDENED_SHARE)
    threads = tuple(reading.pair for reading in readings if reading.pair)
    return Question(text, tuple(weights.items()), tuple(widened), threads)


def _said_by(word: str, spoken: set[str]) -> bool:
    """Tell whether a word of the question was said as part of a quantity."""
    return all(part in spoken for part in ATOM.findall(word))


def _widening(pair: Widening, stems: Sequence[str]) -> Widened | None:
    """Return what a vocabulary pair adds to a question of these stems, if anything."""
    for said, others in ((pair.lay, pair.trade), (pair.trade, pair.lay)):
        for phrase in said:
            if _holds(stems, plain_terms(phrase)):
                return Widened(phrase, " / ".join(others))
    return None


def _holds(stems: Sequence[str], phrase: Sequence[str]) -> bool:
    """Tell whether the phrase stands in the stems, its words next to each other."""
    size = len(phrase)
    return size > 0 and any(
        list(stems[at : at + size]) == list(phrase) for at in range(len(stems) - size + 1)
    )


def rank(question: Question, index: Index, limit: int = 10) -> list[Hit]:
    """Return the best notes, the best first, ties by note number."""
    scores: dict[int, int] = {}
    held: dict[int, int] = {}
    asked = 0
    for term, weight in question.terms:
        numbers, impacts = index.postings(term)
        mass = weight * _rarity_steps(index.notes, max(1, len(numbers)))
        asked += mass
        for number, impact in zip(numbers, impacts, strict=True):
            scores[number] = scores.get(number, 0) + weight * impact
            held[number] = held.get(number, 0) + mass
    best = sorted(scores, key=lambda number: (-scores[number], number))[:limit]
    return [Hit(n, scores[n], held[n] * 100 < WEAK_SHARE * asked) for n in best]


def _rarity_steps(notes: int, holders: int) -> int:
    """Return how rare a term is in half powers of two, by whole numbers alone."""
    return (notes * notes // (holders * holders)).bit_length()
