"""The terms of all notes as they were after the last build, brought up to what they are now.

What a note holds is kept under the note's key, the postings in the pieces that the page's
files are cut in. Only notes with a new key are looked at, and only the pieces that their
terms stand in are read and written. Whatever is missing or damaged sets everything to be
counted anew: nothing is ever mended.
"""

from __future__ import annotations

from array import array
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from kbgen.kept import Record, Store, Unpackable, pack, program_digest, unpack
from kbgen.search.cuts import piece_alone, piece_of
from kbgen.search.documents import KEY, Facet, Notes, digest
from kbgen.search.entries import Entry
from kbgen.search.inverted import NOTHING, Inverted, Posted

__all__ = ["KeptTerms", "Lost"]

_INDEX, _NOTES, _POSTINGS = "find", "find notes", "find postings"
_TOGETHER = 256  # notes are kept in lots of so many, so that no other process waits for long


NO_FACETS: tuple[Facet, ...] = ()


class Lost(Exception):
    """What should have been kept is not there: all has to be counted anew."""


@dataclass(frozen=True, slots=True)
class _Before:
    """What is kept of the last build beside notes and postings.

    Shape: numbers, keys and lengths of notes, terms and their holders, words with stems
    and counts stand in columns beside each other; ``pieces`` has the key of each piece of
    the postings by its name, ``files`` the key and the SHA-256 of each file.
    """

    numbers: array[int]
    keys: bytes
    lengths: array[int]
    terms: str
    holders: array[int]
    words: str
    stems: str
    counts: array[int]
    facets: dict[Facet, array[int]]
    buckets: int
    pieces: dict[str, bytes]
    files: dict[str, tuple[bytes, str]]


@dataclass
class KeptTerms:
    """The terms of all notes, with what is known of the files that were made of them.

    Shape: ``files`` has the key and the SHA-256 of each file as it was made the last time,
    ``made`` as it is now; both by path.
    """

    notes: Notes
    terms: Inverted
    files: dict[str, tuple[bytes, str]] = field(default_factory=dict)
    made: dict[str, tuple[bytes, str]] = field(default_factory=dict)
    _store: Store | None = None
    _buckets: int = 1
    _pieces: dict[str, bytes] = field(default_factory=dict)
    _now: dict[str, bytes] = field(default_factory=dict)
    _fresh: list[tuple[str, Record]] = field(default_factory=list)

    @property
    def counted_anew(self) -> bool:
        """Whether the postings of all terms are at hand."""
        return not self._pieces

    @classmethod
    def grown(cls, notes: Notes, store: Store) -> KeptTerms:
        """Return the terms of notes, worked out from those of the last build.

        Raises: Lost where something that was kept cannot be read.
        """
        before = _read(store)
        keys = before.keys
        held = {number: keys[at * KEY : at * KEY + KEY] for at, number in enumerate(before.numbers)}
        old = cls(notes, _inverted(before), before.files, {}, store, before.buckets, before.pieces)
        old.terms.fetch = old._fetch
        wanted = notes.keys
        numbers = sorted(held.keys() | wanted.keys())
        for number in numbers:
            if held.get(number) != wanted.get(number):
                old._exchange(number, held.get(number))
        old._keep_notes()
        old.terms.settle()
        return old

    @classmethod
    def anew(cls, notes: Notes, store: Store | None) -> KeptTerms:
        """Return the terms of notes, counted one after the other."""
        new = cls(notes, Inverted(), {}, {}, store)
        for number in notes.keys:
            new._exchange(number, None)
        new.terms.settle()
        if store:
            new._keep_notes()
            store.forget(_NOTES, set(store.names(_NOTES)) - {str(number) for number in notes.keys})
        return new

    def _exchange(self, number: int, old_key: bytes | None) -> None:
        """Take a note as it is now for what is kept of it."""
        new_key = self.notes.keys.get(number)
        entry, facets = self._kept_note(number, old_key) if old_key else (NOTHING, NO_FACETS)
        fresh, now = NOTHING, NO_FACETS
        if new_key is None:
            if self._store:
                self._store.forget(_NOTES, [str(number)])
        else:
            fresh, now = self.notes.entry(number), self.notes.shown(number).facets
            if self._store:
                self._fresh.append((str(number), Record(new_key, pack((fresh, now)))))
        self.terms.exchange(number, entry, fresh)
        self.terms.file(number, facets, now)
        if len(self._fresh) >= _TOGETHER:
            self._keep_notes()

    def _kept_note(self, number: int, key: bytes) -> tuple[Entry, tuple[Facet, ...]]:
        record = self._store.record(_NOTES, str(number)) if self._store else None
        if record is None or record.key != key:
            raise Lost
        entry, facets = _unpacked(record.data)
        return entry, facets

    def _keep_notes(self) -> None:
        if self._store:
            self._store.keep(_NOTES, self._fresh)
        self._fresh.clear()

    def _fetch(self, term: str) -> Posted:
        """Return the postings of a term as they were kept, and take those beside it along."""
        if term not in self.terms.holders:
            return Posted()
        home = self._home(term)
        record = self._store.record(_POSTINGS, home) if self._store else None
        if record is None or record.key != self._pieces.get(home):
            raise Lost
        for other, posted in _postings(record.data):
            self.terms.posted.setdefault(other, posted)
        if term not in self.terms.posted:
            raise Lost
        return self.terms.posted[term]

    def _home(self, term: str) -> str:
        """Return the name of the piece in which a term was kept."""
        alone = piece_alone(term)
        return alone if alone in self._pieces else piece_of(term, self._buckets)

    @cached_property
    def _stirred(self) -> frozenset[str]:
        """The pieces that something was changed in."""
        touched = self.terms.touched
        homes = {self._home(term) for term in touched}
        return frozenset(homes | {piece_of(term, self._buckets) for term in touched})

    def untouched(self, piece: str, buckets: int) -> bool:
        """Return whether a piece of the postings is the one from before.

        Shape: ``buckets`` is how many there are now.
        """
        return buckets == self._buckets and piece in self._pieces and piece not in self._stirred

    def keep_piece(self, piece: str, terms: Sequence[str], buckets: int) -> bytes:
        """Keep a piece of the postings, where it is not the one from before; return its key."""
        if self.untouched(piece, buckets):
            self._now[piece] = self._pieces[piece]
        else:
            data = _packed((term, self.terms.look(term)) for term in terms)
            self._now[piece] = digest(data)
            self._fresh.append((piece, Record(self._now[piece], data)))
            if len(self._fresh) >= _TOGETHER:
                self._keep_pieces()
        return self._now[piece]

    def _keep_pieces(self) -> None:
        if self._store:
            self._store.keep(_POSTINGS, self._fresh)
        self._fresh.clear()

    def finish(self, buckets: int) -> None:
        """Keep what the next build goes on from. Shape: ``buckets`` is how many there are."""
        if not self._store:
            return
        self._keep_pieces()
        whole = self.terms
        before = _Before(
            array("I", self.notes.keys),
            b"".join(self.notes.keys.values()),
            array("I", whole.lengths.values()),
            "~".join(whole.holders),
            array("I", whole.holders.values()),
            " ".join(whole.words),
            " ".join(whole.stems.values()),
            array("I", whole.words.values()),
            whole.facets,
            buckets,
            self._now,
            self.made,
        )
        self._store.keep(_INDEX, [("terms", Record(program_digest(), pack(before)))])
        self._store.forget(_POSTINGS, set(self._pieces) - set(self._now))


