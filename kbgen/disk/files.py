"""Bytes brought safely to the disk: files written whole, folders and trees flushed."""

from __future__ import annotations

import contextlib
import ctypes
import errno
import os
import sys
from collections.abc import Sequence
from pathlib import Path

__all__ = ["add_file", "replace_file", "sync_folder", "sync_tree", "write_new"]

# Up to so many changed files are flushed one by one; beyond it one call for the whole
# file system is quicker (measured: 1,000 new files in 0.014 s instead of 0.18 s).
_ONE_BY_ONE = 32


def write_new(path: Path, data: bytes) -> None:
    """Write a file that does not exist yet. Raises: OSError."""
    with path.open("xb") as file:
        file.write(data)


def replace_file(path: Path, data: bytes, beside: Path) -> None:
    """Put ``data`` at ``path`` in one step: written beside, flushed, renamed.

    Shape: ``beside`` is a path of the same file system that nobody else uses.
    Raises: OSError; then ``path`` is what it was.
    """
    beside.parent.mkdir(exist_ok=True)
    try:
        _write_flushed(beside, data)
        beside.replace(path)
    except BaseException:
        with contextlib.suppress(OSError):
            beside.unlink()
        raise
    sync_folder(path.parent)


def add_file(path: Path, data: bytes, beside: Path) -> None:
    """Put ``data`` at ``path``, where nothing stands yet, in one step.

    Shape: ``beside`` is a path of the same file system that nobody else uses.
    Raises: FileExistsError, with what stands there untouched; OSError, with nothing there.
    """
    beside.parent.mkdir(exist_ok=True)
    try:
        _write_flushed(beside, data)
        _name_new(beside, path)
    finally:
        with contextlib.suppress(OSError):
            beside.unlink()
    sync_folder(path.parent)


def _write_flushed(path: Path, data: bytes) -> None:
    # What was left here may be another name of a file that was put in its place: writing
    # into it would change that file too.
    path.unlink(missing_ok=True)
    with path.open("xb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def _name_new(beside: Path, path: Path) -> None:
    """Give a file a second name that is free; where there are no links, move it there."""
    try:
        os.link(beside, path)
    except FileExistsError:
        raise
    except OSError as error:
        if os.path.lexists(path):
            raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), str(path)) from error
        beside.rename(path)


def sync_folder(folder: Path) -> None:
    """Flush the names of a folder, where the system can. Raises: OSError."""
    if sys.platform == "win32":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def sync_tree(folder: Path, changed: Sequence[Path]) -> None:
    """Flush a folder in which the files ``changed`` were written. Raises: OSError."""
    if len(changed) > _ONE_BY_ONE and _sync_file_system(folder):
        return
    for path in changed:
        # Windows flushes only what is open for writing
        handle = os.open(path, os.O_RDWR)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
    for inner, _, _ in os.walk(folder):
        sync_folder(Path(inner))


def _sync_file_system(folder: Path) -> bool:
    """Flush the file system of ``folder`` in one call (Linux syncfs); False without one."""
    if sys.platform != "linux":
        return False
    call = getattr(ctypes.CDLL(None, use_errno=True), "syncfs", None)
    if call is None:
        return False
    handle = os.open(folder, os.O_RDONLY)
    try:
        if call(handle):
            number = ctypes.get_errno()
            raise OSError(number, os.strerror(number), str(folder))
    finally:
        os.close(handle)
    return True
