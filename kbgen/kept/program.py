"""What the program is made of: a result of another program is not one of ours."""

from __future__ import annotations

import hashlib
import os
import sys
from functools import cache
from pathlib import Path

__all__ = ["program_digest"]

_PACKAGE = Path(__file__).resolve().parents[1]
_READ = (".py", ".tsv", ".txt", ".js", ".json", ".csv", ".yaml")


@cache
def program_digest() -> bytes:
    """Return a digest of this program, of its libraries' versions and of the interpreter."""
    whole = hashlib.blake2b(sys.version.encode(), digest_size=16)
    for path in sorted(_files(str(_PACKAGE))):
        whole.update(path[len(str(_PACKAGE)) :].encode())
        whole.update(hashlib.blake2b(Path(path).read_bytes(), digest_size=16).digest())
    for name in sorted(_installed()):
        whole.update(name.encode())
    return whole.digest()


def _files(folder: str) -> list[str]:
    found = []
    with os.scandir(folder) as entries:
        for entry in entries:
            if entry.is_dir():
                if entry.name != "__pycache__":
                    found += _files(entry.path)
            elif entry.name.endswith(_READ):
                found.append(entry.path)
    return found


def _installed() -> set[str]:
    """Return the names and versions of what is installed, as their folders are called."""
    found: set[str] = set()
    for place in sys.path:
        try:
            with os.scandir(place or ".") as entries:
                names = [entry.name for entry in entries]
        except OSError:
            continue
        found.update(name for name in names if name.endswith((".dist-info", ".egg-info")))
    return found