def _read(store: Store) -> _Before:
    record = store.record(_INDEX, "terms")
    if record is None or record.key != program_digest():
        raise Lost
    found = _unpacked(record.data)
    if not isinstance(found, _Before):
        raise Lost
    return found


def _unpacked(data: bytes) -> Any:
    try:
        return unpack(data)
    except Unpackable:
        raise Lost from None


def _inverted(before: _Before) -> Inverted:
    """Return the columns as they are worked with."""
    words = before.words.split()
    return Inverted(
        holders=dict(zip(_split(before.terms), before.holders, strict=True)),
        lengths=dict(zip(before.numbers, before.lengths, strict=True)),
        words=Counter(dict(zip(words, before.counts, strict=True))),
        stems=dict(zip(words, before.stems.split(), strict=True)),
        facets=before.facets,
    )


def _split(terms: str) -> list[str]:
    return terms.split("~") if terms else []


def _packed(posted: Iterable[tuple[str, Posted]]) -> bytes:
    """Return a piece of the postings as bytes: its terms, and two columns of all their postings."""
    terms, sizes, held, titled = [], array("I"), array("I"), array("Q")
    for term, one in posted:
        terms.append(term)
        sizes.extend((len(one.held), len(one.titled)))
        held.extend(one.held)
        titled.extend(one.titled)
    return pack(("~".join(terms), sizes, held, titled))


def _postings(data: bytes) -> Iterator[tuple[str, Posted]]:
    terms, sizes, held, titled = _unpacked(data)
    at = titled_at = 0
    for number, term in enumerate(_split(terms)):
        more, titled_more = sizes[2 * number], sizes[2 * number + 1]
        ours = titled[titled_at : titled_at + titled_more]
        yield term, Posted(held[at : at + more], ours)
        at, titled_at = at + more, titled_at + titled_more
