"""The files of a tree, read once: what was read of a file is kept until the file changes.

Reading a file and working out what follows from it alone is most of the work of an
inspection. A file with the size and times from before is taken to be the one from
before; any other is read, and is worked through only if its bytes are new.
"""

from __future__ import annotations

import hashlib
import os
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from kbgen.checks.ahead import work_ahead
from kbgen.checks.checked import Checked, check
from kbgen.checks.hazards import Calling, calling_words
from kbgen.content import Body, Filed, load_house_threads, load_tree, read_file, read_plain
from kbgen.kept import (
    Record,
    Stamp,
    Store,
    Unpackable,
    in_order,
    is_settled,
    open_store,
    pack,
    program_digest,
    stamp_of,
    unpack,
)
from kbgen.personal import region_of
from kbgen.units import HouseThreads

__all__ = ["Ahead", "Held", "Progress", "checked_tree", "read_tree"]

Progress = Callable[[str, int, int], None]
"""Told how far a stage is: its name, what is done, and how much there is to do."""

Ahead = Callable[[object, HouseThreads], None]
"""Works out, of a file just read, what a later room will ask; it stays with the file's source."""

_Known = Callable[[str], Any]

_STAGE = "files"
_FOLDERS = ("notes", "questions", "families", "parts", "recordings")
_ENDINGS = (".md", ".yaml")
_LIMIT = 1_000_000  # of bytes; a larger file is not kept
_PARCEL = 16
_LEAST = 120
"""Fewer files than this are read here: two processes take longer to start than they save."""


def checked_tree(root: Path, progress: Progress | None = None, trusting: bool = True) -> Checked:
    """Return the tree below ``root``, loaded and checked.

    Shape: what was read is kept in ``.kbgen`` where a build has made that folder; nothing
    else is written. Where not ``trusting``, every file is read, whatever its size and
    times say.
    Raises: TreeMissing; OSError where the machine does not give the address ledger.
    """
    folder = root / ".kbgen"
    with open_store(folder if folder.is_dir() else None) as store:
        return read_tree(root, store, progress, trusting)


def read_tree(
    root: Path,
    store: Store,
    progress: Progress | None = None,
    trusting: bool = True,
    further: Sequence[Ahead] = (),
    held: Held | None = None,
) -> Checked:
    """Return the tree below ``root``, loaded and checked, with what ``store`` holds of it.

    Shape: ``further`` is done with each file while it is at hand, after what checks need.
    Who reads a tree again and again gives the same ``held`` every time: what did not
    change is in it.
    """
    known = _known(root, store, progress, trusting, further, held)
    checked = check(load_tree(root, known.get))
    if held is None:
        for one, _ in known.values():
            if isinstance(one, Body | Filed):
                one.source.let_go()
    return checked


class Held:
    """The files of a tree as they were read last, for who goes on reading it."""

    def __init__(self) -> None:
        self._context = b""
        self._files: dict[str, tuple[Record, Any]] = {}

    def records(self, context: bytes) -> dict[str, Record]:
        """Return what tells of each file whether it changed; the data are left out.

        Shape: ``context`` is what all that is held depends on beside the files.
        """
        if context != self._context:
            self._context, self._files = context, {}
        return {path: record for path, (record, _) in self._files.items()}

    def keep(self, records: Mapping[str, Record], known: Mapping[str, Any]) -> None:
        """Hold what was read, by path, with the records of it."""
        self._files = {
            path: (records[path]._replace(data=b""), value) for path, value in known.items()
        }

    def value(self, path: str) -> Any:
        """Return what is held of a file that has a record."""
        return self._files[path][1]


@dataclass(slots=True)
class _File:
    """A file as it is found, and what is kept of it."""

    path: str
    stamp: Stamp
    kept: Record | None = None
    data: bytes = field(default=b"", repr=False)


