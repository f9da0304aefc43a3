"""The index as the page loads it: small script files, each handing its piece to a callback.

``find/base.js`` says what there is and where, ``find/grammar.js`` how questions are
read. ``find/w….js`` hold the words in order with their terms, ``find/t….js`` the same
words by their tails, ``find/p….js`` the postings, ``find/n….js`` the lines that results
are shown with, ``find/f….js`` the facets; ``find/all….js`` are all pieces of a small
collection, for a reader who types. Everything is sorted and printable, and equal
shelves give equal bytes.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import pairwise
from typing import Any

from kbgen.kept import Store, in_order
from kbgen.search import hits, quantities, questions
from kbgen.search.analysis import INITIALS, SPELLED, STOP_WORDS, WORD, plain_terms
from kbgen.search.collection import Collection
from kbgen.search.documents import FACETS, TITLE_PLACES, SearchDocument, Shelf
from kbgen.search.lexicon import HEAD, LETTERS, SHORTEST
from kbgen.search.packing import front_coded, packed
from kbgen.search.quantities import quantity_terms
from kbgen.search.ranking import COUNTED, NEIGHBOURS, question_weight

__all__ = ["shelf_files"]

WORDS_A_FILE = 400
TERMS_A_PARCEL, TERMS_SHARED = 400, 15_000  # fewer terms than this are packed by one process
POSTINGS_BYTES = 2000
NOTES_A_FILE = 8
BUNDLED_NOTES = 6000  # up to so many notes, the pieces are there in bundles as well
BUNDLE_BYTES = 200_000
ALL_LETTERS = 1_800_000  # of the sentences of all notes together
LEAST_LETTERS, MOST_LETTERS = 80, 600  # of the sentences of one note
SHORTEST_CUT = 24


@dataclass(frozen=True, slots=True)
class Piece:
    """One file's content and the first thing in it."""

    first: Any
    content: Any


def shelf_files(shelf: Shelf, store: Store | None = None) -> Iterator[tuple[str, bytes]]:
    """Write the whole index of a shelf, a path under the site's root with each file.

    Shape: ``store`` holds what the analysis made of the notes before.
    """
    collection = Collection(shelf, store)
    pieces = {
        "w": list(_word_files(collection)),
        "t": list(_tail_files(collection)),
        "p": list(_posting_files(collection)),
        "n": list(_note_files(collection)),
    }
    shards = [
        _file(f"{kind}{number}", piece.content)
        for kind, files in pieces.items()
        for number, piece in enumerate(files)
    ]
    bundles = list(_bundles(shards)) if collection.notes <= BUNDLED_NOTES else []
    yield _file("base", {**_base(collection, pieces), "bundles": len(bundles)})
    yield _file("grammar", _grammar())
    for kind in FACETS:
        yield _file(f"f{kind}", _facet(collection, kind))
    yield from shards
    yield from bundles


def _bundles(shards: Iterable[tuple[str, bytes]]) -> Iterator[tuple[str, bytes]]:
    """Put everything together again, for a reader who types: no key stroke waits for a file."""
    block: list[bytes] = []
    number = size = 0
    for _, data in shards:
        block.append(data)
        size += len(data)
        if size > BUNDLE_BYTES:
            yield f"find/all{number}.js", b"".join(block)
            block, size, number = [], 0, number + 1
    if block:
        yield f"find/all{number}.js", b"".join(block)


def _file(name: str, content: Any) -> tuple[str, bytes]:
    """Return the path and the bytes of one script file."""
    data = json.dumps(content, ensure_ascii=True, separators=(",", ":"), sort_keys=True)
    return f"find/{name}.js", f'kbgenFind("{name}",{data})\n'.encode("ascii")


def _gaps(numbers: Iterable[int]) -> list[int]:
    """Return rising numbers as the steps between them, less one, from -1 on."""
    return [after - before - 1 for before, after in pairwise([-1, *numbers])]


def _blocks(rows: Sequence[Any], size: int) -> Iterator[Sequence[Any]]:
    for start in range(0, len(rows), size):
        yield rows[start : start + size]


def _word_files(collection: Collection) -> Iterator[Piece]:
    """Cut the words into ranges: words, steps of term numbers, and how common each is."""
    numbers = {term: number for number, term in enumerate(collection.counted)}
    for block in _blocks(list(collection.surfaces.items()), WORDS_A_FILE):
        steps, before = [], 0
        for _, term in block:
            step = numbers[term] - before
            steps.append(2 * step if step >= 0 else -2 * step - 1)
            before = numbers[term]
        common = [collection.holders(term).bit_length() for _, term in block]
        yield Piece(
            block[0][0], [front_coded([w for w, _ in block]), packed(steps), packed(common)]
        )


def _tail_files(collection: Collection) -> Iterator[Piece]:
    """Cut the words, sorted by all but their heads, into ranges, each with how common it is."""
    rows = sorted(
        (f"{word[HEAD:]}!{word[:HEAD]}", collection.holders(term).bit_length())
        for word, term in collection.surfaces.items()
        if LETTERS.fullmatch(word) and len(word) >= SHORTEST - 1
    )
    for block in _blocks(rows, WORDS_A_FILE):
        yield Piece(
            block[0][0], [front_coded([w for w, _ in block]), packed(common for _, common in block)]
        )


def _posting_files(collection: Collection) -> Iterator[Piece]:
    block: list[str] = []
    first = size = 0
    terms = list(collection.counted)
    entries = in_order(partial(_posting, collection), terms, TERMS_A_PARCEL, TERMS_SHARED)
    for number, entry in enumerate(entries):
        if block and size + len(entry) > POSTINGS_BYTES:
            yield Piece(first, "".join(block))
            block, size, first = [], 0, number
        block.append(entry)
        size += len(entry)
    if block:
        yield Piece(first, "".join(block))


