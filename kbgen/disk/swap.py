"""Two folders change places, in one system call where there is one.

Source: Linux renameat2(2), flag RENAME_EXCHANGE; macOS renamex_np(2), flag
RENAME_SWAP. Windows has no such call, nor have some network file systems: there two
renames follow one another, and the names themselves say how far they came.
"""

from __future__ import annotations

import ctypes
import errno
import os
import sys
from collections.abc import Callable
from pathlib import Path

from kbgen.disk.files import sync_folder

__all__ = ["exchange", "settle"]

_AT_FDCWD = -100
_RENAME_EXCHANGE = 2
_RENAME_SWAP = 2
_NOT_HERE = {errno.EINVAL, errno.ENOSYS, errno.ENOTSUP, errno.EOPNOTSUPP}


def exchange(new: Path, site: Path, last: Path) -> None:
    """Put ``new`` at ``site``; the earlier site ends at ``new`` or at ``last``.

    Shape: the three stand on one file system and ``last`` does not exist.
    Raises: OSError; then ``site`` is the earlier one still.
    """
    if not site.exists():
        new.rename(site)
    elif not _swap(new, site):
        _rename_in_turn(new, site, last)
    sync_folder(site.parent)


def settle(new: Path, site: Path, last: Path) -> None:
    """Finish or undo two renames that were cut short between the first and the second.

    ``last`` is only ever made from a site that ``new`` was ready to replace. So a
    missing site beside a ``last`` means: cut short, and ``new`` is whole.
    """
    if site.exists() or not last.exists():
        return
    (new if new.exists() else last).rename(site)
    sync_folder(site.parent)


def _swap(new: Path, site: Path) -> bool:
    """Let two folders change places in one system call; False where there is none."""
    call = _swap_call()
    if call is None:
        return False
    failed = call(os.fsencode(new), os.fsencode(site))
    if not failed:
        return True
    number = ctypes.get_errno()
    if number in _NOT_HERE:
        return False
    raise OSError(number, os.strerror(number), str(site))


def _swap_call() -> Callable[[bytes, bytes], int] | None:
    """Return the system's call that exchanges two names, if it has one."""
    if sys.platform not in ("linux", "darwin"):
        return None
    library = ctypes.CDLL(None, use_errno=True)
    if sys.platform == "darwin":
        swap = getattr(library, "renamex_np", None)
        return swap and (lambda new, site: int(swap(new, site, _RENAME_SWAP)))
    swap = getattr(library, "renameat2", None)
    return swap and (lambda new, site: int(swap(_AT_FDCWD, new, _AT_FDCWD, site, _RENAME_EXCHANGE)))


def _rename_in_turn(new: Path, site: Path, last: Path) -> None:
    """Rename the site away and the new one in; undo the first if the second fails."""
    site.rename(last)
    try:
        new.rename(site)
    except OSError:
        last.rename(site)
        raise
