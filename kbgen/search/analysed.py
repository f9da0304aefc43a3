"""What the analysis makes of each note: counted once for both indexes, kept while it holds."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass

from kbgen.kept import Record, Store, Unpackable, in_order, pack, program_digest, unpack
from kbgen.search.analysis import words
from kbgen.search.documents import SearchDocument

__all__ = ["Analysed", "analysed"]

_STAGE = "terms"
_PARCEL = 32
_LEAST = 300
"""Fewer notes than this are analysed here: two processes take longer to start than they save."""


@dataclass(frozen=True, slots=True)
class Analysed:
    """The terms of one note.

    Shape: ``counts`` in halves of a word, ``title`` in order, ``words`` all that are said.
    """

    counts: dict[str, int]
    title: tuple[str, ...]
    words: tuple[str, ...]

    @classmethod
    def of(cls, document: SearchDocument) -> Analysed:
        """Return what the analysis makes of a note."""
        said = words(" ".join([document.title, *document.names, document.body]))
        return cls(document.counts(), tuple(document.title_terms()), tuple(sorted(set(said))))


def analysed(documents: Sequence[SearchDocument], store: Store | None = None) -> list[Analysed]:
    """Return the terms of every note, in order, those that ``store`` holds from there."""
    records = store.records(_STAGE) if store else {}
    found: dict[int, Analysed] = {}
    keys = [_key(document) for document in documents]
    for at, document in enumerate(documents):
        record = records.get(str(document.number))
        if record is not None and record.key == keys[at]:
            try:
                found[at] = Analysed(*unpack(record.data))
            except Unpackable:
                continue
    missing = [at for at in range(len(documents)) if at not in found]
    fresh = []
    made = in_order(lambda at: _packed(documents[at]), missing, _PARCEL, _LEAST)
    for at, data in zip(missing, made, strict=True):
        found[at] = Analysed(*unpack(data))
        fresh.append((str(documents[at].number), Record(keys[at], data)))
    if store:
        store.keep(_STAGE, fresh)
        store.forget(_STAGE, set(records) - {str(document.number) for document in documents})
    return [found[at] for at in range(len(documents))]


def _packed(document: SearchDocument) -> bytes:
    one = Analysed.of(document)
    return pack((one.counts, one.title, one.words))


def _key(document: SearchDocument) -> bytes:
    said = (document.title, document.names, document.body, document.stated)
    return hashlib.blake2b(repr(said).encode() + program_digest(), digest_size=16).digest()
