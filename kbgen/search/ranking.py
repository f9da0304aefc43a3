"""The one ranking: integer impacts, computed here and nowhere else.

A term's impact in a note is a whole number from 1 to 45; a question's term
counts with a whole weight; a note's score is the sum of the products, and more
where two words that follow each other in the question do so in the note's title.
The page's files carry the impacts as they are computed here, the bench computes
them from the same numbers with the same function. Ties go to the lower number.

The setting is one for every collection. It was chosen on the open half of the
test data (``tests/search-data``), by seven ways of asking it, and frozen.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import floor, log

__all__ = [
    "COUNTED",
    "LONGEST",
    "MOST",
    "Scale",
    "length_steps",
    "neighbours_bonus",
    "question_weight",
]

MOST = 45
SATURATION = 2.2  # k1
LENGTH_SHARE = 0.8  # b
LONGEST = 4095  # counts, and lengths in steps, are clamped here: both fit one posting
LENGTH_STEP = 8  # halves of a word in one step of a note's length
COUNTED = 64  # times that a word is counted in a question
NEIGHBOURS = 3  # eighths of the two words' impacts


@dataclass(frozen=True, slots=True)
class Scale:
    """What the impacts of one collection depend on.

    Shape: ``notes`` is their number, ``length`` the sum of their lengths in steps.
    """

    notes: int
    length: int

    def rarity(self, holders: int) -> float:
        """Return the inverse document frequency of a term that ``holders`` notes hold."""
        return log(1 + (self.notes - holders + 0.5) / (holders + 0.5))

    def impact(self, count: int, length: int, holders: int) -> int:
        """Return the impact of a term in a note.

        Units: ``count`` in halves of a word, ``length`` in steps.
        Source: Okapi BM25 with k1 2.2 and b 0.8, scaled so that the rarest
        possible term with endless repetition would reach 45.
        """
        typical = self.length / self.notes
        norm = 2 * SATURATION * (1 - LENGTH_SHARE + LENGTH_SHARE * length / typical)
        share = count / (count + norm) * self.rarity(holders) / self.rarity(1)
        return max(1, min(MOST, floor(MOST * share + 0.5)))


def question_weight(times: int) -> int:
    """Return the weight of a term said so many times in a question: 16 (1 + ln times)."""
    return floor(16 * (1 + log(min(times, COUNTED))) + 0.5)


def length_steps(halves: int) -> int:
    """Return a note's length in whole steps, at least one."""
    return max(1, min(LONGEST, (halves + LENGTH_STEP // 2) // LENGTH_STEP))


def neighbours_bonus(weight: int, first: int, second: int) -> int:
    """Return what two neighbouring words with these impacts add to a note's score."""
    return weight * (first + second) * NEIGHBOURS // 8
