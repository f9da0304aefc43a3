"""The tree below a folder, read and checked; what joins found before is taken where it stands.

What follows from one file alone is kept until the file changes. What follows from all of
them together (links, the ledger, the findings of rules) is worked out anew, unless every
file states the same facts as before: then an edit changed words that no join asks about.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TypeVar

from kbgen.checks import known
from kbgen.checks.checked import Checked, check
from kbgen.checks.known import PLAINLY, Known, Want, read_files
from kbgen.content import Body, Filed, Note, Question, load_tree
from kbgen.kept import Store, open_store

__all__ = ["Held", "checked_tree", "read_tree"]


def checked_tree(root: Path) -> Checked:
    """Return the tree below ``root``, loaded and checked.

    Shape: what was read is kept in ``.kbgen`` where a build has made that folder; nothing
    else is written.
    Raises: TreeMissing; OSError where the machine does not give the address ledger.
    """
    folder = root / ".kbgen"
    with open_store(folder if folder.is_dir() else None) as store:
        return read_tree(root, store)


F = TypeVar("F", Note, Question)


class Held:
    """A tree as it was read and checked last, for who goes on reading it."""

    def __init__(self) -> None:
        self.files = known.Held()
        self._last: _Joined | None = None

    def joined(self, read: Known, make: Callable[[], _Joined]) -> _Joined:
        """Return what is found in a tree: what was found before, where that is proved to stand."""
        still = self._last.with_texts_of(read) if self._last else None
        self._last = still or make()
        return self._last


def read_tree(
    root: Path,
    store: Store,
    want: Want = PLAINLY,
    held: Held | None = None,
) -> Checked:
    """Return the tree below ``root``, loaded and checked, with what ``store`` holds of it.

    Shape: who reads a tree again and again gives the same ``held`` every time: what did
    not change is in it.
    Raises: TreeMissing; OSError where the machine does not give the address ledger.
    """
    read = read_files(root, store, want, held.files if held else None)
    if held is not None:
        return held.joined(read, lambda: _joined(root, read)).checked
    checked = _joined(root, read).checked
    _let_go(read)
    return checked


@dataclass(frozen=True, slots=True)
class _Joined:
    """What was found in a tree, and the files that the joins opened for it."""

    read: Known
    checked: Checked
    opened: frozenset[str]

    def with_texts_of(self, read: Known) -> _Joined | None:
        """Return the same with other texts of notes and questions; None where more changed."""
        before = self.read
        if read.apart is None or (read.context, read.apart) != (before.context, before.apart):
            return None
        if read.facts != before.facts or read.values.keys() != before.values.keys():
            return None
        if read.fresh & self.opened:
            return None
        changed = [read.values[path][0] for path in read.fresh]
        tree = self.checked.tree
        notes: Mapping[int, Note] = _renewed(tree.notes, changed, Note)
        questions: Mapping[int, Question] = _renewed(tree.questions, changed, Question)
        checked = replace(self.checked, tree=replace(tree, notes=notes, questions=questions))
        return _Joined(read, checked, self.opened)


def _renewed(shelf: Mapping[int, F], changed: list[object], kind: type[F]) -> Mapping[int, F]:
    """Return a shelf with what changed on it; one that did not change is the same."""
    fresh = {
        one.number: one
        for one in changed
        if isinstance(one, kind) and shelf[one.number].source.path == one.source.path
    }
    return {**shelf, **fresh} if fresh else shelf


def _joined(root: Path, read: Known) -> _Joined:
    """Load and check a tree, and see what its joins open."""
    _let_go(read)
    checked = check(load_tree(root, read.values.get))
    return _Joined(read, checked, _opened(read))


def _opened(read: Known) -> frozenset[str]:
    """Return the files that were asked for more than their facts since they were let go."""
    return frozenset(path for path, (one, _) in read.values.items() if _is_opened(one))


def _is_opened(one: object) -> bool:
    return not isinstance(one, Body | Filed) or one.source.opened


def _let_go(read: Known) -> None:
    """Give back the room of what was unpacked."""
    for one, _ in read.values.values():
        if isinstance(one, Body):
            one.let_go()
        elif isinstance(one, Filed):
            one.source.let_go()
