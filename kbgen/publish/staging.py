"""A new site taking shape in a folder beside the old one."""

from __future__ import annotations

import contextlib
import hashlib
import os
import shutil
from collections.abc import Iterator
from functools import cached_property
from pathlib import Path, PurePosixPath

from kbgen.disk import sync_tree, write_new
from kbgen.kept import Laid, Same
from kbgen.publish.folder import MARK, FolderRefused, format_mark, read_mark

__all__ = ["Staging"]


class Staging:
    """The new site: files are added one by one, so that memory holds only one of them.

    A file whose bytes the old site already has is a hard link to it; others are
    written. What a person or a host put into the old site is linked in at the end.

    Shape: ``new`` may be there already, as the site before the old one: then only what
    differs is done, and the links that both have in common stay as they are.
    """

    def __init__(self, new: Path, old: Path) -> None:
        self._new = new
        self._old = old
        self._old_files = read_mark(old) or {}
        self._digests: dict[str, str] = {}
        self._folded: dict[str, str] = {}
        self._written: list[Path] = []
        self._made: set[str] = {""}
        self._spare = _cleared(new) if new.exists() else {}
        self._held = dict(_files(str(old))) if old.is_dir() and self._spare else {}
        new.mkdir(exist_ok=True)
        if old.exists():
            shutil.copymode(old, new)

    @property
    def count(self) -> int:
        """How many files the new site has."""
        return len(self._digests)

    @property
    def follows(self) -> bool:
        """Whether the old folder holds a site of ours."""
        return bool(self._old_files)

    @property
    def changed(self) -> int:
        """How many of them differ from the old site's."""
        return len(self._written)

    def add(self, path: str, data: bytes | Same | Laid) -> None:
        """Add one file. Shape: ``path`` is relative, with forward slashes.

        Raises: OSError; ValueError for a path that leaves the site or is there already.
        """
        if path in self._digests:
            raise ValueError(f"{path!r} was added to the site before")
        if isinstance(data, bytes):
            data = self.lay(path, data)
        else:
            self._claim(path)
        if isinstance(data, Same) and not self._is_linked(path):
            _carry_file(f"{self._old}/{path}", self._target(path))
        if isinstance(data, Laid) and data.written:
            self._written.append(self._new / path)
        self._digests[path] = data.digest

    def lay(self, path: str, data: bytes) -> Laid:
        """Put the bytes of a file in their place; it has still to be added.

        Whoever makes a page may do this, in whatever process: its bytes go no further way.
        Raises: OSError; ValueError for a path that leaves the site.
        """
        self._claim(path)
        digest = hashlib.sha256(data).hexdigest()
        target = self._target(path)
        if self._old_files.get(path) == digest and _link(self._old / path, target, data):
            return Laid(digest, False)
        write_new(Path(target), data)
        return Laid(digest, True)

    def _is_linked(self, path: str) -> bool:
        """Return whether a file stands in the new site as it does in the old one."""
        number = self._spare.get(path)
        return number is not None and number == self._held.get(path)

    def _target(self, path: str) -> str:
        """Return where a file of the new site stands: its folder is there, the file is not."""
        target = f"{self._new}/{path}"
        folder = path.rpartition("/")[0]
        if folder not in self._made:
            Path(target).parent.mkdir(parents=True, exist_ok=True)
            self._made.add(folder)
        if path in self._spare:
            Path(target).unlink()
        return target

    def finish(self) -> str:
        """Carry over foreign files, write the mark, flush; return the mark's digest.

        Raises: OSError; FolderRefused where a foreign file has a page's address.
        """
        for path in self._spare.keys() - self._digests.keys():
            (self._new / path).unlink()
        if self._spare:
            _without_empty(str(self._new))
        if self._old.is_dir():
            self._carry()
        mark = format_mark(self._digests)
        write_new(self._new / MARK, mark)
        sync_tree(self._new, [*self._written, self._new / MARK])
        return hashlib.sha256(mark).hexdigest()

    def _claim(self, path: str) -> None:
        """Refuse a path that leaves the site, or that a system would take for another's."""
        parts = path.split("/")
        if path == MARK or "\\" in path or ":" in path or {"", ".", ".."} & set(parts):
            raise ValueError(f"a site has no place for a file named {path!r}")
        earlier = self._folded.setdefault(path.casefold(), path)
        if earlier != path:
            raise ValueError(f"{path!r} and {earlier!r} would be one file of the site")

    def _carry(self, inner: str = "") -> None:
        """Link everything below ``inner`` of the old site that no build wrote."""
        with os.scandir(f"{self._old}/{inner}") as entries:
            found = [(entry.name, entry.is_dir(follow_symlinks=False)) for entry in entries]
        for name, is_folder in sorted(found):
            path = inner + name
            if path == MARK or path in self._old_files:
                continue
            if is_folder:
                if path not in self._old_folders:  # ours stay away once they are empty
                    (self._new / path).mkdir(parents=True, exist_ok=True)
                self._carry(f"{path}/")
                continue
            if path in self._digests or (self._new / path).exists():
                raise FolderRefused(
                    f"{self._old / path} was put there by hand, and the site has a page of "
                    "that name",
                    "move that file away",
                )
            (self._new / path).parent.mkdir(parents=True, exist_ok=True)
            _carry_file(f"{self._old}/{path}", f"{self._new}/{path}")

    @cached_property
    def _old_folders(self) -> set[str]:
        """The folders that builds made in the old site, with those around them."""
        around = {path.rpartition("/")[0] for path in self._old_files}
        return {str(one) for path in around for one in (path, *PurePosixPath(path).parents)}


def _link(old: Path, new: str, data: bytes) -> bool:
    """Link to the old file if it really has these bytes and the system can."""
    try:
        if old.is_symlink() or old.read_bytes() != data:
            return False
        os.link(old, new)
    except OSError:
        return False
    return True


def _carry_file(old: str, new: str) -> None:
    """Link one file of the old site, or copy it where links are not to be had."""
    try:
        os.link(old, new, follow_symlinks=False)
    except OSError:
        shutil.copy2(old, new, follow_symlinks=False)


def _cleared(spare: Path) -> dict[str, int]:
    """Return the files of a site that is to become the new one, with their numbers on the disk.

    Its mark goes first: from now on it is no whole site. What no build wrote goes as well:
    it is in the old site, if it is wanted still.
    """
    ours = read_mark(spare) or {}
    (spare / MARK).unlink(missing_ok=True)
    found = dict(_files(str(spare)))
    for path in found.keys() - ours.keys():
        (spare / path).unlink()
    _without_empty(str(spare))
    return {path: number for path, number in found.items() if path in ours}


def _files(folder: str, inner: str = "") -> Iterator[tuple[str, int]]:
    """Yield every file below a folder with its number on the disk, without opening any."""
    with os.scandir(folder) as entries:
        for entry in entries:
            if entry.is_dir(follow_symlinks=False):
                yield from _files(entry.path, f"{inner}{entry.name}/")
            else:
                yield inner + entry.name, entry.inode()


def _without_empty(folder: str) -> None:
    """Remove the empty folders below a folder."""
    for inner, _, _ in os.walk(folder, topdown=False):
        if inner != folder:
            with contextlib.suppress(OSError):  # it holds something
                Path(inner).rmdir()
