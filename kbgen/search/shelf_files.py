"""The index as the page loads it: small script files, each handing its piece to a callback.

``find/base.js`` says what there is and where, ``find/grammar.js`` how questions are
read. ``find/w-….js`` hold the words in order, ``find/t-….js`` the same words by their
tails, ``find/p….js`` the postings of many terms, ``find/q-….js`` those of one that many
notes hold, ``find/n….js`` the lines that results are shown with, ``find/f….js`` the facets;
``find/all….js`` are all pieces of a small collection, for a reader who types. Everything
is sorted and printable, and equal shelves give equal bytes.

What belongs to the whole collection (how many notes there are, how long each of them is,
how rare a term is) stands in the base alone, and a word's letters say in which file it
stands: a note that changes changes the files of its own words.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterator, Sequence
from functools import partial
from itertools import groupby
from typing import Any

from kbgen.kept import Record, Same, Store
from kbgen.search import shelf_pieces as pieces
from kbgen.search.analysis import plain_terms
from kbgen.search.cuts import buckets_for, cuts, is_alone, named, piece_alone, piece_of
from kbgen.search.documents import FACETS, Notes, digest
from kbgen.search.kept_terms import KeptTerms, Lost
from kbgen.search.lexicon import HEAD, SHORTEST
from kbgen.search.packing import front_coded, packed
from kbgen.search.quantities import quantity_terms
from kbgen.search.ranking import Scale
from kbgen.search.shelf_pieces import gaps

__all__ = ["Holds", "files_of", "shelf_files"]

_PIECES = "find pieces"
WORDS_A_FILE = 200
NOTES_A_FILE = 4
BUNDLED_NOTES = 6000  # up to so many notes, the pieces are there in bundles as well
PIECES_A_BUNDLE = 128

_Maker = tuple[str, bytes, Callable[[], Any]]
"""The name of a piece, a digest of all it depends on, and what makes it."""

Holds = Callable[[str, str], bool]
"""Says whether the site has a file of that path and SHA-256."""


def files_of(
    kept: KeptTerms, store: Store | None = None, holds: Holds | None = None
) -> Iterator[tuple[str, bytes | Same]]:
    """Write the whole index of notes, a path under the site's root with each file.

    Shape: a file that the site ``holds`` is not made again; ``store`` is where the terms are
    kept.
    Raises: Lost where something that was kept cannot be read.
    """
    return _Files(kept, store, holds).all()


def shelf_files(notes: Notes) -> dict[str, bytes]:
    """Return all files of the index of notes, by path under the site's root."""
    made = files_of(KeptTerms.anew(notes, None))
    return {path: data for path, data in made if isinstance(data, bytes)}


