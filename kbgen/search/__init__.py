"""Finding notes: one analysis and one ranking, at the bench and in the published page.

``Bench`` answers from a Whoosh index kept beside the tree; ``page_files`` writes the
files from which the page's script gives the same answers with no server.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from kbgen.search.analysis import plain_terms as analyse
from kbgen.search.bench import Bench, open_bench
from kbgen.search.documents import Facet, SearchDocument, Shelf, ThreadPage, Widening
from kbgen.search.results import Result, Results

if TYPE_CHECKING:
    from kbgen.kept import Store
    from kbgen.search.gather import CheckedTree

__all__ = [
    "Bench",
    "Facet",
    "Result",
    "Results",
    "SearchDocument",
    "Shelf",
    "ThreadPage",
    "Widening",
    "analyse",
    "open_bench",
    "page_files",
]


def page_files(checked: CheckedTree, store: Store | None = None) -> Iterator[tuple[str, bytes]]:
    """Write the index that ``find.html`` loads, a path under ``find/`` with each file.

    Shape: ``store`` holds what the analysis made of the notes before.
    """
    from kbgen.search.gather import shelf_of
    from kbgen.search.shelf_files import shelf_files

    return shelf_files(shelf_of(checked), store)
