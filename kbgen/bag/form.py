"""The tag files of a bag as text. Source: RFC 8493 (BagIt 1.0), sections 2.1 and 2.2."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

__all__ = [
    "DECLARATION",
    "Line",
    "decoded",
    "encoded",
    "format_info",
    "format_manifest",
    "is_unsafe",
    "parse_info",
    "parse_manifest",
]

DECLARATION = "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
"""The whole of ``bagit.txt``."""

_ENCODED = {"%": "%25", "\r": "%0D", "\n": "%0A"}
_DECODED = {"25": "%", "0D": "\r", "0A": "\n"}
_LINE = re.compile(r"(?P<digest>[0-9A-Fa-f]+)[ \t]+(?P<path>\S.*)", re.DOTALL)
_LABEL = re.compile(r"(?P<label>[^:\s][^:]*):[ \t]+(?P<value>.*)")
_LINE_ENDS = re.compile(r"\r\n|\n|\r")


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a manifest.

    Shape: ``path`` is decoded; ``slip`` says in words what is wrong with the line, and is
    empty for a good one.
    """

    number: int
    digest: str
    path: str
    slip: str = ""


def encoded(path: str) -> str:
    """Return a path as a manifest has it: CR, LF and % percent-encoded, and nothing else."""
    return re.sub(r"[%\r\n]", lambda mark: _ENCODED[mark[0]], path)


def decoded(written: str) -> str:
    """Return the path that a manifest's line names.

    Raises: ValueError where a % begins none of %25, %0D and %0A.
    """

    def plain(mark: re.Match[str]) -> str:
        known = _DECODED.get(mark[1].upper())
        if known is None:
            raise ValueError(
                f"`{mark[0]}` stands for nothing: of all marks only %, CR and LF are written "
                "with a %, as %25, %0D and %0A"
            )
        return known

    return re.sub(r"%(.{0,2})", plain, written, flags=re.DOTALL)


def is_unsafe(path: str) -> bool:
    """Return whether a path leads out of a bag, or may on some system.

    Shape: absolute paths, drives, a user's home, ``..``, backslashes and NUL are unsafe.
    """
    parts = path.split("/")
    return (
        path.startswith(("/", "~"))
        or "\\" in path
        or "\0" in path
        or re.match(r"[A-Za-z]:", path) is not None
        or not {"", ".", ".."}.isdisjoint(parts)
    )


def format_manifest(digests: Mapping[str, str]) -> bytes:
    """Return a manifest, sorted by path. Shape: path with forward slashes → digest in hex."""
    lines = (f"{digests[path]}  {encoded(path)}\n" for path in sorted(digests))
    return "".join(lines).encode()


def parse_manifest(text: str) -> list[Line]:
    """Return the lines of a manifest, those that cannot be read with their slip."""
    found = []
    for number, line in enumerate(_LINE_ENDS.split(text), 1):
        if not line:
            continue
        match = _LINE.fullmatch(line)
        if match is None:
            found.append(Line(number, "", line, "this is no digest followed by a path"))
            continue
        written = match["path"].removeprefix("*").removeprefix("./")
        try:
            found.append(Line(number, match["digest"].lower(), decoded(written)))
        except ValueError as wrong:
            found.append(Line(number, match["digest"].lower(), written, str(wrong)))
    return found


def format_info(rows: Iterable[tuple[str, str]]) -> bytes:
    """Return ``bag-info.txt``: a label, a colon and its value, a line each."""
    return "".join(f"{label}: {' '.join(value.split())}\n" for label, value in rows).encode()


def parse_info(text: str) -> dict[str, list[str]] | None:
    """Return values by label of ``bag-info.txt`` or ``bagit.txt``, None where it is neither.

    Shape: a line that begins with a blank carries on the value above it.
    """
    found: dict[str, list[str]] = {}
    last = ""
    for line in _LINE_ENDS.split(text):
        if line.startswith((" ", "\t")) and last:
            found[last][-1] += " " + line.strip()
        elif match := _LABEL.fullmatch(line):
            last = match["label"].rstrip()
            found.setdefault(last, []).append(match["value"].rstrip())
        elif line:
            return None
    return found