def _posting(collection: Collection, term: str) -> str:
    """Pack where a term stands: its notes, its impacts, its places in titles."""
    positions = [position for position, _ in collection.counted[term]]
    entry = packed([len(positions), *_gaps(positions), *collection.impacts(term)])
    titled = collection.titled.get(term, [])
    at = {position: index for index, position in enumerate(positions)}
    entry += packed([len(titled), *_gaps(at[position] for position, _ in titled)])
    return entry + packed(_places(places) for _, places in titled)


def _places(places: Sequence[int]) -> int:
    """Return one place as itself, several as bits above all places."""
    if len(places) == 1:
        return places[0]
    return TITLE_PLACES + sum(1 << place for place in places)


def _note_files(collection: Collection) -> Iterator[Piece]:
    families = {name: number for number, name in enumerate(_families(collection))}
    room = max(LEAST_LETTERS, min(MOST_LETTERS, ALL_LETTERS // max(1, collection.notes)))
    for start, block in enumerate(_blocks(collection.documents, NOTES_A_FILE)):
        yield Piece(start, [_shown(document, families, room) for document in block])


def _families(collection: Collection) -> list[str]:
    """Return the names of all families that notes stand under, sorted."""
    return sorted({name for d in collection.documents for name in d.families()})


def _shown(document: SearchDocument, families: Mapping[str, int], room: int) -> list[Any]:
    """Return what a result shows of a note, its sentences cut to ``room`` letters."""
    fix = _cut(document.fix, max(LEAST_LETTERS, room // 2))
    row: list[Any] = [
        document.title,
        fix,
        document.caution,
        packed(families[name] for name in document.families()),
    ]
    room -= len(fix)
    for line in document.lines:
        kept = _cut(line, room)
        if not kept:
            break
        row.append(kept)
        room -= len(kept)
    return row


def _cut(text: str, room: int) -> str:
    """Return the text, cut after a word where it has more letters than there is room for."""
    if len(text) <= room:
        return text
    kept = text[: max(0, room - 1)].rsplit(" ", 1)[0].rstrip(" ,;:.-")
    return f"{kept}…" if len(kept) >= SHORTEST_CUT else ""


def _facet(collection: Collection, kind: str) -> dict[str, list[str]]:
    """Return the values of one facet by id: the name and the packed positions of its notes."""
    held: dict[tuple[str, str], list[int]] = {}
    for position, document in enumerate(collection.documents):
        for facet in document.facets:
            if facet.kind == kind:
                held.setdefault((facet.id, facet.name), []).append(position)
    return {id_: [name, packed(_gaps(where))] for (id_, name), where in sorted(held.items())}


def _base(collection: Collection, pieces: dict[str, list[Piece]]) -> dict[str, Any]:
    shelf = collection.shelf
    return {
        "notes": collection.notes,
        "numbers": packed(_gaps(document.number for document in collection.documents)),
        "words": "~".join(piece.first for piece in pieces["w"]),
        "tails": "~".join(piece.first for piece in pieces["t"]),
        "postings": packed(_gaps(piece.first for piece in pieces["p"])),
        "block": NOTES_A_FILE,
        "families": _families(collection),
        "elsewhere": {
            str(position): document.address
            for position, document in enumerate(collection.documents)
            if document.address != f"n/{document.number:04}.html"
        },
        "facets": list(FACETS),
        "threads": [
            [list(terms), page.thread, page.address]
            for page in shelf.threads
            if (terms := quantity_terms(page.thread))
        ],
        "widenings": [
            [[[p, plain_terms(p)] for p in pair.lay], [[p, plain_terms(p)] for p in pair.trade]]
            for pair in shelf.widenings
        ],
    }


def _grammar() -> dict[str, Any]:
    """Return the tables, patterns and settings that both sides read questions with."""
    q = quantities
    return {
        "stop": " ".join(sorted(STOP_WORDS)),
        "spelled": SPELLED,
        "word": WORD.pattern,
        "initials": INITIALS.pattern,
        "atom": q.ATOM.pattern,
        "numbers": q.NUMBERS,
        "tens": q.TENS,
        "parts": q.PARTS,
        "tensParts": {f"{a} {b}": part for (a, b), part in q.TENS_PARTS.items()},
        "endings": sorted(q.ENDINGS),
        "denominators": sorted(q.DENOMINATORS),
        "series": q.SERIES,
        "pitches": q.standard_pitches(),
        "pairs": sorted(q.NUMBER_PAIRS),
        "forces": q.FORCES,
        "levers": q.LEVERS,
        "newtonMetres": q.NEWTON_METRES,
        "patterns": [p.pattern for p in (q.TORQUE, q.METRIC, q.BA, q.PIPE, q.INCH, q.SIZED)],
        "weights": [question_weight(times) for times in range(1, COUNTED + 1)],
        "full": questions.FULL,
        "widened": questions.WIDENED,
        "guessed": questions.GUESSED,
        "joined": questions.JOINED,
        "begun": questions.BEGUN,
        "slipped": questions.SLIPPED,
        "part": questions.PART,
        "shortest": SHORTEST,
        "head": HEAD,
        "titlePlaces": TITLE_PLACES,
        "neighbours": NEIGHBOURS,
        "weakShare": hits.WEAK_SHARE,
        "standsOut": hits.STANDS_OUT,
        "tenth": hits.TENTH,
        "unknownTimes": hits.UNKNOWN_TIMES,
    }
