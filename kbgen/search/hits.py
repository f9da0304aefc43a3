"""Weighted terms rank the notes."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from heapq import nsmallest

from kbgen.search.questions import Index, Question
from kbgen.search.ranking import UNIT, neighbours_bonus

__all__ = ["WEAK_SHARE", "Hit", "asked_mass", "rank"]

# A hit is weak that holds less than half of what was asked and does not stand out: it
# scores less than 1.8 times what the tenth scores. A term that no note holds counts twice
# in what was asked. On the open data this tells three in four questions without an answer,
# of the long ones, and takes one right answer in seven for weak.
WEAK_SHARE = 50
STANDS_OUT = 18
TENTH = 10
UNKNOWN_TIMES = 2


@dataclass(frozen=True, slots=True)
class Hit:
    """A note found: its number, its score, and whether it holds little of what was asked."""

    number: int
    score: int
    weak: bool


def rank(question: Question, index: Index, limit: int = 10) -> list[Hit]:
    """Return the best notes, the best first, ties by note number."""
    scores: defaultdict[int, int] = defaultdict(int)
    impacts_of: dict[str, dict[int, int]] = {}
    for term, weight in question.terms:
        numbers, impacts = index.postings(term)
        for number, impact in zip(numbers, impacts, strict=True):
            scores[number] += weight * impact
        impacts_of[term] = dict(zip(numbers, impacts, strict=True))
    for first, second, weight in question.neighbours:
        for number in index.neighbours(first, second):
            one, other = impacts_of[first][number], impacts_of[second][number]
            scores[number] += neighbours_bonus(weight, one, other)
    best = nsmallest(max(limit, TENTH), ((-score, number) for number, score in scores.items()))
    tenth = -best[TENTH - 1][0] if len(best) >= TENTH else None
    masses = _masses(question, {term: len(held) for term, held in impacts_of.items()}, index.notes)
    asked = _asked(masses, impacts_of)
    hits = []
    for negative, number in best[:limit]:
        held = sum(mass for term, mass in masses.items() if number in impacts_of[term])
        lost = tenth is None or -negative * 10 < STANDS_OUT * tenth
        hits.append(Hit(number, -negative // UNIT, lost and held * 100 < WEAK_SHARE * asked))
    return hits


def asked_mass(question: Question, index: Index) -> int:
    """Return how much was asked: the weights of all terms, each times how rare it is.

    Shape: a term that no note holds counts twice. What a note scores grows with it.
    """
    holders = {term: index.holders(term) for term, _ in question.terms}
    return _asked(_masses(question, holders, index.notes), holders)


def _masses(question: Question, holders: Mapping[str, int], notes: int) -> dict[str, int]:
    """Return how much each term of a question counts in what was asked."""
    return {
        term: weight
        * _rarity_steps(notes, max(1, holders[term]))
        // question.alternatives.get(term, 1)
        for term, weight in question.terms
    }


def _asked(masses: Mapping[str, int], held: Mapping[str, object]) -> int:
    """Return the sum of the masses, those of terms that no note holds twice."""
    return sum(mass * (1 if held[term] else UNKNOWN_TIMES) for term, mass in masses.items())


def _rarity_steps(notes: int, holders: int) -> int:
    """Return how rare a term is in half powers of two, by whole numbers alone."""
    return (notes * notes // (holders * holders)).bit_length()
