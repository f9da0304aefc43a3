"""Finding notes: one analysis and one ranking, at the bench and in the published page.

``Bench`` answers from a Whoosh index kept beside the tree; ``indexes_of`` writes the
files from which the page's script gives the same answers with no server, and brings the
bench's index up to date along with them. ``terms_ahead`` counts a note's terms while its
file is being read.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from kbgen.search.analysis import plain_terms as analyse
from kbgen.search.bench import Bench, open_bench, stamp_of_tree
from kbgen.search.documents import Facet, Notes, SearchDocument, Shelf, ThreadPage, Widening
from kbgen.search.results import Result, Results

if TYPE_CHECKING:
    from kbgen.kept import Store
    from kbgen.search.gather import CheckedTree
    from kbgen.search.indexes import Indexes
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
    "indexes_of",
    "keys_ahead",
    "open_bench",
    "stamp_of_tree",
    "terms_ahead",
]


def indexes_of(
    checked: CheckedTree, store: Store | None = None, holds: Holds | None = None
) -> Indexes:
    """Return both indexes of the published notes of a checked tree.

    Shape: ``store`` holds the terms of earlier builds; what stands for a file that the site
    ``holds`` is given in its place.
    """
    from kbgen.search.gather import TreeNotes
    from kbgen.search.indexes import Indexes

    return Indexes(TreeNotes(checked), store, holds)


def keys_ahead(checked: CheckedTree) -> None:
    """Work out what notes are found by, while all of them are at hand; it is kept."""
    from kbgen.search.gather import keys_ahead as ahead

    ahead(checked)


def terms_ahead(file: object, house: HouseThreads) -> None:
    """Count a note's own terms while its file is at hand; they stay with its source."""
    from kbgen.search.gather import terms_ahead as ahead

    ahead(file, house)
