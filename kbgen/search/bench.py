"""Search at the bench: an index kept beside the tree, brought up to date before it answers.

The index stands in ``.kbgen/`` of the tree. Every build brings it up to date; where the
tree was edited since, the next question does. It is left alone while the files under
``content/`` and its own are the ones it was made from, written anew for the notes that
changed, made anew when it is damaged; where it cannot be kept at all, the question is
answered from memory.
"""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from time import monotonic
from typing import TYPE_CHECKING, Any
from zlib import adler32, crc32

from kbgen.content import LEDGER_PATH
from kbgen.kept import Unpackable, pack, program_digest, unpack
from kbgen.search.collection import Collection
from kbgen.search.documents import Notes, ThreadPage, Widening
from kbgen.search.held import HELD, Held
from kbgen.search.hits import asked_mass, rank
from kbgen.search.questions import Index, ask
from kbgen.search.results import Results, paged_terms, result_of, thread_pages

if TYPE_CHECKING:
    from kbgen.search.gather import CheckedTree
    from kbgen.search.inverted import Inverted
    from kbgen.search.whoosh_notes import NoteReader, NoteStore

__all__ = ["Bench", "open_bench", "stamp", "stamp_of_tree"]

VERSION = 3  # of the kept index: raise it whenever what is kept changes its meaning
PATIENCE_S = 60.0
ATTEMPTS = 5
FRESH_S = 1.0  # so long a look through the tree holds


def open_bench(root: Path, checked: CheckedTree | None = None, still: bool = False) -> Bench:
    """Return the bench of the tree at ``root``.

    Shape: ``checked`` is the tree's content where it has just been checked, so that it
    is not loaded again; with ``still`` it answers from the content as it is now, whatever
    is written there afterwards.
    """

    def gathered() -> Notes:
        from kbgen.search.gather import TreeNotes

        if checked is not None:
            return TreeNotes(checked)
        from kbgen.checks import checked_tree

        return TreeNotes(checked_tree(root))

    now = stamp_of_tree(root) if still else ""
    return Bench(root / ".kbgen" / "find", gathered, lambda: now or stamp_of_tree(root))


def stamp_of_tree(root: Path) -> str:
    """Return what changes whenever a file changes that notes are read from."""
    return stamp(root / "content")


_LEDGER = Path(LEDGER_PATH).name  # a build writes it; nothing is found by it


def stamp(folder: Path) -> str:
    """Return what changes whenever a file under the folder does, without reading any."""
    ledger = str(folder / _LEDGER) + "\0"
    lines = sorted(line for line in _listed(str(folder)) if not line.startswith(ledger))
    whole = "\n".join(lines).encode("utf-8", "surrogateescape")
    return f"{len(lines)} files, {len(whole)}, {crc32(whole):08x}, {adler32(whole):08x}"


def _listed(folder: str) -> list[str]:
    """Name every file under a folder with its time and size."""
    found = []
    with os.scandir(folder) as entries:
        for entry in entries:
            if entry.is_dir(follow_symlinks=False):
                found.extend(_listed(entry.path))
            else:
                state = entry.stat(follow_symlinks=False)
                found.append(f"{entry.path}\0{state.st_mtime_ns}\0{state.st_size}")
    return found


@dataclass(frozen=True, slots=True)
class Kept:
    """What is kept beside the Whoosh index, so that a question need not read it all."""

    stamp: str
    numbers: list[int]
    length: int
    threads: list[list[str]]
    widenings: list[list[list[str]]]
    files: list[list[Any]]


