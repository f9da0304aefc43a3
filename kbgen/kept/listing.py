"""All files of a folder by their stamps: whether anything in it changed, without reading it."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterator
from pathlib import Path

from kbgen.kept.stamps import Stamp, is_settled, stamp_of

__all__ = ["listing"]


def listing(folder: Path, now_ns: int, passed_over: frozenset[str] = frozenset()) -> bytes | None:
    """Return a digest of the names and stamps of every file below a folder.

    Shape: files named in ``passed_over`` are not looked at. None where a file is so young
    at ``now_ns`` that it may be written again without a trace, or cannot be looked at.
    """
    whole = hashlib.blake2b(digest_size=16)
    try:
        for path, stamp in sorted(_listed(str(folder))):
            if path in passed_over:
                continue
            if not is_settled(stamp, now_ns):
                return None
            whole.update(f"{path}\0{tuple(stamp)}\n".encode("utf-8", "surrogateescape"))
    except OSError:
        return None
    return whole.digest()


def _listed(folder: str, inner: str = "") -> Iterator[tuple[str, Stamp]]:
    """Yield every file below a folder, links and what they lead to both."""
    with os.scandir(folder) as entries:
        for entry in entries:
            path = inner + entry.name
            if entry.is_dir(follow_symlinks=False):
                yield from _listed(entry.path, f"{path}/")
                continue
            yield path, stamp_of(entry.stat(follow_symlinks=False))
            if entry.is_symlink():
                yield f"{path}/", stamp_of(entry.stat())
