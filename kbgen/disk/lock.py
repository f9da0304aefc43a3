"""Locks that the kernel keeps and that end with the process that holds them.

A killed build leaves no lock behind. Where the system can lock a folder (Linux,
macOS) the folder itself is locked and nothing is written; elsewhere, and for a place
that does not exist yet, a small file is.
"""

from __future__ import annotations

import contextlib
import os
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

__all__ = ["locked_file", "locked_folder"]

_POLL_S = 0.05

if sys.platform == "win32":
    import msvcrt

    def _try_lock(handle: int) -> bool:
        """Take the lock on an open file if nobody holds it."""
        try:
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True

    def _open_folder(folder: Path, beside: Path) -> int:
        """Open the file that stands for the folder: Windows cannot lock a folder."""
        beside.mkdir(exist_ok=True)
        return os.open(beside / f"{folder.name}.lock", os.O_RDWR | os.O_CREAT)
else:
    import fcntl

    def _try_lock(handle: int) -> bool:
        """Take the lock on an open file or folder if nobody holds it."""
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        return True

    def _open_folder(folder: Path, beside: Path) -> int:  # noqa: ARG001 - one signature for both
        """Open the folder itself, for reading alone."""
        return os.open(folder, os.O_RDONLY)


@contextmanager
def locked_folder(folder: Path, beside: Path, waiting: Callable[[], None]) -> Iterator[None]:
    """Hold a folder, so that two processes that work on it follow one another.

    Shape: ``beside`` is the tree's working folder, used only where folders cannot be
    locked; ``waiting`` is called once if another process holds the lock.
    Raises: OSError where the lock cannot be had at all.
    """
    handle = _open_folder(folder, beside)
    try:
        _wait(handle, waiting)
        yield
    finally:
        os.close(handle)


@contextmanager
def locked_file(path: Path, waiting: Callable[[], None]) -> Iterator[None]:
    """Hold a lock file and remove it, and its folder once empty, at the end.

    The file may have been removed by its earlier holder while this process waited
    for it: then the lock is on a file that nobody else can find, and is taken anew.

    Raises: OSError where the file cannot be made.
    """
    handle = _held(path, waiting)
    try:
        yield
    finally:
        # Windows cannot remove an open file; there the name stays until the next build.
        with contextlib.suppress(OSError):
            path.unlink()
        os.close(handle)
        with contextlib.suppress(OSError):
            path.parent.rmdir()


def _held(path: Path, waiting: Callable[[], None]) -> int:
    """Return the open handle of a lock file that is held and still has its name."""
    while True:
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            handle = os.open(path, os.O_RDWR | os.O_CREAT, 0o644)
        except FileNotFoundError:  # the earlier holder removed the folder in between
            continue
        try:
            _wait(handle, waiting)
            if _still_named(handle, path):
                return handle
        except BaseException:
            os.close(handle)
            raise
        os.close(handle)


def _still_named(handle: int, path: Path) -> bool:
    """Return whether ``path`` is still the name of the open file."""
    try:
        named = path.stat()
    except FileNotFoundError:
        return False
    return os.path.samestat(named, os.fstat(handle))


def _wait(handle: int, waiting: Callable[[], None]) -> None:
    """Wait for the lock in small steps, so that an interruption is obeyed at once."""
    if _try_lock(handle):
        return
    waiting()
    while not _try_lock(handle):
        time.sleep(_POLL_S)
