"""Which questions ask the same: a measure, and the threshold from which two do.

The measure, in plain words. Two questions are alike in their words and in their answers.
In words: the cosine of their terms, trade words counted for the lay words they widen to,
each term weighing more the fewer questions and notes have it. In answers: the cosine of
what speaks for each note that may answer, the fourth power of its evidence, so that the
first note counts most. Either alone can carry it: likeness is 1 - (1 - words)(1 - answers
/ 2). Where no note fits either of them the words count double, where one fits only one
of them the answers count less, and two machines that are not the same make two questions.

The figures were set on the groups of ``tests/unit/desk/questions.yaml`` whose first
question has an odd id and stand for the others: see ``tests/unit/desk/test_alike.py``.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from math import log, sqrt
from typing import TypeVar

from kbgen.checks import Checked
from kbgen.desk.matching import Asked, Matcher
from kbgen.desk.matching_words import without_courtesies
from kbgen.search import Bench, analyse

__all__ = ["SAME", "Alike", "Likeness"]

K = TypeVar("K", int, str)

SAME = 0.49
"""From this likeness on two questions ask the same."""

ANSWERS = 0.5  # how far like answers alone carry
SHARPNESS = 4  # power of the evidence
ALONE = 2  # times the words where no note fits either
ALONE_ANSWERS = 0.3
MIXED = 0.7  # times the answers where a note fits only one of the two
OTHER_MACHINE = 0.6


@dataclass(frozen=True, slots=True)
class Likeness:
    """The earlier question that is most like one, and how like, from 0 to 1."""

    number: int
    likeness: float


@dataclass(frozen=True, slots=True)
class _Seen:
    """A question as it is compared: its terms, the evidence by note, its machines."""

    terms: Mapping[str, int]
    evidence: Mapping[int, float]
    families: frozenset[str]
    answered: bool


class Alike:
    """Questions one after another, each compared with those before it."""

    def __init__(self, checked: Checked, bench: Bench) -> None:
        self._matcher = Matcher(checked, bench)
        self._seen: dict[int, _Seen] = {}
        self._last: tuple[Asked, _Seen] | None = None
        self._texts = 0
        self._having: Counter[str] = Counter()
        for note in checked.published:
            self._count(" ".join([note.front.title, *note.front.symptom, note.body]))

    def add(self, number: int, asked: Asked) -> None:
        """Remember a question, so that later ones are compared with it."""
        self._seen[number] = seen = self._see(asked)
        self._texts += 1
        self._having.update(seen.terms.keys())

    def nearest(self, asked: Asked) -> Likeness | None:
        """Return the remembered question that is most like one, None where there is none.

        Shape: of equals the one with the smallest number.
        """
        new = self._see(asked)
        found = [(-self._likeness(new, seen), number) for number, seen in self._seen.items()]
        if not found:
            return None
        likeness, number = min(found)
        return Likeness(number, -likeness)

    def _count(self, text: str) -> None:
        self._texts += 1
        self._having.update(set(analyse(text)))

    def _see(self, asked: Asked) -> _Seen:
        """Return a question as it is compared; the last one is kept."""
        if self._last is None or self._last[0] != asked:
            self._last = asked, self._looked_at(asked)
        return self._last[1]

    def _looked_at(self, asked: Asked) -> _Seen:
        match = self._matcher.match(asked)
        terms = Counter(analyse(without_courtesies(asked.words)))
        for trade_words in match.also:
            terms.update(set(analyse(trade_words)))
        evidence = {
            one.note.number: float(one.evidence**SHARPNESS)
            for one in match.candidates or match.nearest
        }
        return _Seen(terms, evidence, frozenset(asked.families), bool(match.candidates))

    def _likeness(self, one: _Seen, other: _Seen) -> float:
        words = _cosine(self._weighed(one.terms), self._weighed(other.terms))
        answers = _cosine(one.evidence, other.evidence)
        share = ANSWERS
        if not one.answered and not other.answered:
            words, share = min(1.0, ALONE * words), ALONE_ANSWERS
        elif one.answered != other.answered:
            answers *= MIXED
        likeness = 1 - (1 - words) * (1 - share * answers)
        apart = one.families and other.families and not one.families & other.families
        return likeness * (OTHER_MACHINE if apart else 1)

    def _weighed(self, terms: Mapping[str, int]) -> dict[str, float]:
        """Return terms with their weights: logarithmic counts, rare ones heavier."""
        return {
            term: (1 + log(times)) * log(1 + (self._texts + 1) / (self._having[term] + 0.5))
            for term, times in terms.items()
        }


def _cosine(one: Mapping[K, float], other: Mapping[K, float]) -> float:
    """Return the cosine of two sparse vectors whose parts are not negative."""
    if not one or not other:
        return 0.0
    product = sum(weight * other.get(name, 0.0) for name, weight in one.items())
    mass = sqrt(sum(w * w for w in one.values()) * sum(w * w for w in other.values()))
    return min(1.0, product / mass) if mass else 0.0
