"""Weighted terms rank the notes."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from heapq import nsmallest

from kbgen.search.questions import Index, Question
from kbgen.search.ranking import neighbours_bonus

__all__ = ["WEAK_SHARE", "Hit", "rank"]

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
    masses: dict[str, int] = {}
    asked = 0
    for term, weight in question.terms:
        numbers, impacts = index.postings(term)
        mass = weight * _rarity_steps(index.notes, max(1, len(numbers)))
        masses[term] = mass // question.alternatives.get(term, 1)
        asked += masses[term] * (1 if numbers else UNKNOWN_TIMES)
        for number, impact in zip(numbers, impacts, strict=True):
            scores[number] += weight * impact
        impacts_of[term] = dict(zip(numbers, impacts, strict=True))
    for first, second, weight in question.neighbours:
        for number in index.neighbours(first, second):
            one, other = impacts_of[first][number], impacts_of[second][number]
            scores[number] += neighbours_bonus(weight, one, other)
    best = nsmallest(max(limit, TENTH), ((-score, number) for number, score in scores.items()))
    tenth = -best[TENTH - 1][0] if len(best) >= TENTH else None
    hits = []
    for negative, number in best[:limit]:
        held = sum(mass for term, mass in masses.items() if number in impacts_of[term])
        lost = tenth is None or -negative * 10 < STANDS_OUT * tenth
        hits.append(Hit(number, -negative, lost and held * 100 < WEAK_SHARE * asked))
    return hits


def _rarity_steps(notes: int, holders: int) -> int:
    """Return how rare a term is in half powers of two, by whole numbers alone."""
    return (notes * notes // (holders * holders)).bit_length()
