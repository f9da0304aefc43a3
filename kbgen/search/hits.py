"""Weighted terms rank the notes."""

from __future__ import annotations

from dataclasses import dataclass

from kbgen.search.questions import Index, Question
from kbgen.search.ranking import neighbours_bonus

__all__ = ["WEAK_SHARE", "Hit", "rank"]

WEAK_SHARE = 40  # percent of what was asked that a hit has to hold


@dataclass(frozen=True, slots=True)
class Hit:
    """A note found: its number, its score, and whether it holds little of what was asked."""

    number: int
    score: int
    weak: bool


def rank(question: Question, index: Index, limit: int = 10) -> list[Hit]:
    """Return the best notes, the best first, ties by note number."""
    scores: dict[int, int] = {}
    held: dict[int, int] = {}
    impacts_of: dict[str, dict[int, int]] = {}
    wanted = {term for pair in question.neighbours for term in pair[:2]}
    asked = 0
    for term, weight in question.terms:
        numbers, impacts = index.postings(term)
        mass = weight * _rarity_steps(index.notes, max(1, len(numbers)))
        asked += mass
        for number, impact in zip(numbers, impacts, strict=True):
            scores[number] = scores.get(number, 0) + weight * impact
            held[number] = held.get(number, 0) + mass
        if term in wanted:
            impacts_of[term] = dict(zip(numbers, impacts, strict=True))
    for first, second, weight in question.neighbours:
        for number in index.neighbours(first, second):
            one, other = impacts_of[first][number], impacts_of[second][number]
            scores[number] += neighbours_bonus(weight, one, other)
    best = sorted(scores, key=lambda number: (-scores[number], number))[:limit]
    return [Hit(n, scores[n], held[n] * 100 < WEAK_SHARE * asked) for n in best]


def _rarity_steps(notes: int, holders: int) -> int:
    """Return how rare a term is in half powers of two, by whole numbers alone."""
    return (notes * notes // (holders * holders)).bit_length()
