"""The index as the page loads it: small script files, each handing its piece to a callback.

``find/base.js`` says what there is and where; ``find/w….js`` hold the words and
their terms, ``find/p….js`` the postings, ``find/n….js`` the lines that results
are shown with. Everything is sorted and printable, and equal shelves give equal
bytes.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from kbgen.search import quantities
from kbgen.search.analysis import SPELLED, STOP_WORDS, plain_terms
from kbgen.search.collection import Collection
from kbgen.search.documents import SearchDocument, Shelf
from kbgen.search.packing import front_coded, packed
from kbgen.search.quantities import quantity_terms
from kbgen.search.questions import WEAK_SHARE, WIDENED_SHARE
from kbgen.search.ranking import question_weight

__all__ = ["shelf_files"]

WORDS_BYTES = 4000
POSTINGS_BYTES = 4000
NOTES_A_FILE = 16
COUNTED = 64  # weights are listed for a word said up to so many times


def shelf_files(shelf: Shelf) -> Iterator[tuple[str, bytes]]:
    """Write the whole index of a shelf, a path under the site's root with each file."""
    collection = Collection(shelf)
    words = list(_word_files(collection))
    postings = list(_posting_files(collection))
    notes = list(_note_files(collection))
    yield _file("base", _base(collection, words, postings))
    yield _file("grammar", _grammar())
    for kind, pieces in (("w", words), ("p", postings), ("n", notes)):
        for number, piece in enumerate(pieces):
            yield _file(f"{kind}{number}", piece.content, f"{kind!r},{number}".replace("'", '"'))


@dataclass(frozen=True, slots=True)
class Piece:
    """One file's content and the first thing in it."""

    first: Any
    content: Any


def _file(name: str, content: Any, key: str | None = None) -> tuple[str, bytes]:
    """Return the path and the bytes of one script file."""
    told = key or json.dumps(name)
    data = json.dumps(content, ensure_ascii=True, separators=(",", ":"), sort_keys=True)
    return f"find/{name}.js", f"kbgenFind({told},{data})\n".encode("ascii")


def _word_files(collection: Collection) -> Iterator[Piece]:
    numbers = {term: number for number, term in enumerate(collection.counted)}
    block: list[tuple[str, int]] = []
    size = 0
    for word, term in collection.surfaces.items():
        if size > WORDS_BYTES:
            yield _word_piece(block)
            block, size = [], 0
        block.append((word, numbers[term]))
        size += 5
    if block:
        yield _word_piece(block)


def _word_piece(block: Sequence[tuple[str, int]]) -> Piece:
    steps, before = [], 0
    for _, number in block:
        step = number - before
        steps.append(2 * step if step >= 0 else -2 * step - 1)
        before = number
    return Piece(block[0][0], [front_coded([word for word, _ in block]), packed(steps)])


def _posting_files(collection: Collection) -> Iterator[Piece]:
    block: list[str] = []
    first = size = 0
    for number, (term, places) in enumerate(collection.counted.items()):
        positions = [position for position, _ in places]
        gaps = [b - a - 1 for a, b in zip([-1, *positions], positions, strict=False)]
        entry = packed([len(places)]) + packed(gaps) + packed(collection.impacts(term))
        if block and size + len(entry) > POSTINGS_BYTES:
            yield Piece(first, "".join(block))
            block, size, first = [], 0, number
        block.append(entry)
        size += len(entry)
    if block:
        yield Piece(first, "".join(block))


def _note_files(collection: Collection) -> Iterator[Piece]:
    documents = collection.documents
    for start in range(0, len(documents), NOTES_A_FILE):
        block = documents[start : start + NOTES_A_FILE]
        yield Piece(start, [_shown(document) for document in block])


def _shown(document: SearchDocument) -> list[Any]:
    families = [facet.name for facet in document.facets if facet.kind == "family"]
    return [
        document.title,
        document.address,
        document.fix,
        document.caution,
        families,
        list(document.lines),
    ]


def _base(collection: Collection, words: list[Piece], postings: list[Piece]) -> dict[str, Any]:
    numbers = [document.number for document in collection.documents]
    threads = [
        [quantity_terms(page.thread)[:2], page.thread, page.address]
        for page in collection.shelf.threads
        if quantity_terms(page.thread)
    ]
    return {
        "notes": collection.notes,
        "numbers": packed([b - a - 1 for a, b in zip([0, *numbers], numbers, strict=False)]),
        "words": [piece.first for piece in words],
        "postings": packed([piece.first - before for piece, before in _steps(postings)]),
        "block": NOTES_A_FILE,
        "weights": [question_weight(times) for times in range(1, COUNTED + 1)],
        "widened": WIDENED_SHARE,
        "weak": WEAK_SHARE,
        "threads": threads,
        "widenings": [
            [[_phrase(p) for p in pair.lay], [_phrase(p) for p in pair.trade]]
            for pair in collection.shelf.widenings
        ],
    }


def _steps(pieces: list[Piece]) -> Iterator[tuple[Piece, int]]:
    before = 0
    for piece in pieces:
        yield piece, before
        before = piece.first


def _phrase(text: str) -> list[Any]:
    return [text, plain_terms(text)]


def _grammar() -> dict[str, Any]:
    """Return the tables and patterns that questions are read with, the same on both sides."""
    q = quantities
    return {
        "stop": " ".join(sorted(STOP_WORDS)),
        "spelled": SPELLED,
        "numbers": q.NUMBERS,
        "tens": q.TENS,
        "parts": q.PARTS,
        "tensParts": {f"{a} {b}": part for (a, b), part in q.TENS_PARTS.items()},
        "endings": sorted(q.ENDINGS),
        "denominators": sorted(q.DENOMINATORS),
        "series": q.SERIES,
        "pairs": sorted(q.NUMBER_PAIRS),
        "units": q.NEWTON_METRES,
        "patterns": [
            q.TORQUE.pattern, q.METRIC.pattern, q.BA.pattern, q.PIPE.pattern, q.INCH.pattern,
        ],
    }  # fmt: skip
