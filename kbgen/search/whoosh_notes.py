"""The notes in a Whoosh index, brought up to date and asked.

The impacts follow from what each posting packs of its note and from what the whole index
says when it is asked. A note that changed is replaced alone, and a live count of holders
is exact whatever was deleted. This module and ``whoosh_segments`` hold every Whoosh call
of the program.

Source: Whoosh 2.7 (Whoosh-Reloaded 2.7.5).
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from functools import cached_property, partial
from itertools import accumulate
from pathlib import Path
from typing import Any

from whoosh.reading import TermNotFound
from whoosh.scoring import BaseScorer, WeightingModel
from whoosh.util.filelock import try_for
from whoosh.writing import SegmentWriter

from kbgen.kept import in_order, program_digest, worth_sharing
from kbgen.search.documents import Notes
from kbgen.search.held import HELD, Held, laid_together
from kbgen.search.inverted import Inverted
from kbgen.search.lexicon import Lexicon
from kbgen.search.ranking import UNIT, Scale
from kbgen.search.whoosh_segments import NAME, SHIFT, Storage, schema, written

__all__ = ["Damaged", "NoteReader", "NoteStore"]

SHARED = 5000
"""Notes of a segment where several processes write one each: every segment costs a search
of its own for each term, and the writing of each of its terms."""
MOST = 20_000  # notes of a segment that one process writes alone, so that memory has a bound


class Damaged(Exception):
    """The index cannot be read and has to be made anew."""


class Impacts(WeightingModel):  # type: ignore[misc]
    """The one ranking as a Whoosh weighting model."""

    def __init__(self, reader: NoteReader) -> None:
        self._reader = reader

    def scorer(self, searcher: Any, fieldname: str, text: bytes, qf: int = 1) -> ImpactScorer:  # noqa: ARG002 - Whoosh's signature
        """Return the scorer of one term."""
        return ImpactScorer(self._reader.scale, self._reader.holders(text.decode("ascii")))


class ImpactScorer(BaseScorer):  # type: ignore[misc]
    """The whole-number impacts of one term."""

    def __init__(self, scale: Scale, holders: int) -> None:
        self._scale = scale
        self._holders = holders
        self._known: dict[float, int] = {}

    def score(self, matcher: Any) -> int:
        """Return the impact in the note that the matcher stands on."""
        return self.of([matcher.weight()])[0]

    def max_quality(self) -> int:
        """Return more than any impact can be."""
        return 1 << 16

    def of(self, weights: Iterable[float]) -> list[int]:
        """Return the impacts of packed weights."""
        known = self._known
        out = []
        for weight in weights:
            impact = known.get(weight)
            if impact is None:
                count, length = divmod(int(weight), SHIFT)
                impact = known[weight] = self._scale.impact(count, length, self._holders)
            out.append(impact)
        return out


class NoteStore:
    """The Whoosh index in one folder."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def lock(self, seconds: float) -> Any | None:
        """Take the folder's lock, waiting so long for another command; None in vain."""
        self.folder.mkdir(parents=True, exist_ok=True)
        lock = Storage(self.folder).lock("kbgen.lock")
        return lock if try_for(lock.acquire, timeout=seconds, delay=0.05) else None

    def reader(self) -> NoteReader:
        """Open what is there.

        Raises: Damaged where nothing can be read.
        """
        index = self._index()
        try:
            return NoteReader(index.reader())
        except Exception as error:  # a damaged file fails in any way it likes
            index.storage.close_all()
            raise Damaged(str(error)) from error

    def update(self, notes: Notes, held: Held, whole: Inverted | None = None) -> Held:
        """Bring the index to these notes, writing only what differs; return what it holds then.

        Shape: ``held`` is what it holds now, nothing where it is to be made anew; ``whole``
        are the terms of all the notes, where they are at hand. Call it under the lock.
        Raises: Damaged where the index is none.
        """
        wanted = notes.keys
        index = self._index() if held.numbers else self._made()
        gone = {place for place, number, key in held.places() if wanted.get(number) != key}
        there = {number for place, number, _ in held.places() if place not in gone}
        fresh = [number for number in wanted if number not in there]
        if not gone and not fresh and held.numbers:
            return held
        segments = _extents(index)
        staying = laid_together(segments, held, gone, len(fresh))
        after = held.without(gone, staying)
        there = {number for _, number, _ in after.places()}
        numbers = [number for number in wanted if number not in there]
        size = SHARED if worth_sharing(len(numbers), 2 * SHARED) else MOST
        parcels = [numbers[at : at + size] for at in range(0, len(numbers), size)]
        work = partial(written, self.folder, notes, None if held.numbers else whole)
        made = list(in_order(work, parcels, 1, 2))
        writer = SegmentWriter(index, timeout=60)
        for place in gone:
            writer.delete_document(place)
        left = [one for one, extent in zip(writer.segments, segments, strict=True)
                if extent in staying]  # fmt: skip
        writer.commit(mergetype=lambda *_: [*left, *(segment for segment, _ in made)])
        for parcel, (_, lengths) in zip(parcels, made, strict=True):
            after = after.more(parcel, wanted, lengths)
        return replace(after, program=program_digest())

    def _index(self) -> Any:
        storage = Storage(self.folder)
        try:
            return storage.open_index(indexname=NAME)
        except Exception as error:  # a damaged file fails in any way it likes
            storage.close_all()
            raise Damaged(str(error)) from error

    def _made(self) -> Any:
        self.clear()
        return Storage(self.folder).create_index(schema(), indexname=NAME)

    def clear(self) -> None:
        """Remove a damaged index."""
        for path in self.folder.iterdir():
            if path.is_file() and (NAME in path.name or path.name == HELD):
                path.unlink(missing_ok=True)


