"""Records beside the tree, in one database file: damaged or deleted, nothing is lost but time.

A record stands in a slot (of a stage and a name, one record each) under a key that names
all it depends on, with a checksum over key and data. Two builds may share the file; where
it cannot be used at all, everything is worked out anew.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import sqlite3
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import NamedTuple

__all__ = ["Laid", "Record", "Same", "Store", "open_store"]

_VERSION = 2
_WAIT_S = 20.0
# With row numbers: in a tree of long rows only a few fit into a node, and it grows deep.
_TABLE = (
    "CREATE TABLE IF NOT EXISTS kept (stage TEXT, name TEXT, key BLOB, mark BLOB, data BLOB, "
    "sum BLOB, PRIMARY KEY (stage, name))"
)


class Record(NamedTuple):
    """What is kept in one slot.

    Shape: ``key`` names what ``data`` depends on; ``mark`` is a remark for the reader
    (a file's stamp), which may be empty.
    """

    key: bytes
    data: bytes
    mark: bytes = b""


class Same(NamedTuple):
    """Stands for the bytes of a file that is already there. Shape: their SHA-256 in hex."""

    digest: str


class Laid(NamedTuple):
    """Stands for the bytes of a file that was put into the new site by whoever made it.

    Shape: the SHA-256 of the bytes in hex, and whether they had to be written.
    """

    digest: str
    written: bool


class Store:
    """The records of one tree. Whatever goes wrong with the file is as if nothing were kept."""

    def __init__(self, path: Path | None) -> None:
        self._path = path
        self._process = os.getpid()
        self._left: list[sqlite3.Connection] = []
        self._opened: sqlite3.Connection | None = None
        if path is not None:
            self._opened = _opened(path) or _opened_anew(path)

    @property
    def _base(self) -> sqlite3.Connection | None:
        """The open file. A process that was forked opens it anew: one opening is not for two."""
        if self._process != os.getpid():
            self._process = os.getpid()
            if self._opened is not None and self._path is not None:
                self._left.append(self._opened)  # not closed: that is for its own process
                self._opened = _opened(self._path)
        return self._opened

    def records(self, stage: str) -> dict[str, Record]:
        """Return the sound records of a stage by name."""
        found: dict[str, Record] = {}
        if self._base is None:
            return found
        try:
            rows = self._base.execute(
                "SELECT name, key, mark, data, sum FROM kept WHERE stage = ?", (stage,)
            )
            for name, key, mark, data, checksum in rows:
                if _sum(stage, name, key, mark, data) == checksum:
                    found[name] = Record(key, data, mark)
        except (sqlite3.Error, TypeError):
            self._start_anew()
        return found

    def heads(self, stage: str) -> dict[str, Record]:
        """Return the records of a stage by name, without their data and not proved sound.

        Shape: whoever goes on from a key or a mark compares it with what it has to be.
        """
        if self._base is None:
            return {}
        try:
            rows = self._base.execute("SELECT name, key, mark FROM kept WHERE stage = ?", (stage,))
            return {name: Record(key, b"", mark) for name, key, mark in rows}
        except sqlite3.Error:
            self._start_anew()
        return {}

    def record(self, stage: str, name: str) -> Record | None:
        """Return the sound record of one slot, None where there is none."""
        if self._base is None:
            return None
        try:
            row = self._base.execute(
                "SELECT key, mark, data, sum FROM kept WHERE stage = ? AND name = ?", (stage, name)
            ).fetchone()
            if row is not None and _sum(stage, name, *row[:3]) == row[3]:
                return Record(row[0], row[2], row[1])
        except (sqlite3.Error, TypeError):
            self._start_anew()
        return None

    def names(self, stage: str) -> list[str]:
        """Return the names of a stage's slots."""
        if self._base is None:
            return []
        try:
            rows = self._base.execute("SELECT name FROM kept WHERE stage = ?", (stage,))
            return [name for (name,) in rows]
        except sqlite3.Error:
            self._start_anew()
        return []

    def keep(self, stage: str, records: Iterable[tuple[str, Record]]) -> None:
        """Put records into their slots."""
        if self._base is None:
            return
        rows = (
            (stage, name, one.key, one.mark, one.data, _sum(stage, name, *_parts(one)))
            for name, one in records
        )
        try:
            with self._base:
                self._base.executemany("INSERT OR REPLACE INTO kept VALUES (?,?,?,?,?,?)", rows)
        except sqlite3.Error:
            self._start_anew()

    def forget(self, stage: str, names: Iterable[str]) -> None:
        """Empty the slots of what is no more."""
        if self._base is None:
            return
        try:
            with self._base:
                self._base.executemany(
                    "DELETE FROM kept WHERE stage = ? AND name = ?",
                    ((stage, name) for name in names),
                )
        except sqlite3.Error:
            self._start_anew()

    def close(self) -> None:
        """Close the file."""
        if self._base is not None:
            with contextlib.suppress(sqlite3.Error):
                self._base.close()
            self._opened = None

    def _start_anew(self) -> None:
        """Put an empty file in the place of one that is damaged."""
        self.close()
        if self._path is not None:
            self._opened = _opened_anew(self._path)


def _parts(record: Record) -> tuple[bytes, bytes, bytes]:
    return record.key, record.mark, record.data


def _sum(stage: str, name: str, key: bytes, mark: bytes, data: bytes) -> bytes:
    whole = hashlib.blake2b(f"{stage}\0{name}\0".encode(), digest_size=12)
    for part in (key, mark, data):
        whole.update(len(part).to_bytes(8, "little"))
        whole.update(part)
    return whole.digest()


def _opened(path: Path) -> sqlite3.Connection | None:
    """Return the open file, None where it cannot be used."""
    base: sqlite3.Connection | None = None
    try:
        path.parent.mkdir(exist_ok=True)
        base = sqlite3.connect(path, timeout=_WAIT_S, check_same_thread=False)
        if base.execute("PRAGMA user_version").fetchone()[0] not in (0, _VERSION):
            raise sqlite3.DatabaseError("another version's")
        base.execute("PRAGMA journal_mode = WAL").fetchone()
        base.execute("PRAGMA synchronous = OFF")
        base.execute(_TABLE)
        base.execute(f"PRAGMA user_version = {_VERSION}")
    except (sqlite3.Error, OSError):
        if base is not None:
            base.close()
        return None
    return base


def _opened_anew(path: Path) -> sqlite3.Connection | None:
    for name in (path.name, f"{path.name}-wal", f"{path.name}-shm"):
        with contextlib.suppress(OSError):
            path.with_name(name).unlink()
    return _opened(path)


@contextmanager
def open_store(folder: Path | None) -> Iterator[Store]:
    """Open the store in a tree's working folder; None keeps nothing.

    Shape: where the folder cannot be written, nothing is kept and nothing fails.
    """
    store = Store(folder / "kept.db" if folder is not None else None)
    try:
        yield store
    finally:
        store.close()
