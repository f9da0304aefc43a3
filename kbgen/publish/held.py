"""Which files of the published site are still the ones that a build wrote."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Mapping
from functools import cached_property
from pathlib import Path

from kbgen.publish.folder import MARK, read_mark

__all__ = ["Held", "Stamps", "stamps_in"]

Stamps = Mapping[str, tuple[int, int, int]]
"""Of each file of a site its size, its time of change in nanoseconds, its number on the disk."""


class Held:
    """The files of a site, compared with its mark.

    Shape: a file with the stamp from before is taken to be the one from before; any
    other is read.
    """

    def __init__(self, folder: Path, trusted: Stamps) -> None:
        self._folder = folder
        self._trusted = trusted

    @cached_property
    def _digests(self) -> Mapping[str, str]:
        return read_mark(self._folder) or {}

    @cached_property
    def _stamps(self) -> Stamps:
        return stamps_in(self._folder, self._digests)

    def holds(self, path: str, digest: str) -> bool:
        """Return whether the site has a file of that path and SHA-256."""
        if self._digests.get(path) != digest:
            return False
        stamp = self._stamps.get(path)
        if stamp is not None and self._trusted.get(path) == stamp:
            return True
        file = self._folder / path
        try:
            if file.is_symlink():
                return False
            return hashlib.sha256(file.read_bytes()).hexdigest() == digest
        except OSError:
            return False

    def untouched(self) -> bool:
        """Return whether every file that the build wrote is there as it was written."""
        return MARK in self._trusted and stamps_in(self._folder, self._trusted) == self._trusted


def stamps_in(folder: Path, names: Mapping[str, object]) -> dict[str, tuple[int, int, int]]:
    """Return the stamps of the files ``names`` below a folder, without those that are gone."""
    found: dict[str, tuple[int, int, int]] = {}
    waiting = [("", str(folder))]
    while waiting:
        inner, place = waiting.pop()
        try:
            with os.scandir(place) as entries:
                for entry in entries:
                    path = inner + entry.name
                    if entry.is_dir(follow_symlinks=False):
                        waiting.append((f"{path}/", entry.path))
                    elif path in names:
                        state = entry.stat(follow_symlinks=False)
                        found[path] = (state.st_size, state.st_mtime_ns, state.st_ino)
        except OSError:
            continue
    return found
