"""The notes in a Whoosh index: every Whoosh call of the program stands here.

One field holds a note's counted terms. Each posting's weight packs how often the
note holds the term and how long the note is, so that it depends on nothing but
the note; the impacts follow from it and from what the whole index says when it
is asked. A note that changed is replaced alone, and a live count of holders is
exact whatever was deleted.

Source: Whoosh 2.7 (Whoosh-Reloaded 2.7.5).
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from functools import cached_property
from itertools import pairwise
from pathlib import Path
from typing import Any

from whoosh import fields, formats
from whoosh.filedb.filestore import FileStorage
from whoosh.reading import TermNotFound
from whoosh.scoring import BaseScorer, WeightingModel
from whoosh.util.filelock import try_for

from kbgen.search.documents import SearchDocument
from kbgen.search.lexicon import Lexicon
from kbgen.search.ranking import LONGEST, Scale, length_steps

__all__ = ["Damaged", "NoteReader", "NoteStore"]

SHIFT = LONGEST + 1  # count * SHIFT + length stays below 2**24, exact in a float of 32 bits
NAME = "notes"


class Damaged(Exception):
    """The index cannot be read and has to be made anew."""


class CountedTerms(fields.FieldType):  # type: ignore[misc]  # Whoosh carries no types
    """A field that takes terms already analysed and packs their counts with the length."""

    def __init__(self) -> None:
        self.spelling = False
        super().__init__(formats.Existence(), analyzer=None, scorable=False, stored=False)

    def index(
        self, value: Mapping[str, int], **_: Any
    ) -> Iterator[tuple[bytes, int, float, bytes]]:
        """Return each term once with its packed weight."""
        length = length_steps(sum(value.values()))
        for term, count in value.items():
            yield term.encode("ascii"), 1, float(min(LONGEST, count) * SHIFT + length), b""


class Pairs(fields.FieldType):  # type: ignore[misc]
    """A field that takes pairs of terms that follow each other in a title."""

    def __init__(self) -> None:
        self.spelling = False
        super().__init__(formats.Existence(), analyzer=None, scorable=False, stored=False)

    def index(self, value: Sequence[str], **_: Any) -> Iterator[tuple[bytes, int, float, bytes]]:
        """Return each pair once."""
        for pair in set(pairwise(value)):
            yield " ".join(pair).encode("ascii"), 1, 1.0, b""


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


class Storage(FileStorage):  # type: ignore[misc]
    """A folder of files that remembers what it opened, to close it when opening fails."""

    def __init__(self, folder: Path) -> None:
        super().__init__(str(folder))
        self._opened: list[Any] = []

    def open_file(self, name: str, **kwargs: Any) -> Any:
        """Open a file for reading."""
        opened = super().open_file(name, **kwargs)
        self._opened.append(opened)
        return opened

    def close_all(self) -> None:
        """Close every file that was opened and not closed since."""
        for opened in self._opened:
            with suppress(Exception):  # closed already, or half open
                opened.close()


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
        storage = Storage(self.folder)
        try:
            return NoteReader(storage.open_index(indexname=NAME).reader())
        except Exception as error:  # a damaged file fails in any way it likes
            storage.close_all()
            raise Damaged(str(error)) from error

    def update(self, documents: Iterable[SearchDocument]) -> int:
        """Bring the index to these notes, writing only what differs; return how many.

        Shape: call it under the lock.
        """
        wanted = {document.number: document for document in documents}
        held: dict[int, str] = {}
        try:
            reader = self.reader()
            held = reader.digests()
            reader.close()
            opened = Storage(self.folder).open_index(indexname=NAME)
        except Damaged:
            self.clear()
            schema = fields.Schema(
                number=fields.ID(stored=True, unique=True),
                content=CountedTerms(),
                pairs=Pairs(),
                digest=fields.STORED,
                length=fields.STORED,
                shown=fields.STORED,
            )
            opened = Storage(self.folder).create_index(schema, indexname=NAME)
        digests = {number: document.digest() for number, document in wanted.items()}
        gone = [number for number in held if held[number] != digests.get(number)]
        changed = [n for n in sorted(wanted) if held.get(n) != digests[n]]
        if not gone and not changed:
            return 0
        writer = opened.writer(timeout=60, limitmb=256)
        try:
            for number in gone:
                writer.delete_by_term("number", str(number))
            for number in changed:
                counts = wanted[number].counts()
                writer.add_document(
                    number=str(number),
                    content=counts,
                    pairs=wanted[number].title_terms(),
                    digest=digests[number],
                    length=length_steps(sum(counts.values())),
                    shown=json.dumps(wanted[number].shown(), ensure_ascii=False),
                )
        except BaseException:
            writer.cancel()
            raise
        writer.commit()
        return len(set(gone) | set(changed))

    def clear(self) -> None:
        """Remove a damaged index."""
        for path in self.folder.iterdir():
            if path.is_file() and NAME in path.name:
                path.unlink(missing_ok=True)


class NoteReader:
    """An open Whoosh index as the ranking asks it."""

    def __init__(self, reader: Any) -> None:
        self._reader = reader
        self._leaves = [(leaf, base) for leaf, base in reader.leaf_readers()]
        self._held: dict[str, tuple[list[int], list[float]]] = {}
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

    def placed(self) -> tuple[list[int], int]:
        """Read which note stands where, and the length of all."""
        numbers = [0] * self._reader.doc_count_all()
        length = 0
        for place, stored in self._reader.iter_docs():
            numbers[place] = int(stored["number"])
            length += stored["length"]
        return numbers, length

    def digests(self) -> dict[int, str]:
        """Return the digest of every note in the index."""
        return {int(s["number"]): s["digest"] for _, s in self._reader.iter_docs()}

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
        places, _ = self._packed(f"{first} {second}", "pairs")
        return [self.numbers[place] for place in places]

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
        found = [(int(hit["number"]), int(hit.score)) for hit in hits]
        return sorted(found, key=lambda pair: (-pair[1], pair[0]))[:limit]

    def close(self) -> None:
        """Close the files."""
        self._reader.close()

    def _packed(self, term: str, field: str = "content") -> tuple[list[int], list[float]]:
        """Return the places that hold the term, without deleted ones, and its packed weights."""
        if term not in self._held:
            places: list[int] = []
            weights: list[float] = []
            try:
                for leaf, base in self._leaves:
                    for ids, values in _blocks(leaf, field, term):
                        places.extend(place + base for place in ids)
                        weights.extend(values)
            except Exception as error:  # a damaged file fails in any way it likes
                raise Damaged(str(error)) from error
            self._held[term] = places, weights
        return self._held[term]


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
