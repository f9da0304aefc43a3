"""What is wrong with a bag, in plain words. Source: RFC 8493, sections 2 and 3.

Nothing that a manifest names is opened before its path is known to stay in the bag.
"""

from __future__ import annotations

import hashlib
import os
import re
import stat
import unicodedata
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from kbgen.bag.form import Line, is_unsafe, parse_info, parse_manifest

__all__ = ["Slip", "check_bag"]

_MANIFEST = re.compile(r"(?P<tag>tag)?manifest-(?P<algorithm>[a-z0-9]+)\.txt")
_VERSION = re.compile(r"\d+\.\d+")
_LARGEST_TAG_FILE = 200_000_000


@dataclass(frozen=True, slots=True, order=True)
class Slip:
    """Something wrong in a bag. Shape: ``path`` is relative to the bag, empty for all of it."""

    path: str
    what: str

    def __str__(self) -> str:
        return f"{shown(self.path)}: {self.what}" if self.path else self.what


def shown(path: str) -> str:
    """Return a path so that a terminal shows every letter of it and obeys none."""
    return "".join(mark if mark.isprintable() else ascii(mark)[1:-1] for mark in path)


def check_bag(bag: Path) -> list[Slip]:
    """Return everything that is wrong with a bag, sorted; nothing for a whole one.

    Raises: OSError where the machine does not give a file that is there.
    """
    slips = set(_declared(bag))
    if not (bag / "bagit.txt").exists() and not _has_manifest(bag):
        return sorted(slips)  # whatever else is there, it is no bag: nobody waits for it
    files = dict(_files(bag, "", slips))
    seen = {"payload": 0, "tag": 0}
    for name in sorted(files):
        match = _MANIFEST.fullmatch(name)
        if match is None:
            continue
        kind = "tag" if match["tag"] else "payload"
        seen[kind] += 1
        if match["algorithm"] not in hashlib.algorithms_guaranteed or "shake" in name:
            slips.add(Slip(name, "this kind of digest is not known here; nothing was compared"))
            continue
        slips.update(_manifest(bag, name, match["algorithm"], kind, files))
    if not seen["payload"]:
        slips.add(Slip("", "there is no manifest: nothing says what should be in the bag"))
    slips.update(_info(bag, files))
    slips.update(_fetched(bag, files))
    return sorted(slips)


def _has_manifest(bag: Path) -> bool:
    return any(_MANIFEST.fullmatch(path.name) for path in bag.iterdir())


def _declared(bag: Path) -> Iterator[Slip]:
    """Yield what is wrong with the declaration."""
    text = _text(bag / "bagit.txt")
    if text is None:
        yield Slip("bagit.txt", "it is missing: without it this is no bag")
        return
    said = parse_info(text) or {}
    if text.startswith("\ufeff"):
        yield Slip("bagit.txt", "it begins with a byte order mark, which is forbidden")
    if not _VERSION.fullmatch("".join(said.get("BagIt-Version", ()))):
        yield Slip("bagit.txt", "it does not say which version of BagIt the bag is of")
    encoding = "".join(said.get("Tag-File-Character-Encoding", ()))
    if encoding.upper() != "UTF-8":
        said_to_be = f"in {encoding}" if encoding else "in no encoding"
        yield Slip("bagit.txt", f"the tag files are said to be {said_to_be}, not in UTF-8")


def _files(bag: Path, inner: str, slips: set[Slip]) -> Iterator[tuple[str, int]]:
    """Yield path and size of every file of a bag; what is no plain file is a slip."""
    with os.scandir(bag / inner) as entries:
        for entry in sorted(entries, key=lambda one: one.name):
            path = f"{inner}/{entry.name}" if inner else entry.name
            found = entry.stat(follow_symlinks=False)
            if stat.S_ISDIR(found.st_mode):
                yield from _files(bag, path, slips)
            elif stat.S_ISREG(found.st_mode):
                yield path, found.st_size
            else:
                slips.add(Slip(path, "it is neither a file nor a folder, and was not opened"))


def _manifest(
    bag: Path, name: str, algorithm: str, kind: str, files: Mapping[str, int]
) -> Iterator[Slip]:
    """Yield where the files of a bag differ from one of its manifests."""
    text = _text(bag / name)
    if text is None:
        yield Slip(name, "it is not text in UTF-8")
        return
    listed: set[str] = set()
    for line in parse_manifest(text):
        slip = _line(line, kind, listed)
        if slip:
            yield Slip(name, f"line {line.number}: {slip}")
            continue
        listed.add(line.path)
        if line.path not in files:
            yield Slip(line.path, _missing(line.path, files))
        elif _digest(bag / line.path, algorithm) != line.digest:
            yield Slip(line.path, f"its bytes are not those that {name} was made of")
    if kind == "payload":
        for path in sorted(files):
            if path.startswith("data/") and path not in listed:
                yield Slip(path, f"it is in the bag, and {name} does not list it")


def _line(line: Line, kind: str, listed: set[str]) -> str:
    """Return in words what is wrong with a line of a manifest, empty for a good one."""
    if line.slip:
        return f"{line.slip} ({shown(line.path)})"
    if is_unsafe(line.path):
        return f"the path {shown(line.path)} leads out of the bag, and was not followed"
    if (kind == "payload") is not line.path.startswith("data/"):
        where = "under data/" if kind == "payload" else "outside data/"
        return f"the path {shown(line.path)} has no place here: these are {where}"
    if line.path in listed:
        return f"{shown(line.path)} is listed twice"
    return ""


def _missing(path: str, files: Mapping[str, int]) -> str:
    composed = unicodedata.normalize("NFC", path)
    for other in files:
        if unicodedata.normalize("NFC", other) == composed:
            return "it is there under a name whose letters are composed otherwise"
        if other.casefold() == path.casefold():
            return f"it is missing; there is {shown(other)}"
    return "it is missing"


def _digest(path: Path, algorithm: str) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, algorithm).hexdigest()


def _text(path: Path) -> str | None:
    """Return the text of a tag file, None where there is none or it is no UTF-8."""
    try:
        if path.is_symlink() or path.stat().st_size > _LARGEST_TAG_FILE:
            return None
        return path.read_bytes().decode("utf-8")
    except (FileNotFoundError, IsADirectoryError, UnicodeDecodeError):
        return None


def _info(bag: Path, files: Mapping[str, int]) -> Iterator[Slip]:
    """Yield where the bag holds another amount than its information says."""
    if "bag-info.txt" not in files:
        return
    text = _text(bag / "bag-info.txt")
    said = parse_info(text) if text is not None else None
    if said is None:
        yield Slip("bag-info.txt", "it is not lines of a label, a colon and a value")
        return
    payload = [size for path, size in files.items() if path.startswith("data/")]
    counted = f"{sum(payload)}.{len(payload)}"
    for oxum in said.get("Payload-Oxum", ()):
        if oxum != counted:
            yield Slip(
                "bag-info.txt",
                f"it says {oxum} (bytes, a full stop, files); in the bag are {counted}",
            )


def _fetched(bag: Path, files: Mapping[str, int]) -> Iterator[Slip]:
    """Yield what the bag leaves to be fetched: nothing is ever fetched here."""
    text = _text(bag / "fetch.txt") if "fetch.txt" in files else ""
    for line in (text or "").splitlines():
        path = line.split(maxsplit=2)[-1] if len(line.split(maxsplit=2)) == 3 else ""
        if path not in files:
            yield Slip(
                "fetch.txt", f"it leaves this to be fetched, which is not done: {shown(line)}"
            )