def _extents(index: Any) -> list[tuple[int, int]]:
    """Return the first place of every segment and how many places it has."""
    counts = [segment.doc_count_all() for segment in index._segments()]
    return list(zip(accumulate([0, *counts]), counts, strict=False))


class NoteReader:
    """An open Whoosh index as the ranking asks it."""

    def __init__(self, reader: Any) -> None:
        self._reader = reader
        self._leaves = [(leaf, base) for leaf, base in reader.leaf_readers()]
        self._held: dict[tuple[str, str], tuple[list[int], list[float]]] = {}
        self.numbers: Sequence[int] = ()
        self.scale = Scale(0, 0)
        self._words: Callable[[], Iterable[str]] = tuple

    def place(
        self, numbers: Sequence[int], length: int, words: Callable[[], Iterable[str]]
    ) -> None:
        """Say what is kept beside the index.

        Shape: which note stands at which place of the index (0 for none), the
        length of all in steps, and how to read the words of the lexicon.
        """
        self.numbers = numbers
        self._words = words
        self.scale = Scale(sum(1 for number in numbers if number), length)

    @property
    def notes(self) -> int:
        """The number of notes."""
        return self.scale.notes

    @cached_property
    def lexicon(self) -> Lexicon:
        """The words of the notes, stop words left out."""
        try:
            return Lexicon(self._words())
        except OSError as error:
            raise Damaged(str(error)) from error

    def neighbours(self, first: str, second: str) -> Sequence[int]:
        """Return the numbers of the notes in whose titles the second term follows the first."""
        places, bits = self._packed(first, "titled")
        followed = dict(zip(*self._packed(second, "titled"), strict=True))
        return [
            self.numbers[place]
            for place, where in zip(places, bits, strict=True)
            if int(where) << 1 & int(followed.get(place, 0))
        ]

    def holders(self, term: str) -> int:
        """Return how many notes hold the term."""
        return len(self._packed(term)[0])

    def postings(self, term: str) -> tuple[Sequence[int], Sequence[int]]:
        """Return the numbers of the notes that hold the term, and its impacts in them."""
        places, weights = self._packed(term)
        return (
            [self.numbers[place] for place in places],
            ImpactScorer(self.scale, len(places)).of(weights),
        )

    def shown(self, number: int) -> dict[str, Any]:
        """Return what a result shows of a note."""
        try:
            place = self.numbers.index(number)
            stored: dict[str, Any] = json.loads(self._reader.stored_fields(place)["shown"])
        except Exception as error:
            raise Damaged(str(error)) from error
        return stored

    def searched(self, terms: Iterable[tuple[str, int]], limit: int) -> list[tuple[int, int]]:
        """Rank by Whoosh's own searcher under the same model: slower, for comparison."""
        from whoosh.query import Or, Term
        from whoosh.searching import Searcher

        searcher = Searcher(self._reader, weighting=Impacts(self))
        query = Or([Term("content", term, boost=float(weight)) for term, weight in terms])
        hits = searcher.search(query, limit=None)
        found = sorted((-int(hit.score), int(hit["number"])) for hit in hits)
        return [(number, -score // UNIT) for score, number in found[:limit]]

    def close(self) -> None:
        """Close the files."""
        self._reader.close()

    def _packed(self, term: str, field: str = "content") -> tuple[list[int], list[float]]:
        """Return the places that hold the term, without deleted ones, and its packed weights."""
        held = self._held.get((term, field))
        if held is None:
            places: list[int] = []
            weights: list[float] = []
            try:
                for leaf, base in self._leaves:
                    for ids, values in _blocks(leaf, field, term):
                        places.extend(place + base for place in ids)
                        weights.extend(values)
            except Exception as error:  # a damaged file fails in any way it likes
                raise Damaged(str(error)) from error
            held = self._held[term, field] = places, weights
        return held


def _blocks(leaf: Any, field: str, term: str) -> Iterator[tuple[Sequence[int], Sequence[float]]]:
    """Read the live postings of a term in one segment, a block at a time.

    Whoosh's matcher reads blocks of 128 postings and hands them out one by one; taking
    a block at once is ten times as quick. A matcher of another kind is asked one by one.
    """
    try:
        matcher = leaf.postings(field, term.encode("ascii"))
    except TermNotFound:
        return
    deleted = leaf.has_deletions()
    inner = getattr(matcher, "child", matcher) if deleted else matcher
    if not hasattr(inner, "_next_block"):
        while matcher.is_active():
            yield (matcher.id(),), (matcher.weight(),)
            matcher.next()
        return
    inner.reset()
    while inner.is_active():
        inner.id(), inner.weight()
        ids, weights = inner._ids, inner._weights
        if deleted:
            live = [i for i, place in enumerate(ids) if not leaf.is_deleted(place)]
            ids, weights = [ids[i] for i in live], [weights[i] for i in live]
        yield ids, weights
        inner._next_block()
