"""What a build has kept, read by a proof, which writes nothing."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable
from pathlib import Path

from kbgen.kept import Record, Store

__all__ = ["Lent"]


class Lent(Store):
    """The records of a tree, read and never written.

    The file is opened as one that nobody changes, so that not even a lock is laid beside
    it. Where a build writes it meanwhile a record may be damaged, and is then as good as
    absent, as any other is.
    """

    def __init__(self, root: Path) -> None:
        super().__init__(None)
        path = (root / ".kbgen" / "kept.db").absolute()
        if path.is_file():
            try:
                self._opened = sqlite3.connect(
                    f"{path.as_uri()}?mode=ro&immutable=1", uri=True, check_same_thread=False
                )
            except sqlite3.Error:
                self._opened = None

    def keep(self, stage: str, records: Iterable[tuple[str, Record]]) -> None:
        """Keep nothing."""

    def forget(self, stage: str, names: Iterable[str]) -> None:
        """Forget nothing."""
