"""Finding notes: one analysis and one ranking, at the bench and in the published page.

``Bench`` answers from a Whoosh index kept beside the tree; ``page_files`` writes the
files from which the page's script gives the same answers with no server. ``terms_ahead``
counts a note's terms while its file is being read.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from kbgen.search.analysis import plain_terms as analyse
from kbgen.search.bench import Bench, open_bench, stamp
from kbgen.search.documents import Facet, Notes, SearchDocument, Shelf, ThreadPage, Widening
from kbgen.search.results import Result, Results

if TYPE_CHECKING:
    from pathlib import Path

    from kbgen.kept import Same, Store
    from kbgen.search.gather import CheckedTree
    from kbgen.search.shelf_files import Holds
    from kbgen.units import HouseThreads

__all__ = [
    "Bench",
    "Facet",
    "Notes",
    "Result",
    "Results",
    "SearchDocument",
    "Shelf",
    "ThreadPage",
    "Widening",
    "analyse",
    "bring_up_to_date",
    "notes_of",
    "open_bench",
    "page_files",
    "stamp_of_tree",
    "terms_ahead",
]


def notes_of(checked: CheckedTree) -> Notes:
    """Return the published notes of a checked tree as search takes them."""
    from kbgen.search.gather import TreeNotes

    return TreeNotes(checked)


def page_files(
    notes: Notes, store: Store | None = None, holds: Holds | None = None
) -> Iterator[tuple[str, bytes | Same]]:
    """Write the index that ``find.html`` loads, a path under ``find/`` with each file.

    Shape: ``store`` holds the terms of earlier builds; what stands for a file that the
    site ``holds`` is given in its place.
    """
    from kbgen.search.shelf_files import shelf_files

    return shelf_files(notes, store, holds)


def bring_up_to_date(root: Path, notes: Notes, stamped: str, store: Store) -> bool:
    """Bring the bench's index to these notes; return whether it is.

    Shape: ``stamped`` is what the tree was stamped before the notes were read; ``store``
    holds their terms. Where the index cannot be written nothing is lost: the next question
    makes it.
    """
    from kbgen.search.kept_terms import kept_words

    bench = Bench(root / ".kbgen" / "find", lambda: notes, lambda: stamped)
    try:
        bench.keep_up(notes, kept_words(store, notes.keys))
    except Exception:  # a full disk or a damaged file fails in any way it likes
        return False
    return True


def stamp_of_tree(root: Path) -> str:
    """Return what changes whenever a file changes that notes are read from."""
    return stamp(root / "content")


def terms_ahead(file: object, house: HouseThreads) -> None:
    """Count a note's own terms while its file is at hand; they stay with its source."""
    from kbgen.search.gather import terms_ahead as ahead

    ahead(file, house)
