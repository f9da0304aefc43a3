"""The one ranking: whole numbers, computed from what the index counts.

A term's impact in a note is its share of the note times its rarity, a whole number each:
the share, from 1 to 60, follows from how often the note holds the term and how long the
note is; the rarity, from 1 to 96, from how many notes hold it. A question's term counts
with a whole weight; a note's sum is that of the products, and more where two words that
follow each other in the question do so in the note's title. Shares belong to notes and
rarities to the collection, and neither is kept with the postings: a note that changes
leaves the postings of all others as they are. The page computes both with the same
arithmetic. A score is shown in units of 128, in which the rarest term scores up to 45 for
each time that it is asked for; ties of the sum go to the lower number.

The setting is one for every collection. It was chosen on the open half of the
test data (``tests/search-data``), by seven ways of asking it, and frozen.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass
from math import floor, log

__all__ = [
    "COUNTED",
    "LENGTH_SHARE",
    "LONGEST",
    "RAREST",
    "SATURATION",
    "SHARES",
    "UNIT",
    "Scale",
    "length_class",
    "length_steps",
    "neighbours_bonus",
    "question_weight",
    "rounded",
]

SHARES = 60
RAREST = 96
UNIT = 128  # of a sum make one of a score
SATURATION = 2.2  # k1
LENGTH_SHARE = 0.8  # b
LONGEST = 4095  # counts, and lengths in steps, are clamped here: both fit one posting
LENGTH_STEP = 8  # halves of a word in one step of a note's length
FIGURES = 3  # so many binary figures of a length count, so that a word more seldom does
COUNTED = 64  # times that a word is counted in a question
NEIGHBOURS = 3  # eighths of the two words' impacts


@dataclass(frozen=True, slots=True)
class Scale:
    """What the impacts of one collection depend on.

    Shape: ``notes`` is their number, ``length`` the sum of their lengths in steps.
    """

    notes: int
    length: int

    def rarity(self, holders: int) -> int:
        """Return how rare a term is that ``holders`` notes hold, from 1 to 96.

        Source: the inverse document frequency of Okapi BM25, as a share of the largest.
        """
        return max(1, floor(RAREST * self._rarity(holders) / self._rarity(1) + 0.5))

    def _rarity(self, holders: int) -> float:
        return log(1 + (self.notes - holders + 0.5) / (holders + 0.5))

    def rarities(self) -> list[int]:
        """Return the most holders that a term of rarity 96, 95, … 2 may have, rising."""
        holders = range(1, self.notes + 1)
        return [
            bisect_left(holders, 1 - rarity, key=lambda held: -self.rarity(held))
            for rarity in range(RAREST, 1, -1)
        ]

    def share(self, count: int, length: int) -> int:
        """Return how much of a note a term is, from 1 to 60.

        Units: ``count`` in halves of a word, ``length`` in steps.
        Source: Okapi BM25 with k1 2.2 and b 0.8.
        """
        typical = self.length / self.notes
        norm = 2 * SATURATION * (1 - LENGTH_SHARE + LENGTH_SHARE * length / typical)
        return max(1, floor(SHARES * count / (count + norm) + 0.5))

    def impact(self, count: int, length: int, holders: int) -> int:
        """Return the impact of a term in a note.

        Units: ``count`` in halves of a word, ``length`` in steps.
        """
        return self.share(count, length) * self.rarity(holders)


def question_weight(times: int) -> int:
    """Return the weight of a term said so many times in a question: 16 (1 + ln times)."""
    return floor(16 * (1 + log(min(times, COUNTED))) + 0.5)


def length_steps(halves: int) -> int:
    """Return a note's length in whole steps, at least one, to three binary figures."""
    return rounded(max(1, min(LONGEST, (halves + LENGTH_STEP // 2) // LENGTH_STEP)))


def rounded(number: int) -> int:
    """Return a whole number to three binary figures, what lies behind them dropped."""
    spare = max(0, number.bit_length() - FIGURES)
    return number >> spare << spare


def length_class(steps: int) -> int:
    """Return the place of a rounded length among all: small numbers, for the page."""
    spare = max(0, steps.bit_length() - FIGURES)
    return (spare << (FIGURES - 1)) + (steps >> spare)


def neighbours_bonus(weight: int, first: int, second: int) -> int:
    """Return what two neighbouring words with these impacts add to a note's sum."""
    return weight * (first + second) * NEIGHBOURS // 8
