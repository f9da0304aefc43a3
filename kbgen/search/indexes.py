"""Both indexes of one build, from terms that are counted once."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from kbgen.kept import Same, Store
from kbgen.search.bench import Bench
from kbgen.search.documents import Notes
from kbgen.search.kept_terms import KeptTerms, Lost
from kbgen.search.shelf_files import Holds, files_of

__all__ = ["Indexes"]


class Indexes:
    """The index that the page loads, and the one at the bench.

    Shape: ``store`` holds the terms of earlier builds; what stands for a file that the site
    ``holds`` is given in its place.
    """

    def __init__(self, notes: Notes, store: Store | None = None, holds: Holds | None = None):
        self._notes = notes
        self._store = store
        self._holds = holds
        self._kept: KeptTerms | None = None

    def page_files(self) -> Iterator[tuple[str, bytes | Same]]:
        """Write what ``find.html`` loads, a path under ``find/`` with each file."""
        if self._store is not None:
            try:
                self._kept = KeptTerms.grown(self._notes, self._store)
                grown = list(files_of(self._kept, self._store, self._holds))
            except Lost:
                pass
            else:
                yield from grown
                return
        self._kept = KeptTerms.anew(self._notes, self._store)
        yield from files_of(self._kept, self._store, self._holds)

    def bring_up_to_date(self, root: Path, stamped: str) -> bool:
        """Bring the bench's index to the notes whose page files were just written.

        Shape: ``stamped`` is what the tree below ``root`` was stamped before it was read.
        Where the index cannot be written nothing is lost, and the next question makes it:
        then false is returned.
        """
        assert self._kept is not None, "the page's files come first"
        bench = Bench(root / ".kbgen" / "find", lambda: self._notes, lambda: stamped)
        whole = self._kept.terms if self._kept.counted_anew else None
        try:
            bench.keep_up(self._notes, list(self._kept.terms.words), whole)
        except Exception:  # a full disk or a damaged file fails in any way it likes
            return False
        return True
