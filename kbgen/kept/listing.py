"""All files of a folder by their stamps: whether anything in it changed, without reading it."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterable, Iterator
from pathlib import Path

from kbgen.kept.stamps import Stamp, is_settled, stamp_of

__all__ = ["digest_of_listing", "listed", "listing"]


def listing(folder: Path, now_ns: int, passed_over: frozenset[str] = frozenset()) -> bytes | None:
    """Return a digest of the names and stamps of every file below a folder.

    Shape: files named in ``passed_over`` are not looked at. None where a file is so young
    at ``now_ns`` that it may be written again without a trace, or cannot be looked at.
    """
    try:
        found = [row for row in listed(folder) if row[0] not in passed_over]
    except OSError:
        return None
    return digest_of_listing(found, now_ns)


def digest_of_listing(found: Iterable[tuple[str, Stamp]], now_ns: int) -> bytes | None:
    """Return a digest of files and their stamps, None where one may be written again."""
    whole = hashlib.blake2b(digest_size=16)
    for path, stamp in sorted(found):
        if not is_settled(stamp, now_ns):
            return None
        whole.update(f"{path}\0{tuple(stamp)}\n".encode("utf-8", "surrogateescape"))
    return whole.digest()


def listed(folder: Path) -> Iterator[tuple[str, Stamp]]:
    """Yield everything below a folder, and its stamp.

    Shape: the path of whatever is no plain file ends in a slash; the stamp of a folder
    tells nothing. Of a link there are two: its own, and that of what it leads to.
    Raises: OSError where a folder cannot be read.
    """
    yield from _listed(str(folder))


_NOTHING = Stamp(0, 0, 0, 0)


def _listed(folder: str, inner: str = "") -> Iterator[tuple[str, Stamp]]:
    with os.scandir(folder) as entries:
        for entry in entries:
            path = inner + entry.name
            if entry.is_dir(follow_symlinks=False):
                yield f"{path}/", _NOTHING
                yield from _listed(entry.path, f"{path}/")
                continue
            plain = entry.is_file(follow_symlinks=False)
            yield path if plain else f"{path}/", stamp_of(entry.stat(follow_symlinks=False))
            if entry.is_symlink():
                yield f"{path}//", _target_of(entry)


def _target_of(link: os.DirEntry[str]) -> Stamp:
    try:
        return stamp_of(link.stat())
    except OSError:
        return _NOTHING  # it leads nowhere
