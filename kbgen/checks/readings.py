"""The tree below a folder, read and checked; what joins found before is taken where it stands.

What follows from one file alone is kept until the file changes. What follows from all of
them together (links, the ledger, the findings of rules) is worked out anew, unless every
file states the same facts as before: then an edit changed words that no join asks about.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from kbgen.checks import known
from kbgen.checks.checked import Checked, Facts, check
from kbgen.checks.joined import Joined, keep_joined, kept_joined
from kbgen.checks.known import PLAINLY, Known, Progress, Reader, Want
from kbgen.content import Body, Filed, load_tree
from kbgen.kept import Store, elsewhere, open_store, worth_sharing
from kbgen.links import Ledger, format_ledger, parse_ledger, sum_of_ledger

__all__ = ["Held", "checked_tree", "read_tree"]

_MUCH = 20_000
"""From so many files on that are to be read the room for it is given back.

It costs a seventh of the time, since who makes pages has to unpack what it asks for.
"""


def checked_tree(root: Path) -> Checked:
    """Return the tree below ``root``, loaded and checked.

    Shape: what was read is kept in ``.kbgen`` where a build has made that folder; nothing
    else is written.
    Raises: TreeMissing; OSError where the machine does not give the address ledger.
    """
    folder = root / ".kbgen"
    with open_store(folder if folder.is_dir() else None) as store:
        return read_tree(root, store)


class Held:
    """A tree as it was read and checked last, for who goes on reading it."""

    def __init__(self) -> None:
        self.files = known.Held()
        self._last: Joined | None = None

    def joined(self, read: Known, make: Callable[[], Joined]) -> Joined:
        """Return what is found in a tree: what was found before, where that is proved to stand."""
        still = self._last.with_texts_of(read) if self._last else None
        self._last = still or make()
        return self._last


def read_tree(root: Path, store: Store, want: Want = PLAINLY, held: Held | None = None) -> Checked:
    """Return the tree below ``root``, loaded and checked, with what ``store`` holds of it.

    Shape: who reads a tree again and again gives the same ``held`` every time: what did
    not change is in it.
    Raises: TreeMissing; OSError where the machine does not give the address ledger.
    """
    reader, renewed = Reader(root, store, want, held.files if held else None), None
    if not (held or want.at_once) and worth_sharing(reader.unread, _MUCH):
        renewed = _read_elsewhere(root, store, want)
        reader = Reader(root, store, want)
    read = reader.read()
    if held is not None:
        return held.joined(read, lambda: _joined(root, read)).checked
    joined = kept_joined(root, store, read, renewed)
    if joined is None or want.at_once:
        read.values.unpack_all()
    if joined is None:
        joined = _joined(root, read, store)
        keep_joined(store, joined)
        for ahead in want.joined:
            ahead(joined.checked)
        _let_go(read)
    return joined.checked


def _read_elsewhere(root: Path, store: Store, want: Want) -> Ledger | None:
    """Read and check a tree in a process that gives back the room that this takes.

    Shape: what is found is kept; the address ledger that is to be, None where not all of
    it may be published.
    """

    def work(tell: Progress) -> bytes | None:
        checked = read_tree(root, store, replace(want, progress=tell, at_once=True))
        return format_ledger(checked.ledger) if checked.publishable else None

    ledger = elsewhere(work, want.progress or _say_nothing)
    return parse_ledger(ledger)[0] if ledger else None


def _say_nothing(stage: str, done: int, total: int) -> None:
    """Tell nobody."""


def _joined(root: Path, read: Known, store: Store | None = None) -> Joined:
    """Load and check a tree, and see what its joins open."""
    _let_go(read, facts=False)
    before = sum_of_ledger(root)
    checked = check(load_tree(root, read.values.get))
    ledger = before if sum_of_ledger(root) == before else None  # a build may end beside us
    return Joined.of(read, replace(checked, facts=Facts(read.of_all, read.sums, store)), ledger)


def _let_go(read: Known, facts: bool = True) -> None:
    """Give back the room of what was unpacked, facts or not."""
    for one, _ in read.values.found.values():
        if isinstance(one, Body):
            one.let_go(facts)
        elif isinstance(one, Filed):
            one.source.let_go(facts)
