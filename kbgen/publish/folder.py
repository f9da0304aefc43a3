"""The folder of a site: its mark, and which folders may become one.

The mark is a file beside the pages that lists every file the build wrote, in the
form of common checksum programs. It tells a site from a folder that holds somebody's
own files, and the build's own files from those that a host or a person put there.
"""

from __future__ import annotations

import hashlib
import os
import re
from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path

__all__ = [
    "MARK",
    "FolderRefused",
    "PublishError",
    "format_mark",
    "mark_digest",
    "parse_mark",
    "read_mark",
    "site_folder",
]

MARK = ".kbgen-site"

_HEAD = "# A site written by kbgen: SHA-256 and path of every file that the build wrote.\n"
_LINE = re.compile(r"^([0-9a-f]{64})  ([^\n]+)\n", re.MULTILINE)
_KEPT_OUT_OF = ("content", "templates", ".kbgen")


class PublishError(OSError):
    """A site that could not be written because of the machine; the earlier one stands.

    Shape: ``message`` says what was tried and what went wrong, ``hint`` what to do.
    """

    def __init__(self, message: str, hint: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.hint = hint

    def __reduce__(self) -> tuple[type[PublishError], tuple[str, str]]:
        """Go whole from one process to another."""
        return type(self), (self.message, self.hint)


class FolderRefused(PublishError):
    """A folder that a site must not be written into: wrong use, nothing was touched."""


def format_mark(digests: Mapping[str, str]) -> bytes:
    """Return the mark of a site. Shape: path with forward slashes → SHA-256 in hex."""
    lines = (f"{digests[path]}  {path}\n" for path in sorted(digests))
    return (_HEAD + "".join(lines)).encode()


@lru_cache(maxsize=2)  # a build asks for the marks of two sites, each several times
def parse_mark(data: bytes) -> Mapping[str, str] | None:
    """Return path → SHA-256 of a mark, or None where the bytes are not a whole mark."""
    text = data.decode("utf-8", errors="replace")
    if not text.startswith(_HEAD) or not text.endswith("\n"):
        return None
    found = _LINE.findall(text, len(_HEAD))
    if len(found) != text.count("\n", len(_HEAD)):
        return None
    return {path: digest for digest, path in found}


def read_mark(folder: Path) -> Mapping[str, str] | None:
    """Return path → SHA-256 of what a build wrote into a folder; None without a mark."""
    try:
        return parse_mark((folder / MARK).read_bytes())
    except (FileNotFoundError, NotADirectoryError, IsADirectoryError):
        return None


def mark_digest(folder: Path) -> str | None:
    """Return the SHA-256 of a site's mark, which stands for the whole site."""
    try:
        return hashlib.sha256((folder / MARK).read_bytes()).hexdigest()
    except OSError:
        return None


def site_folder(root: Path, out: Path | None) -> Path:
    """Return the real folder that the site of a tree goes to; it need not exist yet.

    A symbolic link is followed: the folder it names is the one exchanged, so that the
    link stays and both folders stand on one file system.

    Raises: FolderRefused for a folder that holds anything a build did not write, and
    for one that would put the site into the tree's sources or the tree into the site.
    """
    asked = root / "site" if out is None else Path.cwd() / out
    folder = asked.resolve()
    if asked.is_symlink() and not folder.exists():
        raise FolderRefused(
            f"{asked} is a symbolic link to {folder}, which does not exist",
            "make that folder, or remove the link",
        )
    _refuse_inside_tree(root.resolve(), folder)
    if not folder.exists():
        return folder
    if not folder.is_dir():
        raise FolderRefused(f"{folder} is not a folder", "name a folder for the site")
    if os.path.ismount(folder):
        raise FolderRefused(
            f"{folder} is where a file system is mounted and cannot be exchanged as a whole",
            "name a folder inside it",
        )
    _refuse_foreign(folder)
    return folder


def _refuse_inside_tree(root: Path, folder: Path) -> None:
    """Refuse a folder that is the tree, holds it, or lies in its sources."""
    if root.is_relative_to(folder):
        raise FolderRefused(
            f"{folder} holds the content tree itself", "name a folder for the site alone"
        )
    for name in _KEPT_OUT_OF:
        if folder.is_relative_to(root / name):
            raise FolderRefused(
                f"{folder} lies in the tree's {name}/, which is read and not written",
                "name a folder outside it",
            )


def _refuse_foreign(folder: Path) -> None:
    """Refuse a folder without a mark that holds more than dotfiles."""
    if read_mark(folder) is not None:
        return
    foreign = sorted(path.name for path in folder.iterdir() if not path.name.startswith("."))
    if foreign:
        damaged = " (its mark is damaged)" if (folder / MARK).exists() else ""
        raise FolderRefused(
            f"{folder} holds files that no build wrote, {foreign[0]} for one{damaged}",
            f"name an empty folder; a site carries the file {MARK}, and only a site is replaced",
        )
