"""A question becomes weighted terms.

What was said plainly counts in full. A word that no note holds is taken for the
words that its letters begin, when it is the last and half typed, else for those
one slip of the finger away, else for two words written as one; a word one slip from
a stop word is taken for that, and left out, unless two letters were exchanged. All arithmetic is
on whole numbers, and the page's script does the same.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import pairwise
from typing import Protocol

from kbgen.search.analysis import STOP_WORDS, fold, plain_terms, stem, words
from kbgen.search.documents import Widening
from kbgen.search.lexicon import HEAD, LETTERS, SHORTEST, Lexicon, near
from kbgen.search.quantities import ATOM, Reading, read_quantities
from kbgen.search.ranking import question_weight

__all__ = ["Index", "Question", "Widened", "ask"]

FULL = 16
WIDENED = 8  # of 16: what the vocabulary adds
GUESSED = 12  # of 16: each of several terms that a word no note holds was taken for
JOINED = 8  # of 16: two words of the question that the notes write as one
BEGUN = 3  # so many terms at most stand for a half-typed word
SLIPPED = 2  # and so many for a slipped one
PART = 3  # letters at least of each of two words written as one
STOPS_THAT_SLIP = sorted(word for word in STOP_WORDS if len(word) >= SHORTEST)


class Index(Protocol):
    """What questions and the ranking ask of an index."""

    @property
    def notes(self) -> int:
        """The number of notes."""

    @property
    def lexicon(self) -> Lexicon:
        """The words of the notes, stop words left out."""

    def holders(self, term: str) -> int:
        """Return how many notes hold the term."""

    def postings(self, term: str) -> tuple[Sequence[int], Sequence[int]]:
        """Return the numbers of the notes that hold the term, and its impacts in them."""

    def neighbours(self, first: str, second: str) -> Sequence[int]:
        """Return the numbers of the notes in whose titles the second term follows the first."""


@dataclass(frozen=True, slots=True)
class Widened:
    """What was looked for beside the words said: for ``said``, ``also``."""

    said: str
    also: str

    def __str__(self) -> str:
        return f"{self.also} (for “{self.said}”)"


@dataclass(frozen=True, slots=True)
class Question:
    """A question as the ranking takes it.

    Shape: ``terms`` are the terms with their whole weights, in the order in which
    they were first said; ``neighbours`` are the pairs of terms that follow each
    other, with weights; ``threads`` are the pair terms of the threads in it;
    ``alternatives`` says of how many guesses a guessed term is one.
    """

    text: str
    terms: tuple[tuple[str, int], ...]
    neighbours: tuple[tuple[str, str, int], ...] = ()
    widened: tuple[Widened, ...] = ()
    threads: tuple[str, ...] = ()
    alternatives: Mapping[str, int] = field(default_factory=dict)


def ask(
    text: str,
    index: Index,
    widenings: Sequence[Widening] = (),
    paged: frozenset[str] = frozenset(),
) -> Question:
    """Read a question: count its words, read its threads, mend its slips, widen it.

    Shape: ``paged`` are the terms of the threads that have a page of their own.
    """
    readings = [
        reading
        for reading in read_quantities(text)
        if any(term in paged or index.holders(term) for term in reading.terms)
    ]
    said = _plain_words(text, readings)
    counts = Counter(stem(word) for word in said)
    for reading in readings:
        counts.update(reading.terms)
    weights = {term: question_weight(times) for term, times in counts.items()}
    widened: list[Widened] = []
    joined = _join(words(text), index, weights)
    alternatives: dict[str, int] = {}
    known = joined | {word for word in said if stem(word) in _lay_terms(tuple(widenings))}
    order = _mend(text, said, known, index, weights, widened, alternatives)
    for pair in widenings:
        found = _widening(pair, order)
        if found:
            widened.append(found)
            for term in plain_terms(found.also):
                weights.setdefault(term, WIDENED)
    pairs = Counter(pair for pair in pairwise(order) if pair[0] != pair[1])
    return Question(
        text,
        tuple(weights.items()),
        tuple((a, b, question_weight(times)) for (a, b), times in pairs.items()),
        tuple(widened),
        tuple(reading.pair for reading in readings if reading.pair),
        alternatives,
    )


@lru_cache(maxsize=4)
def _lay_terms(widenings: tuple[Widening, ...]) -> frozenset[str]:
    """Return the terms of all lay words: they are no slips, even where no note holds them."""
    return frozenset(
        term for pair in widenings for phrase in pair.lay for term in plain_terms(phrase)
    )


def _plain_words(text: str, readings: Sequence[Reading]) -> list[str]:
    """Return the words that are neither stop words nor said as part of a quantity."""
    spoken = {word for reading in readings for word in reading.spoken}
    return [
        word
        for word in words(text)
        if word not in STOP_WORDS
        and not (spoken and all(part in spoken for part in ATOM.findall(word)))
    ]


def _join(said: Sequence[str], index: Index, weights: dict[str, int]) -> set[str]:
    """Add what the notes write as one word; return the words that were no words alone."""
    halves: set[str] = set()
    for first, second in pairwise(said):
        whole = stem(first + second)
        if len(first) + len(second) <= SHORTEST or not LETTERS.fullmatch(first + second):
            continue
        if whole in weights or not index.holders(whole):
            continue
        alone = [w for w in (first, second) if w in STOP_WORDS or not index.holders(stem(w))]
        halves.update(alone)
        weights[whole] = GUESSED if alone else JOINED
    return halves


def _mend(
    text: str,
    said: Sequence[str],
    known: set[str],
    index: Index,
    weights: dict[str, int],
    widened: list[Widened],
    alternatives: dict[str, int],
) -> list[str]:
    """Add what unknown words were meant for; return the terms in the order said.

    Shape: ``known`` are the words that no note holds and that mean something all the same.
    """
    order = []
    meant: dict[str, dict[str, str]] = {}
    open_end = bool(re.search(r"[a-z0-9]$", fold(text)))
    for place, word in enumerate(said):
        term = stem(word)
        if word not in meant and not index.holders(term) and word not in known:
            last = open_end and place == len(said) - 1
            meant[word] = guesses = _guess(word, last, index)
            share = FULL if len(guesses) == 1 else GUESSED
            weight = weights.pop(term, FULL) if guesses else 0
            for guess in guesses:
                alternatives[guess] = len(guesses) if share < FULL else 1
                weights[guess] = max(weights.get(guess, 0), weight * share // FULL)
            if guesses:
                widened.append(Widened(word, " / ".join(guesses.values())))
        order.append(next(iter(meant.get(word, ())), term))
    return order


def _guess(word: str, last: bool, index: Index) -> dict[str, str]:
    """Return the terms that a word no note holds may stand for, the likeliest first.

    Shape: each term with a word of the notes that it is the stem of.
    """
    if not LETTERS.fullmatch(word):
        return {}
    if last and len(word) >= HEAD:
        begun = _likeliest(index.lexicon.beginning(word), index, BEGUN)
        if begun:
            return begun
    if len(word) >= SHORTEST:
        found = index.lexicon.near(word)
        swapped = [other for other in found if sorted(other) == sorted(word)]
        if not swapped and any(near(word, other) for other in STOPS_THAT_SLIP):
            return {}
        if not found and len(stem(word)) >= SHORTEST:
            found = index.lexicon.near(stem(word))
        slipped = _likeliest(swapped or found, index, SLIPPED)
        if slipped:
            return slipped
    for at in range(PART, len(word) - PART + 1):
        parts = {stem(part): part for part in (word[:at], word[at:])}
        if all(map(index.holders, parts)):
            return parts
    return {}


def _likeliest(said: Iterable[str], index: Index, limit: int) -> dict[str, str]:
    """Return the terms of the words, those that most notes hold first, with a word of each."""
    words_of: dict[str, str] = {}
    for word in sorted(said):
        words_of.setdefault(stem(word), word)
    ranked = sorted(words_of, key=lambda term: (-index.holders(term).bit_length(), term))
    return {term: words_of[term] for term in ranked[:limit]}


def _widening(pair: Widening, order: Sequence[str]) -> Widened | None:
    """Return what a vocabulary pair adds to a question of these terms, if anything.

    Lay words lead to all trade words; a trade word leads to the others that mean the same.
    """
    for said in (pair.lay, pair.trade):
        for phrase in said:
            others = [other for other in pair.trade if other != phrase]
            if others and _holds(order, plain_terms(phrase)):
                return Widened(phrase, " / ".join(others))
    return None


def _holds(order: Sequence[str], phrase: Sequence[str]) -> bool:
    """Tell whether the phrase stands in the terms, its words next to each other."""
    size = len(phrase)
    return size > 0 and any(
        list(order[at : at + size]) == list(phrase) for at in range(len(order) - size + 1)
    )
