"""What joins found in a tree, kept: it stands as long as every file states the same facts."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, TypeVar

from kbgen.checks.checked import Checked, Facts
from kbgen.checks.known import Known, Values
from kbgen.content import (
    Body,
    Filed,
    Note,
    Question,
    RecordingFile,
    Tree,
    load_captions,
    load_lists,
)
from kbgen.findings import Finding
from kbgen.kept import Record, Store, Unpackable, pack, unpack
from kbgen.links import Graph, load_ledger

__all__ = ["Joined", "keep_joined", "kept_joined"]

_STAGE, _NAME = "joins", "tree"

F = TypeVar("F", Note, Question)
K = TypeVar("K", int, str)


@dataclass(frozen=True, slots=True)
class Joined:
    """What was found in a tree, and the files that the joins opened for it."""

    read: Known
    checked: Checked
    opened: frozenset[str]

    @classmethod
    def of(cls, read: Known, checked: Checked) -> Joined:
        """Return what was found, once the joins are done and nothing else."""
        found = read.values.found.items()
        return cls(read, checked, frozenset(path for path, (one, _) in found if _is_opened(one)))

    def with_texts_of(self, read: Known) -> Joined | None:
        """Return the same with other texts of notes and questions; None where more changed."""
        if not read.of_all or read.of_all != self.read.of_all or read.fresh & self.opened:
            return None
        changed = [read.values[path][0] for path in read.fresh]
        tree = self.checked.tree
        notes: Mapping[int, Note] = _renewed(tree.notes, changed, Note)
        questions: Mapping[int, Question] = _renewed(tree.questions, changed, Question)
        tree = replace(tree, notes=notes, questions=questions)
        facts = replace(self.checked.facts, sums=read.sums)
        return Joined(read, replace(self.checked, tree=tree, facts=facts), self.opened)


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

    Shape: ``opened`` are the digests of the files that joins opened, by path; ``shelves``
    the paths of what stands on each, by number or id; ``captions`` those of recordings.
    ``graph`` is packed.
    """

    opened: dict[str, bytes]
    findings: tuple[Finding, ...]
    loading: tuple[Finding, ...]
    graph: bytes
    shelves: dict[str, dict[Any, str]]
    captions: dict[str, str]
    photos: tuple[str, ...]


_SHELVES = ("notes", "families", "parts", "recordings", "questions")


def keep_joined(store: Store, joined: Joined) -> Joined:
    """Keep what was found in a tree, where all of it may be published; return it.

    Shape: in what is returned links have in common what they name, which takes half the room.
    """
    read, checked = joined.read, joined.checked
    tree = checked.tree
    if not read.of_all or tree.fragments or tree.broken or not checked.publishable:
        return joined
    shelves = {name: _paths(getattr(tree, name)) for name in _SHELVES}
    if any(path not in read.sums for paths in shelves.values() for path in paths.values()):
        return joined  # one is too large to be kept
    graph = pack(checked.graph)
    kept = _Kept(
        {path: read.sums[path] for path in joined.opened},
        checked.findings,
        checked.loading,
        graph,
        shelves,
        {name: one.captions_path for name, one in tree.recordings.items() if one.captions_path},
        tree.photos,
    )
    store.keep(_STAGE, [(_NAME, Record(read.of_all, pack(kept)))])
    return Joined(read, replace(checked, graph=unpack(graph)), joined.opened)


def _paths(shelf: Mapping[K, Any]) -> dict[K, str]:
    return {key: one.source.path for key, one in shelf.items()}


def kept_joined(root: Path, store: Store, read: Known) -> Joined | None:
    """Return what was found in a tree that states what it stated then, None for any other.

    Shape: the files of the tree are unpacked when they are asked for.
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
    if not isinstance(graph, Graph) or any(
        read.sums.get(path) != sum_ for path, sum_ in kept.opened.items()
    ):
        return None
    ledger, _ = load_ledger(root)
    checked = Checked(
        _tree(root, read.values, kept),
        graph,
        ledger,
        kept.findings,
        kept.loading,
        Facts(read.of_all, read.sums, store),
    )
    return Joined(read, checked, frozenset(kept.opened))


def _tree(root: Path, values: Values, kept: _Kept) -> Tree:
    def one(path: str) -> Any:
        return values[path][0]

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
