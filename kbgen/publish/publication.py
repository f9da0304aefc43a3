"""One build's hold on a tree and its site, from the first look to the last byte."""

from __future__ import annotations

import contextlib
import errno
import shutil
from collections.abc import Callable, Generator, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from kbgen.content import LEDGER_PATH
from kbgen.disk import exchange, locked_file, locked_folder, replace_file, settle
from kbgen.kept import Laid, Same
from kbgen.publish import journal
from kbgen.publish.folder import MARK, PublishError, read_mark, site_folder
from kbgen.publish.held import Stamps, stamps_in
from kbgen.publish.staging import Staging

__all__ = ["Publication", "Written", "publishing"]

_NEW, _LAST, _SPARE, _LOCK = "new", "last", "spare", "lock"
_WORTH_SPARING = 3000
"""From so many files on the earlier site stays beside: the next one is made of it."""

_HINTS = {
    errno.ENOSPC: "the disk is full: make room and build again",
    errno.EDQUOT: "the quota is used up: make room and build again",
    errno.EACCES: "this user may not write there: change the folder's rights, or build elsewhere",
    errno.EPERM: "the system forbids it there: change the folder's rights, or build elsewhere",
    errno.EROFS: "that disk is read-only: build into a folder on another one",
}


@dataclass(frozen=True, slots=True)
class Written:
    """How many files the site has, and how many of them had to be written."""

    files: int
    changed: int


class Publication:
    """A tree held for one build, and the place its site goes to.

    Shape: ``folder`` is the real folder of the site; ``pending`` is a ledger that a
    killed build did not get to write, None in the ordinary case.
    """

    def __init__(self, root: Path, folder: Path, waiting: Callable[[], None]) -> None:
        self.folder = folder
        self._root = root
        self._waiting = waiting
        self._working = root / ".kbgen"
        self._beside = folder.parent / f".{folder.name}.kbgen"
        self._staging: Staging | None = None
        self._recover()
        self.pending = journal.pending(self._working)

    def write_ledger(self, data: bytes) -> None:
        """Put the ledger in its place in one step; the journal is done with after it.

        Raises: PublishError.
        """
        path = self._root / LEDGER_PATH
        with _machine("the address ledger", path):
            if not path.exists() or path.read_bytes() != data:
                replace_file(path, data, self._working / "addresses.new")
        self.pending = None
        journal.forget(self._working)

    def stamps(self) -> Stamps:
        """Return the stamps of the files that the build wrote, as they stand now."""
        written = read_mark(self.folder) or {}
        return stamps_in(self.folder, {**written, MARK: ""})

    def lay(self, path: str, data: bytes) -> Laid:
        """Put a file into the site that is being written; ``files`` has to tell of it.

        Raises: PublishError.
        """
        assert self._staging is not None, "no site is being written"
        with _machine("the site", self.folder):
            return self._staging.lay(path, data)

    def write_site(
        self, files: Iterable[tuple[str, bytes | Same | Laid]], ledger: bytes
    ) -> Written:
        """Write the whole site, exchange it for the old one, then write the ledger.

        Shape: ``files`` are asked for while the new site takes shape, so that those who
        make them may ``lay`` them there themselves.
        Raises: PublishError; then the earlier site stands. Whatever ``files`` raises.
        """
        with _machine("the site", self.folder), self._held_place():
            try:
                self._take_spare()
                staging = self._staging = Staging(self._beside / _NEW, self.folder)
                for path, data in _from_elsewhere(files):
                    staging.add(path, data)
                mark = staging.finish()
                self._note_down(mark, ledger)
                exchange(self._beside / _NEW, self.folder, self._beside / _LAST)
                self.write_ledger(ledger)
                if staging.follows and staging.count >= _WORTH_SPARING:
                    self._spare()
            finally:
                self._staging = None
                self._clear()
        return Written(staging.count, staging.changed)

    def _take_spare(self) -> None:
        """Begin with the site before the last, where it was spared; with nothing where not."""
        spare = self._beside / _SPARE
        try:
            if not spare.is_symlink() and read_mark(spare) is not None:
                spare.rename(self._beside / _NEW)
        except OSError:
            shutil.rmtree(self._beside / _NEW, ignore_errors=True)
        shutil.rmtree(spare, ignore_errors=True)

    def _spare(self) -> None:
        """Spare the site that was exchanged: it has nearly all files in common with the next."""
        with contextlib.suppress(OSError):  # without it the next build links anew
            (self._beside / ".gitignore").write_text("*\n", encoding="utf-8")
            earlier = self._beside / _LAST
            (earlier if earlier.exists() else self._beside / _NEW).rename(self._beside / _SPARE)

    def _note_down(self, mark: str, ledger: bytes) -> None:
        """Write the journal, unless the ledger is to stay as it is."""
        path = self._root / LEDGER_PATH
        if not path.exists() or path.read_bytes() != ledger:
            journal.note_down(self._working, self.folder, mark, ledger)

    def _recover(self) -> None:
        """Put right what a killed build of this site left beside it."""
        if self._beside.is_dir():
            with _machine("the site", self.folder), self._held_place():
                settle(self._beside / _NEW, self.folder, self._beside / _LAST)
                self._clear()

    @contextmanager
    def _held_place(self) -> Iterator[None]:
        """Hold the place of the site: two trees may be built into one folder."""
        if self._beside.is_symlink():
            raise PublishError(
                f"{self._beside} is a symbolic link, and builds work in a folder of that name",
                "remove the link",
            )
        with locked_file(self._beside / _LOCK, self._waiting):
            yield

    def _clear(self) -> None:
        """Remove the new or the old site left beside; the published one is elsewhere."""
        for name in (_NEW, _LAST):
            shutil.rmtree(self._beside / name, ignore_errors=True)


class _Elsewhere(Exception):
    """An OSError of whoever makes the pages: not the disk's of the site."""


def _from_elsewhere(
    files: Iterable[tuple[str, bytes | Same | Laid]],
) -> Iterator[tuple[str, bytes | Same | Laid]]:
    """Hand the files on, and keep the errors of their makers apart from our own."""
    try:
        yield from files
    except OSError as error:
        raise _Elsewhere from error
    finally:
        if isinstance(files, Generator):
            files.close()


@contextmanager
def _machine(what: str, place: Path) -> Iterator[None]:
    """Turn an error of the machine into one that says what to do.

    Raises: PublishError.
    """
    try:
        yield
    except _Elsewhere as envelope:
        assert envelope.__cause__ is not None
        raise envelope.__cause__ from None
    except PublishError:
        raise
    except OSError as error:
        told = error.strerror or str(error)
        named = f" ({error.filename})" if error.filename else ""
        hint = _HINTS.get(error.errno or 0, "the earlier site stands: put this right, build again")
        raise PublishError(
            f"{what} could not be written to {place}: {told}{named}", hint
        ) from error


@contextmanager
def publishing(root: Path, out: Path | None, waiting: Callable[[], None]) -> Iterator[Publication]:
    """Hold a tree for one build and put right what a killed one left.

    Shape: ``out`` is the folder of the site, ``root/site`` if None; ``waiting`` is
    called once if another build has to be waited for.
    Raises: FolderRefused; PublishError; FileNotFoundError where the tree has no content.
    """
    root = root.resolve()
    folder = site_folder(root, out)
    with contextlib.ExitStack() as stack:
        with _machine("the lock of the tree", root):
            stack.enter_context(locked_folder(root / "content", root / ".kbgen", waiting))
        yield Publication(root, folder, waiting)
