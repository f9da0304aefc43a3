"""The one ranking: integer impacts, computed here and nowhere else.

A term's impact in a note is a whole number from 1 to 45; a question's term
counts with a whole weight; a note's score is the sum of the products. The
page's files carry the impacts as they are computed here, the bench computes
them from the same numbers with the same function. Ties go to the lower number.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import floor, log

__all__ = ["MOST", "Scale", "question_weight"]

MOST = 45
SATURATION = 1.6  # k1
LENGTH_SHARE = 0.65  # b
LONGEST = 4095  # counts and lengths are clamped here, so that both fit one posting


@dataclass(frozen=True, slots=True)
class Scale:
    """What the impacts of one collection depend on.

    Shape: ``notes`` is their number, ``length`` the sum of their lengths in terms.
    """

    notes: int
    length: int

    def rarity(self, holders: int) -> float:
        """Return the inverse document frequency of a term that ``holders`` notes hold."""
        return log(1 + (self.notes - holders + 0.5) / (holders + 0.5))

    def impact(self, count: int, length: int, holders: int) -> int:
        """Return the impact of a term: ``count`` times in a note of ``length`` terms.

        Source: Okapi BM25 with k1 1.6 and b 0.65, scaled so that the rarest
        possible term with endless repetition would reach 45.
        """
        typical = self.length / self.notes
        norm = SATURATION * (1 - LENGTH_SHARE + LENGTH_SHARE * length / typical)
        share = count / (count + norm) * self.rarity(holders) / self.rarity(1)
        return max(1, min(MOST, floor(MOST * share + 0.5)))


def question_weight(times: int) -> int:
    """Return the weight of a term said so many times in a question: 16 (1 + ln times)."""
    return floor(16 * (1 + log(times)) + 0.5)