class Bench:
    """Answers questions about the notes of one tree.

    Shape: ``folder`` is where the index is kept; ``gather`` returns the shelf, a costly
    call; ``stamped`` returns what changes whenever the shelf might have.
    """

    def __init__(
        self, folder: Path, gather: Callable[[], Notes], stamped: Callable[[], str]
    ) -> None:
        self._folder = folder
        self._gather = gather
        self._stamped = stamped
        self._opened: tuple[Kept, NoteReader] | None = None
        self._stamp = ""
        self._stamp_at = 0.0

    def find(self, query: str, limit: int = 10) -> Results:
        """Answer a question: the best notes first, ties by number."""
        from kbgen.search.whoosh_notes import Damaged

        self._look()

        try:
            return self._answer(query, limit)
        except Damaged:
            (self._folder / "kept.json").unlink(missing_ok=True)
            return self._answer(query, limit)

    def _look(self) -> None:
        """Learn the stamp of the tree, unless it was learnt a moment ago."""
        now = monotonic()
        if not self._stamp or now - self._stamp_at > FRESH_S:
            try:
                self._stamp, self._stamp_at = self._stamped(), now
            except OSError:
                self._stamp = ""  # gathering says what is wrong with the tree

    def _answer(self, query: str, limit: int) -> Results:
        index, widenings, threads, shown = self._ready()
        question = ask(query, index, widenings, paged_terms(threads))
        hits = rank(question, index, limit)
        return Results(
            query,
            tuple(result_of(hit, shown(hit.number), question) for hit in hits),
            question.widened,
            thread_pages(question, threads),
            asked_mass(question, index),
        )

    def _ready(
        self,
    ) -> tuple[Index, Sequence[Widening], Sequence[ThreadPage], Callable[[int], dict[str, Any]]]:
        from kbgen.search.whoosh_notes import Damaged

        try:
            reader, kept = self._kept_index(self._stamp)
        except (OSError, Damaged):
            shelf = self._gather()
            collection = Collection(shelf)
            return collection, shelf.widenings, shelf.threads, lambda n: shelf.shown(n).plain()
        widenings = [Widening(tuple(lay), tuple(trade)) for lay, trade in kept.widenings]
        threads = [ThreadPage(thread, address) for thread, address in kept.threads]
        return reader, widenings, threads, reader.shown

    def _kept_index(self, wanted: str) -> tuple[NoteReader, Kept]:
        """Return the index, brought up to date where it has to be."""
        from kbgen.search.whoosh_notes import Damaged, NoteStore

        store = NoteStore(self._folder)
        broken: Kept | None = None
        for _ in range(ATTEMPTS):
            kept = self._read()
            if kept and kept != broken and kept.stamp == wanted and kept.files == self._files():
                if self._opened and self._opened[0] == kept:
                    return self._opened[1], kept
                try:
                    reader = store.reader()
                except Damaged:
                    broken = kept if kept == self._read() else None
                    continue  # or another command was just replacing it
                reader.place(kept.numbers, kept.length, self._words)
                self._opened = kept, reader
                return reader, kept
            lock = store.lock(PATIENCE_S)
            if lock is None:
                raise Damaged("another command is busy with the index")
            try:
                again = self._read()
                if again is None or again == broken or again.files != self._files():
                    store.clear()
                    self._renew(store, wanted, self._gather())
                elif again.stamp != wanted:
                    self._renew(store, wanted, self._gather())
            finally:
                lock.release()
            broken = None
        raise Damaged("the index does not come to rest")

    def keep_up(self, notes: Notes, words: Sequence[str], whole: Inverted | None = None) -> None:
        """Bring the index to these notes, which are as the tree was when it was stamped.

        Shape: ``words`` are those of the notes, ``whole`` all their terms, where they are
        at hand.
        Raises: Damaged, OSError.
        """
        from kbgen.search.whoosh_notes import Damaged, NoteStore

        store, wanted = NoteStore(self._folder), self._stamped()
        lock = store.lock(PATIENCE_S)
        if lock is None:
            raise Damaged("another command is busy with the index")
        try:
            kept = self._read()
            if kept is None or kept.files != self._files():
                store.clear()
            elif kept.stamp == wanted:
                return
            self._renew(store, wanted, notes, words, whole)
        finally:
            lock.release()

    def _renew(
        self,
        store: NoteStore,
        wanted: str,
        notes: Notes,
        words: Sequence[str] | None = None,
        whole: Inverted | None = None,
    ) -> None:
        """Write the notes that differ, then what is kept beside them. Under the lock."""
        held = self._held()
        after = store.update(notes, held, whole)
        if after != held or not (self._folder / "words.txt").exists():
            said = Collection(notes).lexicon.words if words is None else words
            self._write(HELD, pack(after))
            self._write("words.txt", "\n".join(said).encode())
        fresh = Kept(
            wanted,
            list(after.numbers),
            after.length(),
            [[page.thread, page.address] for page in notes.threads],
            [[list(pair.lay), list(pair.trade)] for pair in notes.widenings],
            self._files(),
        )
        told = {"version": VERSION, **{name: getattr(fresh, name) for name in Kept.__slots__}}
        self._write("kept.json", json.dumps(told).encode())

    def _held(self) -> Held:
        """Return which notes the index holds, nothing where it has to be made anew."""
        try:
            held = unpack((self._folder / HELD).read_bytes())
        except (OSError, Unpackable):
            return Held()
        if isinstance(held, Held) and held.program == program_digest():
            return held
        return Held()

    def _write(self, name: str, data: bytes) -> None:
        """Write a file beside the index, whole or not at all."""
        waiting = self._folder / f"{name}.{os.getpid()}.part"
        waiting.write_bytes(data)
        waiting.replace(self._folder / name)

    def _words(self) -> list[str]:
        """Read the words of the lexicon."""
        return (self._folder / "words.txt").read_text(encoding="utf-8").split("\n")

    def _read(self) -> Kept | None:
        """Return what is kept, or None where it is missing, damaged or of another version."""
        try:
            whole = json.loads((self._folder / "kept.json").read_text(encoding="utf-8"))
            if whole.pop("version") != VERSION:
                return None
            return Kept(**whole)
        except (OSError, ValueError, KeyError, TypeError, AttributeError):
            return None

    def _files(self) -> list[list[Any]]:
        """Return name, size and time of the index's own files: a changed one is damage."""
        found = []
        for path in sorted(
            [*self._folder.glob("*notes_*"), self._folder / HELD, self._folder / "words.txt"]
        ):
            if path.suffix not in (".seg", ".toc", ".txt", ""):
                continue
            try:
                state = path.stat()
            except OSError:
                continue
            found.append([path.name, state.st_size, state.st_mtime_ns])
        return found
