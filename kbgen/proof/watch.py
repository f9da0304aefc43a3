"""What was saved: the files of a tree looked at again and again.

Polling by name, size and time of change needs no library and no system service, and
sees what a network share, a container or an editor that renames does; looking over
the demonstration takes about a millisecond.
"""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Iterator
from pathlib import Path

__all__ = ["Watch"]

_PAUSE_S = 0.1
_SETTLE_S = 0.03
_LONGEST_S = 1.0
_SHARE = 10
"""No more than a tenth of the time is spent looking."""

Look = frozenset[tuple[str, int, int, int]]


class Watch:
    """The folders of a tree that its site is made of."""

    def __init__(self, root: Path, names: tuple[str, ...] = ("content", "templates")) -> None:
        self._folders = tuple(root / name for name in names)
        self._seen: Look = frozenset()

    def wait(self, ended: Callable[[], bool]) -> bool:
        """Wait until something has changed since the last call and settled.

        Shape: the first call returns at once. Returns false once ``ended`` says so.
        """
        while not ended():
            began = time.monotonic()
            look = self._look()
            if look != self._seen:
                self._seen = self._settled(look)
                return True
            time.sleep(max(_PAUSE_S, _SHARE * (time.monotonic() - began)))
        return False

    def _settled(self, look: Look) -> Look:
        """Return how things look once they stay so: editors save in several steps."""
        until = time.monotonic() + _LONGEST_S
        while time.monotonic() < until:
            time.sleep(_SETTLE_S)
            before, look = look, self._look()
            if look == before:
                break
        return look

    def _look(self) -> Look:
        return frozenset(row for folder in self._folders for row in _files(folder))


def _files(folder: str | os.PathLike[str]) -> Iterator[tuple[str, int, int, int]]:
    """Yield path, size, time and number of every file below a folder, as far as it can be seen."""
    try:
        with os.scandir(folder) as entries:
            for entry in entries:
                try:
                    if entry.is_dir(follow_symlinks=False):
                        yield from _files(entry.path)
                    else:
                        found = os.stat(entry.path)  # noqa: PTH116 - a Path for each costs more
                        yield entry.path, found.st_size, found.st_mtime_ns, found.st_ino
                except OSError:
                    yield entry.path, -1, 0, 0
    except OSError:
        return