def _known(
    root: Path,
    store: Store,
    progress: Progress | None,
    trusting: bool,
    further: Sequence[Ahead],
    held: Held | None,
) -> dict[str, Any]:
    """Return what reading gives of every file that is known or can be read now, by path."""
    house = load_house_threads(root)
    region, calling = _region(root), _calling(root)
    declared = f"{region}\n{house.named}\n{calling!r}"
    context = _digest(program_digest(), declared.encode())
    now_ns = time.time_ns()
    kept = held.records(context) if held else {}
    known_of = held.value if held and kept else None
    kept = kept or store.records(_STAGE)
    files = {file.path: file for file in _files(root)}
    known: dict[str, Any] = {}
    fresh: list[tuple[str, Record]] = []
    missing: list[_File] = []
    for path, file in files.items():
        record = kept.get(path)
        mark = pack(tuple(file.stamp))
        if record is None or not _holds_enough(record, context, further):
            missing.append(file)
        elif not (trusting and record.mark == mark):
            missing.append(file)
            file.kept = record
        elif _taken(known, path, record.data, known_of):
            kept[path] = record._replace(data=b"")  # its room is wanted for the next
        else:
            missing.append(file)
    todo = list(_read_anew(root, missing, context, known, fresh, now_ns, known_of))
    total = len(todo)
    packed = in_order(
        lambda file: _worked(file, house, region, calling, further), todo, _PARCEL, _LEAST
    )
    for number, (file, data) in enumerate(zip(todo, packed, strict=True)):
        _taken(known, file.path, data)
        key = context + _digest(file.path.encode(), file.data) + _depth(further)
        fresh.append((file.path, Record(key, data, _mark(file.stamp, now_ns))))
        file.data = b""
        if progress is not None:
            progress("reading", number + 1, total)
    if held is not None:
        held.keep({**kept, **dict(fresh)}, known)
    store.keep(_STAGE, fresh)
    store.forget(_STAGE, [path for path in kept if path not in files])
    return known


def _read_anew(
    root: Path,
    files: list[_File],
    context: bytes,
    known: dict[str, Any],
    fresh: list[tuple[str, Record]],
    now_ns: int,
    held: _Known | None,
) -> Iterator[_File]:
    """Yield the files whose bytes are new; of the others, what is kept is known."""
    for file in files:
        try:
            data = (root / file.path).read_bytes()
        except OSError:
            continue  # loading will say so
        key = context + _digest(file.path.encode(), data)
        old = file.kept
        same = old is not None and old.key.startswith(key)
        if old is not None and same and _taken(known, file.path, old.data, held):
            fresh.append((file.path, Record(old.key, old.data, _mark(file.stamp, now_ns))))
            continue
        file.data = data
        yield file


def _region(root: Path) -> str:
    """Return the country of the workshop's language, as far as its file can be read."""
    plain = _plain(root, "workshop.yaml")
    language = plain.get("language") if isinstance(plain, dict) else None
    return region_of(language if isinstance(language, str) else "")


def _calling(root: Path) -> Calling:
    """Return the words that hazards are called for by, as far as their file can be read."""
    rows = _plain(root, "hazards.yaml")
    found = []
    for row in rows if isinstance(rows, list) else ():
        name = row.get("id") if isinstance(row, dict) else None
        words = row.get("calls_for") if isinstance(row, dict) else None
        if isinstance(name, str) and isinstance(words, list):
            found.append((name, [word for word in words if isinstance(word, str)]))
    return calling_words(found)


def _plain(root: Path, name: str) -> object:
    try:
        text = (root / "content" / name).read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError):
        text = ""
    return read_plain(text[:_LIMIT])[0]


def _depth(further: Sequence[Ahead]) -> bytes:
    """Return the last byte of a record's key: whether more than the checks need was done."""
    return b"\1" if further else b"\0"


def _holds_enough(record: Record, context: bytes, further: Sequence[Ahead]) -> bool:
    return record.key.startswith(context) and record.key[-1:] >= _depth(further)


def _worked(
    file: _File, house: HouseThreads, region: str, calling: Calling, further: Sequence[Ahead]
) -> bytes:
    """Return what reading a file gives, with all that follows from it alone, packed."""
    read = read_file(file.path, file.data)
    work_ahead(read[0], house, region, calling)
    for ahead in further:
        ahead(read[0], house)
    return pack(read)


def _mark(stamp: Stamp, now_ns: int) -> bytes:
    """Return what a file is known by next time, nothing where it has to be read again."""
    return pack(tuple(stamp)) if is_settled(stamp, now_ns) else b""


def _taken(known: dict[str, Any], path: str, data: bytes, held: _Known | None = None) -> bool:
    """Put what is kept of a file with what is known, unpacked or as it is held."""
    if held is not None and not data:
        known[path] = held(path)
        return True
    try:
        known[path] = unpack(data)
    except Unpackable:
        return False
    return True


def _files(root: Path) -> Iterator[_File]:
    """Yield the files that are worth keeping, as the disk lists them."""
    for folder in _FOLDERS:
        try:
            with os.scandir(root / "content" / folder) as entries:
                for entry in entries:
                    if entry.name.endswith(_ENDINGS) and entry.is_file(follow_symlinks=False):
                        stamp = stamp_of(entry.stat(follow_symlinks=False))
                        if stamp.size <= _LIMIT:
                            yield _File(f"content/{folder}/{entry.name}", stamp)
        except OSError:
            continue  # loading will say so


def _digest(*parts: bytes) -> bytes:
    whole = hashlib.blake2b(digest_size=16)
    for part in parts:
        whole.update(len(part).to_bytes(8, "little"))
        whole.update(part)
    return whole.digest()
