"""Reads the case files: what a code accepts, what it reports, and where.

The format is described in README.md beside this file.
"""

from __future__ import annotations

import re
import shutil
from dataclasses import dataclass
from pathlib import Path

HERE = Path(__file__).parent
BASE = HERE / "base"

_FENCE = re.compile(r"^(?P<marks>`{3,})(?P<info>[^`]*)$")
_EXPECTED = re.compile(
    r"^- (?P<path>content/[^:]+|content):(?P<line>\d+):(?P<column>\d+)"
    r"(?: \((?P<code>[a-z-]+)\))?(?:: (?P<words>.+))?$"
)
_HOW = ("file", "body", "change", "gone", "bytes", "many")


class CaseError(ValueError):
    """A case file that does not follow the format; the message names file and line."""


@dataclass(frozen=True, slots=True)
class Overlay:
    """One fenced file of a case and how it is laid over the base."""

    how: str
    path: str
    text: str
    times: int = 1


@dataclass(frozen=True, slots=True)
class Expected:
    """Where a reported case expects its code, and words of the message or the hint."""

    path: str
    line: int
    column: int
    code: str
    words: str


@dataclass(frozen=True, slots=True)
class Case:
    """One small tree and what is expected of it; ``expected`` is empty when accepted."""

    code: str
    kind: str
    title: str
    line: int
    overlays: tuple[Overlay, ...]
    expected: tuple[Expected, ...]

    @property
    def name(self) -> str:
        return f"{self.code}-{self.kind}-{self.title or self.line}"

    def lay(self, root: Path) -> None:
        """Write the tree of this case at ``root``, which may not exist yet."""
        shutil.copytree(BASE, root)
        for overlay in self.overlays:
            _lay(overlay, root, f"{self.code}.md, case at line {self.line}")


def read_cases(path: Path) -> tuple[Case, ...]:
    """Return the cases of one file, in order.

    Raises: CaseError naming the line that does not follow the format.
    """
    cases: list[Case] = []
    kind = title = ""
    start = 1
    overlays: list[Overlay] = []
    expected: list[Expected] = []
    lines = path.read_text(encoding="utf-8").split("\n")

    def close() -> None:
        if overlays or expected:
            cases.append(Case(path.stem, kind, title, start, tuple(overlays), tuple(expected)))
        overlays.clear()
        expected.clear()

    number = 0
    while number < len(lines):
        line = lines[number]
        number += 1
        if line.startswith(("## ", "### ")):
            close()
            start = number
            title = line[4:].strip() if line.startswith("### ") else ""
            if line.startswith("## "):
                kind = line[3:].strip()
                if kind not in ("accepted", "reported"):
                    raise CaseError(f"{path.name}:{number}: a section is accepted or reported")
        elif fence := _FENCE.match(line):
            close_at = _end_of_fence(lines, number, fence["marks"], path)
            overlays.append(
                _overlay(fence["info"], lines[number:close_at], f"{path.name}:{number}")
            )
            number = close_at + 1
        elif line.startswith("- content"):
            found = _EXPECTED.match(line)
            if found is None:
                raise CaseError(f"{path.name}:{number}: expected `- PATH:LINE:COLUMN: words`")
            expected.append(
                Expected(
                    found["path"],
                    int(found["line"]),
                    int(found["column"]),
                    found["code"] or path.stem,
                    found["words"] or "",
                )
            )
    close()
    for case in cases:
        _validate(case, path)
    return tuple(cases)


def _validate(case: Case, path: Path) -> None:
    where = f"{path.name}:{case.line}"
    if case.kind not in ("accepted", "reported"):
        raise CaseError(f"{where}: a case stands before the first section")
    if case.kind == "accepted" and case.expected:
        raise CaseError(f"{where}: an accepted case expects nothing")
    if case.kind == "reported" and not any(one.code == case.code for one in case.expected):
        raise CaseError(f"{where}: a reported case says where {case.code} is expected")


def _end_of_fence(lines: list[str], start: int, marks: str, path: Path) -> int:
    for number in range(start, len(lines)):
        if lines[number].rstrip() == marks:
            return number
    raise CaseError(f"{path.name}:{start}: this fence is never closed")


def _overlay(info: str, lines: list[str], where: str) -> Overlay:
    words = info.split()
    times = 1
    if len(words) == 3 and words[0] == "many" and words[1].isdigit():
        times = int(words[1])
        words = [words[0], words[2]]
    if len(words) != 2 or words[0] not in _HOW or not words[1].startswith("content/"):
        raise CaseError(f"{where}: a fence opens with one of {', '.join(_HOW)} and a content/ path")
    return Overlay(words[0], words[1], "".join(f"{line}\n" for line in lines), times)


def _lay(overlay: Overlay, root: Path, where: str) -> None:
    target = root / overlay.path
    if overlay.how == "gone":
        target.unlink()
        return
    target.parent.mkdir(parents=True, exist_ok=True)
    match overlay.how:
        case "bytes":
            data = bytes.fromhex(overlay.text)
        case "body":
            front, mark, _ = target.read_text(encoding="utf-8").partition("\n---\n")
            data = (front + mark + overlay.text).encode()
        case "change":
            data = _changed(target.read_text(encoding="utf-8"), overlay.text, where).encode()
        case _:
            data = (overlay.text * overlay.times).encode()
    target.write_bytes(data)


def _changed(text: str, change: str, where: str) -> str:
    lines = text.split("\n")
    taken: list[str] = []
    put: list[str] = []

    def apply() -> None:
        nonlocal lines
        if not taken:
            lines = lines[:-1] + put + lines[-1:]
        else:
            at = [
                start for start in range(len(lines)) if lines[start : start + len(taken)] == taken
            ]
            if len(at) != 1:
                raise CaseError(f"{where}: {taken[0]!r} stands {len(at)} times, expected once")
            lines[at[0] : at[0] + len(taken)] = put
        taken.clear()
        put.clear()

    for line in change.splitlines():
        if line.startswith("-"):
            if put:
                apply()
            taken.append(line[1:])
        elif line.startswith("+"):
            put.append(line[1:])
        else:
            raise CaseError(f"{where}: a change line begins with - or +, got {line!r}")
    apply()
    return "\n".join(lines)
