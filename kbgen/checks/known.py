"""The files of a tree, read once: what was read of a file is kept until the file changes.

Reading a file and working out what follows from it alone is most of the work of an
inspection. A file with the size and times from before is taken to be the one from
before; any other is read, and is worked through only if its bytes are new.
"""

from __future__ import annotations

import errno
import time
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kbgen.checks.ahead import work_ahead
from kbgen.checks.hazards import Calling, calling_words
from kbgen.content import (
    LEDGER_PATH,
    Body,
    Filed,
    Note,
    Question,
    load_house_threads,
    read_file,
    read_plain,
)
from kbgen.findings import Finding
from kbgen.kept import (
    Record,
    Stamp,
    Store,
    Unpackable,
    digest,
    digest_of_listing,
    in_order,
    is_settled,
    listed,
    pack,
    program_digest,
    unpack,
)
from kbgen.personal import region_of
from kbgen.units import HouseThreads

if TYPE_CHECKING:
    from kbgen.checks.checked import Checked

__all__ = ["PLAINLY", "Ahead", "Held", "Known", "Progress", "Reader", "Want"]

Progress = Callable[[str, int, int], None]
"""Told how far a stage is: its name, what is done, and how much there is to do."""

Ahead = Callable[[object, HouseThreads], None]
"""Works out, of a file just read, what a later room will ask; it stays with the file's source."""

_STAGE = "files"
_LEDGER = LEDGER_PATH.removeprefix("content/")
_FOLDERS = ("notes", "questions", "families", "parts", "recordings")
_ENDINGS = (".md", ".yaml")
_LIMIT = 1_000_000  # of bytes; a larger file is not kept
_PARCEL = 16
_AT_ONCE = 500  # so many records are put into the store together: memory holds no more
_LEAST = 120
"""Fewer files than this are read here: two processes take longer to start than they save."""


@dataclass(frozen=True, slots=True)
class Want:
    """How files are to be read.

    Shape: ``further`` is done with each file while it is at hand, after what checks need.
    ``joined`` is done with the whole tree once it is joined, while all of it is at hand.
    Where not ``trusting``, every file is read, whatever its size and times say. Where not
    ``at_once``, what is kept may be unpacked when it is asked for, as long as the store
    is open.
    """

    progress: Progress | None = None
    trusting: bool = True
    further: Sequence[Ahead] = ()
    joined: Sequence[Callable[[Checked], object]] = ()
    at_once: bool = True


PLAINLY = Want()


class Values(Mapping[str, Any]):
    """What reading gives of files, by path: each unpacked when it is first asked for.

    Shape: ``again`` reads a file of which nothing sound is kept.
    """

    def __init__(self, store: Store, again: Callable[[str, bytes], Any]) -> None:
        self._store = store
        self._again = again
        self._keys: dict[str, bytes] = {}
        self._found: dict[str, Any] = {}

    def __getitem__(self, path: str) -> Any:
        if path not in self._found:
            self._found[path] = self.unpacked(path)
        return self._found[path]

    def unpacked(self, path: str) -> Any:
        """Return one that is not held afterwards."""
        if path in self._found:
            return self._found[path]
        return self._of(path, self._store.record(_STAGE, path) if path in self._keys else None)

    def __contains__(self, path: object) -> bool:
        return path in self._found or path in self._keys

    def __iter__(self) -> Iterator[str]:
        return iter(self._keys | dict.fromkeys(self._found))

    def __len__(self) -> int:
        return len(self._keys | dict.fromkeys(self._found))

    @property
    def found(self) -> Mapping[str, Any]:
        """Those that are unpacked."""
        return self._found

    def put(self, path: str, value: Any) -> None:
        """Take over what is at hand."""
        self._found[path] = value

    def promise(self, path: str, key: bytes) -> None:
        """Take over what is kept under a key, to be unpacked when it is asked for."""
        self._keys[path] = key

    def unpack_all(self) -> None:
        """Unpack all that is kept, in one go."""
        missing = self._keys.keys() - self._found.keys()
        kept = self._store.records(_STAGE) if missing else {}
        for path in missing:
            self._found[path] = self._of(path, kept.pop(path, None))

    def _of(self, path: str, record: Record | None) -> Any:
        if path not in self._keys:
            raise KeyError(path)
        key = self._keys[path]
        try:
            sound = record is not None and record.key == key
            return unpack(record.data) if record and sound else self._again(path, key)
        except Unpackable:
            return self._again(path, key)


