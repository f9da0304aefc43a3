"""One segment of a Whoosh index, written from postings that are in order already.

One field holds a note's counted terms, one those of its title. Each posting's weight
packs how often the note holds the term and how long the note is, or at which places of
its title the term stands, so that it depends on nothing but the note.

Source: Whoosh 2.7 (Whoosh-Reloaded 2.7.5).
"""

from __future__ import annotations

import json
from array import array
from bisect import bisect_left
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path
from typing import Any

from whoosh import fields, formats
from whoosh.codec.whoosh3 import W3Codec
from whoosh.filedb.filestore import FileStorage
from whoosh.writing import SegmentWriter

from kbgen.search.documents import Notes
from kbgen.search.entries import TITLE_PLACES
from kbgen.search.inverted import COUNT_BITS, Inverted
from kbgen.search.ranking import LONGEST

__all__ = ["NAME", "SHIFT", "Storage", "schema", "written"]

NAME = "notes"
TITLE_BITS = (1 << TITLE_PLACES) - 1  # exact in a float of 32 bits as well
SHIFT = LONGEST + 1  # count * SHIFT + length stays below 2**24, exact in a float of 32 bits


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


class Counted(fields.FieldType):  # type: ignore[misc]  # Whoosh carries no types
    """A field whose postings are handed over ready: nothing is analysed, no place is kept."""

    def __init__(self) -> None:
        self.spelling = False
        super().__init__(formats.Existence(), analyzer=None, scorable=False, stored=False)


class SegmentOfNotes(SegmentWriter):  # type: ignore[misc]
    """A writer of one segment that gets its postings in order, a whole list at a time.

    Whoosh's own way is to take one posting after the other, to sort them all, and to look
    for a file of lengths beside each of them: half of the time of a commit. Blocks are left
    uncompressed, which takes a kilobyte a note more: most are small, and each costs a call.
    """

    def __init__(self, index: Any) -> None:
        super().__init__(index, _lk=False, codec=W3Codec(compression=0))
        self._lists: dict[str, dict[str, tuple[array[int], array[float]]]]
        self._lists = {"content": {}, "titled": {}}

    def write(self, numbers: Sequence[int], notes: Notes, terms: Inverted) -> None:
        """Take the notes with these rising numbers, all that there are from first to last."""
        for number in numbers:
            shown = json.dumps(notes.shown(number).plain(), ensure_ascii=False)
            self.add_document(number=number, shown=shown)
        places = {number: place for place, number in enumerate(numbers)}
        lengths = terms.lengths
        first, last = numbers[0], numbers[-1] + 1
        content, titled = self._lists["content"], self._lists["titled"]
        for term, posted in terms.posted.items():
            held = _between(posted.held, first, last, COUNT_BITS)
            if held:
                at = [posting >> COUNT_BITS for posting in held]
                weights = [
                    (posting & LONGEST) * SHIFT + lengths[number]
                    for posting, number in zip(held, at, strict=True)
                ]
                content[term] = array("I", [places[number] for number in at]), array("f", weights)
            held = _between(posted.titled, first, last, TITLE_PLACES)
            if held:
                at = [posting >> TITLE_PLACES for posting in held]
                bits = [posting & TITLE_BITS for posting in held]
                titled[term] = array("I", [places[number] for number in at]), array("f", bits)

    def finished(self) -> Any:
        """Write everything; return the segment."""
        return self._finalize_segment()

    def _flush_segment(self) -> None:
        self.perdocwriter.close()
        out = self.fieldwriter
        for name, lists in sorted(self._lists.items()):
            out.start_field(name, self.schema[name])
            for term, (places, weights) in sorted(lists.items()):
                out.start_term(term.encode("ascii"))
                _post(out._postwriter, places, weights)
                out.finish_term()
            out.finish_field()
        out.close()


def _between(postings: array[int], first: int, last: int, bits: int) -> array[int]:
    """Return the postings of the notes from the first number up to before the last."""
    begin = bisect_left(postings, first << bits)
    return postings[begin : bisect_left(postings, last << bits, begin)]


def _post(out: Any, places: array[int], weights: array[float]) -> None:
    """Hand one term's postings over, a block at a time; Whoosh finishes the last one."""
    size = out._blocklimit
    for at in range(0, len(places), size):
        out._ids, out._weights = places[at : at + size], weights[at : at + size]
        out._maxweight = max(out._weights)
        if at + size < len(places):
            out._write_block()


def schema() -> fields.Schema:
    """Return the fields of the index."""
    return fields.Schema(
        number=fields.STORED, content=Counted(), titled=Counted(), shown=fields.STORED
    )


def written(
    folder: Path, notes: Notes, whole: Inverted | None, numbers: Sequence[int]
) -> tuple[Any, array[int]]:
    """Write one segment of notes, in whatever process; return it with the notes' lengths."""
    writer = SegmentOfNotes(Storage(folder).open_index(indexname=NAME))
    terms = whole or Inverted.of(notes, numbers)
    writer.write(numbers, notes, terms)
    return writer.finished(), array("I", [terms.lengths[number] for number in numbers])
