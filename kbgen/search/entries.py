"""What the indexes hold of a note: its terms counted, once for both of them.

What a note's own file says is counted while the file is read and stays with it; the names
of its families, parts and headings are counted once each and added, since counts add up.
"""

from __future__ import annotations

from array import array
from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import NamedTuple

from kbgen.search.analysis import STOP_WORDS, stem, words
from kbgen.search.quantities import quantity_terms

__all__ = [
    "TITLE_PLACES",
    "WORD_HALVES",
    "Counted",
    "Entry",
    "count_names",
    "count_text",
    "entry_of",
]

WORD_HALVES, LEAD_HALVES, NAME_HALVES, TITLE_HALVES = 2, 3, 4, 10
LEAD = 20  # the first terms of a body tell what it is about
TITLE_PLACES = 24
MOST_HALVES = 1 << 24  # of one word of one note


class Counted(NamedTuple):
    """A text counted word by word.

    Shape: ``words`` are those that are no stop words, each once, in the order said, with
    spaces between them, ``stems`` beside them; ``halves`` are those of a word for each of
    the stems once, in order, a byte each or, where that is too little, 32 bits; ``title``
    are the terms of a title in order.
    """

    words: str
    stems: str
    halves: bytes
    title: str = ""

    def counts(self) -> dict[str, int]:
        """Return how much of each term the text holds, in halves of a word."""
        terms = dict.fromkeys(self.stems.split())
        code = "B" if len(self.halves) == len(terms) else "I"
        return dict(zip(terms, array(code, self.halves), strict=True))


class Entry(NamedTuple):
    """What the indexes hold of one note.

    Shape: ``terms`` with ``~`` between them, ``halves`` beside them as whole numbers of 32
    bits: halves of a word; ``title`` are the terms of the title in order, so far as neighbours
    in it are looked for; ``words`` is what is said, without stop words, each once for the
    note itself and for every name, ``stems`` beside them, all three with spaces between them.
    """

    terms: str = ""
    halves: bytes = b""
    title: str = ""
    words: str = ""
    stems: str = ""

    def counts(self) -> dict[str, int]:
        """Return how much of each term the note holds, in halves of a word."""
        return dict(zip(self.terms.split("~"), array("I", self.halves), strict=False))

    def title_places(self) -> dict[str, int]:
        """Return at which places of the title each of its terms stands, a bit for each."""
        places: dict[str, int] = {}
        for place, term in enumerate(self.title.split()):
            places[term] = places.get(term, 0) | 1 << place
        return places

    def length(self) -> int:
        """Return how much the note holds of all terms, in halves of a word."""
        return sum(array("I", self.halves))


def count_text(title: str, body: str) -> Counted:
    """Count a title, whose words count five times, and a body, whose first words count more."""
    halves: dict[str, int] = {}
    titled = []
    for word in words(title):
        if word not in STOP_WORDS:
            halves[word] = halves.get(word, 0) + TITLE_HALVES
            titled.append(stem(word))
    said = [word for word in words(body) if word not in STOP_WORDS]
    for word in said[:LEAD]:
        halves[word] = halves.get(word, 0) + LEAD_HALVES
    for word in said[LEAD:]:
        halves[word] = halves.get(word, 0) + WORD_HALVES
    return _counted(halves, titled[:TITLE_PLACES])


def count_names(names: str) -> Counted:
    """Count the names of a family, a part or a heading, whose words count twice."""
    halves: dict[str, int] = {}
    for word in words(names):
        if word not in STOP_WORDS:
            halves[word] = halves.get(word, 0) + NAME_HALVES
    return _counted(halves)


def _counted(halves: dict[str, int], title: Sequence[str] = ()) -> Counted:
    stems = [stem(word) for word in halves]
    counts: dict[str, int] = {}
    for term, count in zip(stems, halves.values(), strict=True):
        counts[term] = min(MOST_HALVES, counts.get(term, 0) + count)
    code = "B" if max(counts.values(), default=0) < 256 else "I"
    held = array(code, counts.values()).tobytes()
    return Counted(" ".join(halves), " ".join(stems), held, " ".join(title))


def entry_of(own: Counted, names: Iterable[Counted], stated: Iterable[str]) -> Entry:
    """Put together what a note says itself, the names that it stands under, and its figures.

    Shape: ``stated`` are canonical threads and torques, each once; a term of one counts
    twice.
    """
    counts = own.counts()
    said, stems = [own.words], [own.stems]
    for name in names:
        said.append(name.words)
        stems.append(name.stems)
        for term, halves in name.counts().items():
            counts[term] = counts.get(term, 0) + halves
    for figure in stated:
        for term in _figure_terms(figure):
            counts[term] = counts.get(term, 0) + NAME_HALVES
    held = array("I", counts.values()).tobytes()
    return Entry("~".join(counts), held, own.title, " ".join(said), " ".join(stems))


_figure_terms = lru_cache(maxsize=20_000)(quantity_terms)