class _Files:
    """The files of one shelf, each made only where the site does not have it."""

    def __init__(self, kept: KeptTerms, store: Store | None, holds: Holds | None) -> None:
        self._kept = kept
        self._notes = kept.notes
        self._terms = kept.terms
        self._store = store
        self._holds = holds
        self._bundled = len(self._notes.keys) <= BUNDLED_NOTES
        self._bytes: dict[str, bytes] = {}
        self._firsts: dict[str, list[str]] = {"w": [], "t": []}
        self._buckets = buckets_for(self._terms.holders)

    def all(self) -> Iterator[tuple[str, bytes | Same]]:
        """Give every file."""
        for makers in (self._words(), self._tails(), self._postings(), self._shown()):
            for name, key, make in makers:
                yield self._piece(name, key, make)
        bundles = list(self._bundles()) if self._bundled else []
        for name, paths in bundles:
            yield self._bundle(name, paths)
        self._keep_pieces()
        for kind in FACETS:
            values = self._facet(kind)
            yield self._laid(f"find/f{kind}.js", digest(values), partial(_file, f"f{kind}", values))
        yield "find/base.js", _file("base", self._base([name for name, _ in bundles]))
        yield "find/grammar.js", _file("grammar", pieces.grammar())
        self._kept.finish(self._buckets)

    def _piece(self, name: str, key: bytes, make: Callable[[], Any]) -> tuple[str, bytes | Same]:
        """Return one piece, and keep it for the bundles."""
        path, data = self._laid(f"find/{name}.js", key, lambda: _file(name, make()))
        if self._bundled and isinstance(data, bytes):
            self._bytes[path] = data
        return path, data

    def _laid(self, path: str, key: bytes, make: Callable[[], bytes]) -> tuple[str, bytes | Same]:
        """Return one file, or what stands for it where the site has it."""
        before = self._kept.files.get(path)
        if before and before[0] == key and self._holds and self._holds(path, before[1]):
            self._kept.made[path] = before
            return path, Same(before[1])
        data = make()
        self._kept.made[path] = key, hashlib.sha256(data).hexdigest()
        return path, data

    def _words(self) -> Iterator[_Maker]:
        """Cut the words into ranges, each word with how common its term is."""
        holders = self._terms.holders
        rows = [(word, holders[stem].bit_length()) for word, stem in self._terms.stems.items()]
        yield from self._ranges("w", rows)

    def _tails(self) -> Iterator[_Maker]:
        """Cut the words, sorted by all but their heads, into ranges as well."""
        holders = self._terms.holders
        rows = sorted(
            (f"{word[HEAD:]}!{word[:HEAD]}", holders[stem].bit_length())
            for word, stem in self._terms.stems.items()
            if len(word) >= SHORTEST - 1
        )
        yield from self._ranges("t", rows)

    def _ranges(self, kind: str, rows: Sequence[tuple[str, int]]) -> Iterator[_Maker]:
        for begin, end in cuts([word for word, _ in rows], WORDS_A_FILE):
            block = rows[begin:end]
            name = self._begun(kind, block[0][0] if begin else "")
            yield name, digest(block), partial(pieces.words, block)

    def _postings(self) -> Iterator[_Maker]:
        """Put the terms into pieces by their letters, those apart that fill one alone."""
        inside: dict[str, list[str]] = {f"p{number}": [] for number in range(self._buckets)}
        for term, held in self._terms.holders.items():
            piece = piece_alone(term) if is_alone(term, held) else piece_of(term, self._buckets)
            inside.setdefault(piece, []).append(term)
        for piece, terms in inside.items():
            key = self._kept.keep_piece(piece, terms, self._buckets)
            yield piece, key, partial(self._posted, terms)

    def _posted(self, terms: Sequence[str]) -> Any:
        return pieces.postings((term, self._terms.look(term)) for term in terms)

    def _begun(self, kind: str, first: str) -> str:
        self._firsts[kind].append(first)
        return named(kind, first)

    def _shown(self) -> Iterator[_Maker]:
        """Cut the notes into blocks by their numbers."""
        keys = self._notes.keys
        room = pieces.room(len(keys))
        for block, numbers in groupby(keys, lambda number: number // NOTES_A_FILE):
            inside = list(numbers)
            whole = b"".join([keys[number] for number in inside])
            yield (
                f"n{block}",
                digest(f"{room} {inside} ".encode() + whole),
                partial(self._block, inside, room),
            )

    def _block(self, numbers: Sequence[int], room: int) -> list[Any]:
        rows: list[Any] = [0] * (numbers[-1] % NOTES_A_FILE + 1)
        for number in numbers:
            rows[number % NOTES_A_FILE] = pieces.shown(self._notes.shown(number), room)
        return rows

    def _bundles(self) -> Iterator[tuple[str, list[str]]]:
        """Put all pieces together again, for a reader who types: no key stroke waits for a file.

        Shape: the name of each bundle and the paths of its pieces.
        """
        paths = list(self._kept.made)
        for begin, end in cuts(paths, PIECES_A_BUNDLE):
            first = paths[begin].removeprefix("find/").removesuffix(".js")
            yield f"all-{first}" if begin else "all", paths[begin:end]

    def _bundle(self, name: str, paths: Sequence[str]) -> tuple[str, bytes | Same]:
        key = digest([self._kept.made[path] for path in paths])
        return self._laid(f"find/{name}.js", key, lambda: b"".join(map(self._bytes_of, paths)))

    def _bytes_of(self, path: str) -> bytes:
        """Return a piece again that was made in this build or in an earlier one."""
        if path in self._bytes:
            return self._bytes[path]
        record = self._store.record(_PIECES, path) if self._store else None
        if record is None or record.key.hex() != self._kept.made[path][1]:
            raise Lost
        return record.data

    def _keep_pieces(self) -> None:
        """Keep the pieces of the bundles, so that a bundle of which one changed is quickly made."""
        if self._store is None:
            return
        made = self._kept.made
        fresh = [
            (path, Record(bytes.fromhex(made[path][1]), data)) for path, data in self._bytes.items()
        ]
        self._store.keep(_PIECES, fresh)
        held = made if self._bundled else ()
        self._store.forget(_PIECES, set(self._store.names(_PIECES)).difference(held))

    def _facet(self, kind: str) -> dict[str, list[str]]:
        """Return the values of one facet by id: the name and the packed numbers of its notes."""
        return {
            facet.id: [facet.name, packed(gaps(held))]
            for facet, held in self._terms.facets.items()
            if facet.kind == kind
        }

    def _base(self, bundles: Sequence[str]) -> dict[str, Any]:
        lengths = self._terms.lengths
        whole = sum(lengths.values())
        return {
            "notes": len(lengths),
            "length": whole,
            "lengths": pieces.lengths(lengths),
            "rarities": packed(Scale(len(lengths), whole).rarities()),
            "words": front_coded(self._firsts["w"]),
            "tails": front_coded(self._firsts["t"]),
            "buckets": self._buckets,
            "alone": front_coded(
                [term for term, held in self._terms.holders.items() if is_alone(term, held)]
            ),
            "block": NOTES_A_FILE,
            "families": {
                facet.id: facet.name for facet in self._terms.facets if facet.kind == "family"
            },
            "facets": list(FACETS),
            "bundles": list(bundles),
            "threads": [
                [list(terms), page.thread, page.address]
                for page in self._notes.threads
                if (terms := quantity_terms(page.thread))
            ],
            "widenings": [
                [[[p, plain_terms(p)] for p in pair.lay], [[p, plain_terms(p)] for p in pair.trade]]
                for pair in self._notes.widenings
            ],
        }


def _file(name: str, content: Any) -> bytes:
    """Return the bytes of one script file."""
    data = json.dumps(content, ensure_ascii=True, separators=(",", ":"), sort_keys=True)
    return f'kbgenFind("{name}",{data})\n'.encode("ascii")
