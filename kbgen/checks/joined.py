"""What joins found in a tree, kept: it stands as long as every file states the same facts."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import Any, TypeVar

from kbgen.checks.checked import Checked, Facts
from kbgen.checks.known import Known, Values
from kbgen.content import (
    LEDGER_PATH,
    Body,
    Filed,
    Note,
    Question,
    RecordingFile,
    Source,
    Tree,
    load_captions,
    load_lists,
)
from kbgen.findings import Finding
from kbgen.kept import Record, Store, Unpackable, digest, pack, unpack
from kbgen.links import Graph, Ledger, format_ledger, load_ledger, sum_of_ledger

__all__ = ["Joined", "keep_joined", "kept_joined"]

_STAGE, _NAME = "joins", "tree"

F = TypeVar("F", Note, Question)
K = TypeVar("K", int, str)


@dataclass(frozen=True, slots=True)
class Joined:
    """What was found in a tree, and what the joins opened for it.

    Shape: ``opened`` are the digests of files, by path; ``ledgers`` those of the address
    ledgers with which the same is found.
    """

    read: Known
    checked: Checked
    opened: dict[str, bytes]
    ledgers: frozenset[bytes]

    @classmethod
    def of(cls, read: Known, checked: Checked, ledger: bytes | None) -> Joined:
        """Return what was found, once the joins are done and nothing else.

        Shape: ``ledger`` is the digest of the one that was read, None where it changed.
        """
        found = read.values.found.items()
        opened = {path: read.sums[path] for path, (one, _) in found if _is_opened(one)}
        ledgers = frozenset(filter(None, (ledger, _once_renewed(checked))))
        return cls(read, checked, opened, ledgers)

    def with_texts_of(self, read: Known) -> Joined | None:
        """Return the same with other texts of notes and questions; None where more changed."""
        if not read.of_all or read.of_all != self.read.of_all:
            return None
        if sum_of_ledger(self.checked.tree.root) not in self.ledgers:
            return None
        if not _stands(read, self.opened, self.read.places, self.checked.findings):
            return None
        changed = [read.values[path][0] for path in read.fresh]
        tree = self.checked.tree
        notes: Mapping[int, Note] = _renewed(tree.notes, changed, Note)
        questions: Mapping[int, Question] = _renewed(tree.questions, changed, Question)
        tree = replace(tree, notes=notes, questions=questions)
        facts = replace(self.checked.facts, sums=read.sums)
        checked = replace(self.checked, tree=tree, facts=facts)
        return replace(self, read=read, checked=checked)


def _once_renewed(checked: Checked) -> bytes | None:
    """Return the digest of the ledger that a build writes, after which all is found again.

    Shape: None where something is said of a line of the ledger, which is another then.
    """
    if any(_names(one, LEDGER_PATH) for one in checked.findings):
        return None
    return digest(format_ledger(checked.ledger))


def _names(found: Finding, path: str) -> bool:
    return path == found.path or path in found.message or path in found.hint


def _stands(
    read: Known,
    opened: Mapping[str, bytes],
    places: Mapping[str, bytes],
    findings: Iterable[Finding],
) -> bool:
    """Return whether what was found stands in a tree that states the same.

    Shape: a file that was opened has to be what it was, and one that is named in a finding
    has to state everything where it did.
    """
    if any(read.sums.get(path) != sum_ for path, sum_ in opened.items()):
        return False
    moved = [path for path, place in read.places.items() if places.get(path) != place]
    return not any(_names(one, path) for path in moved for one in findings)


def _is_opened(one: object) -> bool:
    return not isinstance(one, Body | Filed) or one.source.opened


def _renewed(shelf: Mapping[int, F], changed: list[object], kind: type[F]) -> Mapping[int, F]:
    """Return a shelf with what changed on it; one that did not change is the same."""
    fresh = {
        one.number: one
        for one in changed
        if isinstance(one, kind) and shelf[one.number].source.path == one.source.path
    }
    return {**shelf, **fresh} if fresh else shelf


@dataclass(frozen=True, slots=True)
class _Kept:
    """What was found in a tree of which every file could be read.

    Shape: ``opened`` are the digests of the files that joins opened, by path, ``places``
    those of where every file states something, ``ledger`` that of the one with which the
    same is found; ``shelves`` are the paths of what stands on each, by number or id;
    ``captions`` those of recordings. ``graph`` is packed.
    """

    opened: dict[str, bytes]
    places: dict[str, bytes]
    ledger: bytes
    findings: tuple[Finding, ...]
    loading: tuple[Finding, ...]
    graph: bytes
    shelves: dict[str, dict[Any, str]]
    captions: dict[str, str]
    photos: tuple[str, ...]


_SHELVES = ("notes", "families", "parts", "recordings", "questions")


def keep_joined(store: Store, joined: Joined) -> None:
    """Keep what was found in a tree, where all of it may be published."""
    read, checked = joined.read, joined.checked
    tree = checked.tree
    if not read.of_all or tree.fragments or tree.broken or not checked.publishable:
        return
    shelves = {name: _paths(getattr(tree, name)) for name in _SHELVES}
    if any(path not in read.sums for paths in shelves.values() for path in paths.values()):
        return  # one is too large to be kept
    ledger = _once_renewed(checked)
    if ledger is None:
        return
    kept = _Kept(
        joined.opened,
        read.places,
        ledger,
        checked.findings,
        checked.loading,
        pack(checked.graph),
        shelves,
        {name: one.captions_path for name, one in tree.recordings.items() if one.captions_path},
        tree.photos,
    )
    store.keep(_STAGE, [(_NAME, Record(read.of_all, pack(kept)))])


def _paths(shelf: Mapping[K, Any]) -> dict[K, str]:
    return {key: one.source.path for key, one in shelf.items()}


def kept_joined(
    root: Path, store: Store, read: Known, ledger: Ledger | None = None
) -> Joined | None:
    """Return what was found in a tree that states what it stated then, None for any other.

    Shape: the files of the tree are unpacked when they are asked for. ``ledger`` is the
    address ledger that is to be, where it is not the one in the tree already.
    Raises: OSError where the machine does not give the address ledger.
    """
    record = store.record(_STAGE, _NAME) if read.of_all else None
    if record is None or record.key != read.of_all:
        return None
    try:
        kept = unpack(record.data)
        graph = unpack(kept.graph) if isinstance(kept, _Kept) else None
    except Unpackable:
        return None
    sum_ = digest(format_ledger(ledger)) if ledger else sum_of_ledger(root)
    if not isinstance(graph, Graph) or sum_ != kept.ledger:
        return None
    if not _stands(read, kept.opened, kept.places, kept.findings):
        return None
    checked = Checked(
        _tree(root, read.values, kept),
        graph,
        ledger or load_ledger(root)[0],
        kept.findings,
        kept.loading,
        Facts(read.of_all, read.sums, store),
    )
    return Joined(read, checked, kept.opened, frozenset({kept.ledger}))


def _tree(root: Path, values: Values, kept: _Kept) -> Tree:
    one = _Whole(values).take

    def recording(path: str) -> RecordingFile:
        filed = one(path)
        said = kept.captions.get(filed.id, "")
        captions = load_captions(root, said) if said else ()
        return RecordingFile(filed.id, filed.source, filed.model, captions, said)

    shelves: dict[str, Mapping[Any, Any]] = {
        name: _Shelf(kept.shelves[name], recording if name == "recordings" else one)
        for name in _SHELVES
    }
    things: dict[str, Any] = {**shelves, **load_lists(root)}
    return Tree(root=root, photos=kept.photos, **things)


_AT_HAND = 32_000  # of some 9 KB each: what a process of a large build may hold


class _Whole:
    """Files that are unpacked when they are asked for: the last few whole, others the models."""

    def __init__(self, values: Values) -> None:
        self._values = values
        self._lately: deque[tuple[str, Source]] = deque()

    def take(self, path: str) -> Any:
        """Return what a file holds."""
        found = self._values.unpacked(path)[0]
        if isinstance(found, Body | Filed):
            self._hold(path, found.source)
        return found

    def _hold(self, path: str, source: Source) -> None:
        self._lately.append((path, source))
        if len(self._lately) > _AT_HAND:
            path, source = self._lately.popleft()
            source.leave(partial(self._again, path, source))

    def _again(self, path: str, source: Source) -> Source:
        self._hold(path, source)
        again: Source = self._values.unpacked(path)[0].source
        return again


class _Shelf(Mapping[Any, Any]):
    """What stands on a shelf, each taken down when it is first asked for."""

    def __init__(self, paths: Mapping[Any, str], take: Callable[[str], Any]) -> None:
        self._paths = paths
        self._take = take
        self._taken: dict[Any, Any] = {}

    def __getitem__(self, key: Any) -> Any:
        if key not in self._taken:
            self._taken[key] = self._take(self._paths[key])
        return self._taken[key]

    def __contains__(self, key: object) -> bool:
        return key in self._paths

    def __iter__(self) -> Iterator[Any]:
        return iter(self._paths)

    def __len__(self) -> int:
        return len(self._paths)
