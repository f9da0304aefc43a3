"""Where every term stands: the notes of a shelf the other way round, brought up to date by note.

A posting is one whole number, the note's number above twelve bits of its count, so that
sorted postings are in the order of the notes; a posting of a title has a bit for each
place. Postings of terms that nothing touches need not be at hand: they are fetched when
somebody asks for them.
"""

from __future__ import annotations

from array import array
from bisect import bisect_left, insort
from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

from kbgen.search.documents import Facet, Notes
from kbgen.search.entries import TITLE_PLACES, Entry
from kbgen.search.lexicon import LETTERS
from kbgen.search.ranking import LONGEST, length_steps

__all__ = ["COUNT_BITS", "NOTHING", "Inverted", "Posted"]

COUNT_BITS = LONGEST.bit_length()
NOTHING = Entry()


def _held() -> array[int]:
    return array("I")


def _titled() -> array[int]:
    return array("Q")


@dataclass(slots=True)
class Posted:
    """The postings of one term.

    Shape: ``held`` are whole numbers of 32 bits, ``titled`` of 64, both rising.
    """

    held: array[int] = field(default_factory=_held)
    titled: array[int] = field(default_factory=_titled)

    def numbers(self) -> list[int]:
        """Return the numbers of the notes that hold the term."""
        return [posting >> COUNT_BITS for posting in self.held]

    def counts(self) -> list[int]:
        """Return how much of the term each of them holds, in halves of a word."""
        return [posting & LONGEST for posting in self.held]

    def places(self) -> list[tuple[int, int]]:
        """Return the numbers of the notes that have the term in their title, and where, in bits."""
        most = (1 << TITLE_PLACES) - 1
        return [(posting >> TITLE_PLACES, posting & most) for posting in self.titled]


def _not_kept(_: str) -> Posted:
    """Return the postings of a term that was not there before."""
    return Posted()


@dataclass(slots=True)
class Inverted:
    """The terms, words and facets of notes that are exchanged one by one.

    Shape: ``holders`` says of every term how many notes hold it; ``lengths`` are those of
    the notes in steps; ``words`` are said, of letters alone, with how often notes and names
    say each; ``stems`` are those of the words; ``facets`` hold the numbers of their notes;
    ``touched`` are the terms whose postings were changed.
    """

    fetch: Callable[[str], Posted] = _not_kept
    posted: dict[str, Posted] = field(default_factory=dict)
    holders: dict[str, int] = field(default_factory=dict)
    lengths: dict[int, int] = field(default_factory=dict)
    words: Counter[str] = field(default_factory=Counter)
    stems: dict[str, str] = field(default_factory=dict)
    facets: dict[Facet, array[int]] = field(default_factory=dict)
    touched: set[str] = field(default_factory=set)

    @classmethod
    def of(cls, notes: Notes, numbers: Iterable[int] | None = None) -> Inverted:
        """Return the notes with these numbers, or all of a shelf."""
        whole = cls()
        for number in notes.keys if numbers is None else numbers:
            whole.exchange(number, NOTHING, notes.entry(number))
            whole.file(number, (), notes.shown(number).facets)
        whole.settle()
        return whole

    def exchange(self, number: int, old: Entry, new: Entry) -> None:
        """Put what is held of a note in the place of what was; what is alike stays untouched.

        Shape: an empty entry stands for a note that is not there.
        """
        before, after = old.counts(), new.counts()
        changed = after
        if before:
            changed = {term: count for term, count in after.items() if before.get(term) != count}
            stale = before.keys() & changed.keys() | before.keys() - after.keys()
            self.touched.update(stale)
            for term in stale:
                _remove(self.look(term).held, number, COUNT_BITS)
        self.touched.update(changed)
        self._post(number, changed)
        self._title(number, old, new)
        self._say(old, new)
        self.lengths[number] = length_steps(sum(after.values()))
        if new is NOTHING:
            del self.lengths[number]

    def _post(self, number: int, counts: dict[str, int]) -> None:
        """Put in the postings of a note; written out, since there is no end of them."""
        known = self.posted
        above = number << COUNT_BITS
        for term, count in counts.items():
            one = known.get(term)
            held = self.look(term).held if one is None else one.held
            posting = above | (count if count < LONGEST else LONGEST)  # noqa: FURB136 - quicker
            if held and held[-1] > posting:
                insort(held, posting)
            else:
                held.append(posting)

    def _title(self, number: int, old: Entry, new: Entry) -> None:
        """Put the places of terms in a title in the place of what they were."""
        before, after = old.title_places(), new.title_places()
        for term in before.keys() | after.keys():
            if before.get(term) != after.get(term):
                self.touched.add(term)
                titled = self.look(term).titled
                _remove(titled, number, TITLE_PLACES)
                if term in after:
                    _put(titled, number << TITLE_PLACES | after[term])

    def file(self, number: int, old: tuple[Facet, ...], new: tuple[Facet, ...]) -> None:
        """Put a note under its facets, and under the old ones no more."""
        for facet in old:
            if facet not in new:
                _remove(self.facets[facet], number, 0)
        for facet in new:
            if facet not in old:
                _put(self.facets.setdefault(facet, array("I")), number)

    def settle(self) -> None:
        """Drop what no note holds any more, count the holders, and put all in order."""
        for term in self.touched:
            held = len(self.posted[term].held)
            if held:
                self.holders[term] = held
            else:
                del self.posted[term]
                self.holders.pop(term, None)
        self.holders = dict(sorted(self.holders.items()))
        self.lengths = dict(sorted(self.lengths.items()))
        said = sorted(word for word, held in self.words.items() if held and LETTERS.fullmatch(word))
        self.words = Counter({word: self.words[word] for word in said})
        self.stems = {word: self.stems[word] for word in self.words}
        self.facets = {facet: held for facet, held in sorted(self.facets.items()) if held}

    def look(self, term: str) -> Posted:
        """Return the postings of a term."""
        posted = self.posted.get(term)
        if posted is None:
            posted = self.posted[term] = self.fetch(term)
        return posted

    def _say(self, old: Entry, new: Entry) -> None:
        """Count the words of a note anew."""
        for word in old.words.split():
            if word in self.words:
                self.words[word] -= 1
        said = new.words.split()
        self.words.update(said)
        self.stems.update(zip(said, new.stems.split(), strict=True))


def _put(postings: array[int], posting: int) -> None:
    """Put in a posting."""
    if not postings or postings[-1] < posting:
        postings.append(posting)
    else:
        insort(postings, posting)


def _remove(postings: array[int], number: int, bits: int) -> None:
    """Remove the posting of a note, if it is there."""
    at = bisect_left(postings, number << bits)
    if at < len(postings) and postings[at] >> bits == number:
        del postings[at]