@dataclass(frozen=True, slots=True)
class Known:
    """What reading the files of a tree gives.

    Shape: ``values`` holds what ``read_file`` gives, by path, of every file that is worth
    keeping and can be read; ``sums`` a digest, for each, of its bytes, and ``places`` one
    of where what it states stands; ``fresh`` are the paths of those that were worked
    through now. ``of_all`` is a digest of all that joins may ask, of other files too but
    for the address ledger, and empty where one of those may change yet.
    """

    values: Values
    sums: dict[str, bytes]
    places: dict[str, bytes]
    fresh: frozenset[str]
    of_all: bytes


@dataclass(slots=True)
class _File:
    """A file as it is found, and what is kept of it."""

    path: str
    stamp: Stamp
    kept: Record | None = None
    data: bytes = field(default=b"", repr=False)


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


class Reader:
    """Reads the files of a tree once, or takes what is kept of them.

    Shape: who reads a tree again and again gives the same ``held`` every time.
    """

    def __init__(self, root: Path, store: Store, want: Want, held: Held | None = None) -> None:
        """Look at what the files depend on beside themselves."""
        self._root = root
        self._store = store
        self._want = want
        self._held = held
        self._house = load_house_threads(root)
        self._region, self._calling = _region(root), _calling(root)
        declared = f"{self._region}\n{self._house.named}\n{self._calling!r}"
        self._context = digest(program_digest(), declared.encode())
        self._now_ns = time.time_ns()
        self._values = Values(store, self._again)
        self._fresh: dict[str, Record] = {}
        self._unkept: list[tuple[str, Record]] = []

    def read(self) -> Known:
        """Return what there is to know; what is new of it is kept."""
        files, apart = self._found
        kept = self._held.records(self._context) if self._held else {}
        self._is_held = bool(kept)
        kept = kept or self._heads
        worked = self._work(list(self._todo(files, kept)))
        keys = {path: (self._fresh.get(path) or kept[path]) for path in self._values}
        if self._held is not None:
            self._values.unpack_all()
            self._held.keep(keys, self._values)
        self._keep()
        self._store.forget(_STAGE, [path for path in kept if path not in files])
        facts = {path: record.key[_FACTS] for path, record in keys.items()}
        sums = {path: record.key[_SUM] for path, record in keys.items()}
        places = {path: record.key[_PLACES] for path, record in keys.items()}
        return Known(self._values, sums, places, worked, self._of_all(facts, apart))

    @cached_property
    def unread(self) -> int:
        """Of how many files nothing is kept that is wanted."""
        found = map(self._heads.get, self._found[0])
        return sum(1 for record in found if record is None or not self._holds_enough(record))

    @cached_property
    def _heads(self) -> dict[str, Record]:
        return self._store.heads(_STAGE)

    def _of_all(self, facts: Mapping[str, bytes], apart: bytes | None) -> bytes:
        if apart is None:
            return b""
        each = (part for path in sorted(facts) for part in (path.encode(), facts[path]))
        return digest(self._context, apart, *each)

    @cached_property
    def _found(self) -> tuple[dict[str, _File], bytes | None]:
        """The files that are worth keeping, and a digest of what else joins may read.

        Shape: the address ledger is in neither: whoever joins looks at it.
        """
        files: dict[str, _File] = {}
        apart: list[tuple[str, Stamp]] = []
        try:
            for path, stamp in listed(self._root / "content"):
                folder, _, name = path.rpartition("/")
                if folder in _FOLDERS and name.endswith(_ENDINGS) and stamp.size <= _LIMIT:
                    files[f"content/{path}"] = _File(f"content/{path}", stamp)
                elif path != _LEDGER:
                    apart.append((path, stamp))
        except OSError:
            return files, None  # loading will say so
        return files, digest_of_listing(apart, self._now_ns)

    def _todo(self, files: Mapping[str, _File], kept: Mapping[str, Record]) -> Iterator[_File]:
        """Yield the files whose bytes are new; of the others it is known where they are kept."""
        for path, file in files.items():
            record = kept.get(path)
            if record is None or not self._holds_enough(record):
                yield from self._read_anew(file)
            elif not (self._want.trusting and record.mark == pack(tuple(file.stamp))):
                file.kept = record
                yield from self._read_anew(file)
            else:
                self._take(path, record)

    def _read_anew(self, file: _File) -> Iterator[_File]:
        """Yield a file if its bytes are new; if not, it is known where it is kept."""
        try:
            data = (self._root / file.path).read_bytes()
        except OSError:
            return  # loading will say so
        if file.kept is not None and file.kept.key.startswith(self._key(file.path, data)):
            whole = file.kept if self._is_held else self._store.record(_STAGE, file.path)
            if whole is not None and whole.key == file.kept.key:
                self._note(file.path, whole._replace(mark=self._mark(file.stamp)))
                self._take(file.path, whole)
                return
        file.data = data
        yield file

    def _take(self, path: str, record: Record) -> None:
        """Take over what is held of a file, or where it is kept."""
        if self._held is not None and self._is_held:
            self._values.put(path, self._held.value(path))
        else:
            self._values.promise(path, record.key)

    def _again(self, path: str, key: bytes) -> Any:
        """Read a file of which nothing sound is kept any more. Raises: OSError."""
        data = (self._root / path).read_bytes()
        if not key.startswith(self._key(path, data)):
            raise OSError(errno.EAGAIN, "it changed while it was being read", str(path))
        return unpack(self._worked(_File(path, Stamp(0, 0, 0, 0), data=data))[0])

    def _work(self, todo: Sequence[_File]) -> frozenset[str]:
        """Work files through, in this or in other processes; return their paths."""
        worked = in_order(self._worked, todo, _PARCEL, _LEAST)
        for number, (file, (data, facts)) in enumerate(zip(todo, worked, strict=True)):
            key = self._key(file.path, file.data) + facts + _depth(self._want.further)
            self._values.promise(file.path, key)
            self._values.put(file.path, unpack(data))
            self._note(file.path, Record(key, data, self._mark(file.stamp)))
            file.data = b""
            if self._want.progress is not None:
                self._want.progress("reading", number + 1, len(todo))
        return frozenset(file.path for file in todo)

    def _note(self, path: str, record: Record) -> None:
        """Note down what is new of a file; the data go where they are kept, now or soon."""
        self._fresh[path] = record._replace(data=b"")
        self._unkept.append((path, record))
        if len(self._unkept) == _AT_ONCE:
            self._keep()

    def _keep(self) -> None:
        self._store.keep(_STAGE, self._unkept)
        self._unkept.clear()

    def _worked(self, file: _File) -> tuple[bytes, bytes]:
        """Return what reading a file gives, with all that follows from it alone, packed."""
        read = read_file(file.path, file.data)
        work_ahead(read[0], self._house, self._region, self._calling)
        for ahead in self._want.further:
            ahead(read[0], self._house)
        return pack(read), _facts(*read)

    def _key(self, path: str, data: bytes) -> bytes:
        return self._context + digest(path.encode(), data)

    def _holds_enough(self, record: Record) -> bool:
        return record.key.startswith(self._context) and record.key[-1:] >= _depth(
            self._want.further
        )

    def _mark(self, stamp: Stamp) -> bytes:
        """Return what a file is known by next time, nothing where it has to be read again."""
        return pack(tuple(stamp)) if is_settled(stamp, self._now_ns) else b""


_SUM, _FACTS, _PLACES = slice(16, 32), slice(32, 48), slice(48, 64)
"""Where in the key of a record the digests of its bytes, its facts and their places stand."""


def _facts(value: object, findings: Iterable[Finding]) -> bytes:
    """Return what joins may ask of a file without opening it again, and where that stands.

    Shape: two digests, one behind the other.
    """
    if isinstance(value, Note | Question):
        facts = value.source.facts
        return digest(value.face, facts.said, pack(findings)) + digest(facts.places)
    whole = value.source.digest if isinstance(value, Body | Filed) else b""
    return digest(whole, pack(findings)) + digest(b"")


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
