"""Size and times of a file: what tells, without reading it, that it is the one from before."""

from __future__ import annotations

import os
from typing import NamedTuple

__all__ = ["Stamp", "is_settled", "stamp_of"]

_YOUNG_NS = 2_000_000_000
"""So long after it was written a file may be written again under the same time."""


class Stamp(NamedTuple):
    """What changes with every way to change a file.

    Shape: size in bytes; time of change of its bytes and of its entry, in nanoseconds
    (nobody can set the latter back); its number on the disk.
    """

    size: int
    modified_ns: int
    changed_ns: int
    inode: int


def stamp_of(state: os.stat_result) -> Stamp:
    """Return the stamp in what the system says of a file."""
    return Stamp(state.st_size, state.st_mtime_ns, state.st_ctime_ns, state.st_ino)


def is_settled(stamp: Stamp, now_ns: int) -> bool:
    """Return whether a file with this stamp may be trusted later on.

    Shape: ``now_ns`` is a time before its bytes were read. A file that was written just
    then may be written again without a trace: it is read anew next time.
    """
    return max(stamp.modified_ns, stamp.changed_ns) + _YOUNG_NS < now_ns
