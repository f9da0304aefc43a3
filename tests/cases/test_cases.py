"""Every code accepts what its case file accepts and reports what it reports, where it says.

The format of the case files is described in README.md beside this file.
"""

from __future__ import annotations

import re
import shutil
from dataclasses import dataclass
from pathlib import Path

import pytest

from kbgen.checks import check
from kbgen.content import load_tree
from kbgen.findings import CODES, Finding, Severity

HERE = Path(__file__).parent
BASE = HERE / "base"

_FENCE = re.compile(r"^(?P<marks>`{3,})(?P<info>[^`]*)$")
_EXPECTED = re.compile(
    r"^- (?P<path>content/[^:]+|content):(?P<line>\d+):(?P<column>\d+)"
    r"(?: \((?P<code>[a-z-]+)\))?(?:: (?P<words>.+))?$"
)
_HOW = ("file", "body", "change", "gone", "bytes", "many", "link")


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
        case "link":
            target.symlink_to(overlay.text.strip())
            return
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


CASES = [
    case for path in sorted(HERE.glob("*.md")) if path.stem != "README" for case in read_cases(path)
]
NAMES = [code.name for code in CODES]


def findings_of(root: Path) -> tuple[Finding, ...]:
    return check(load_tree(root)).findings


def shown(findings: tuple[Finding, ...]) -> str:
    return "\n".join(
        f"{one.path}:{one.line}:{one.column}: {one.message} ({one.code})\n    {one.hint}"
        for one in findings
    )


def test_the_base_has_no_finding_at_all() -> None:
    assert shown(findings_of(BASE)) == ""


def test_every_code_stands_once_in_the_table() -> None:
    assert len(NAMES) == len(set(NAMES))


@pytest.mark.parametrize("code", NAMES)
def test_every_code_has_an_accepted_and_a_reported_case(code: str) -> None:
    kinds = {case.kind for case in CASES if case.code == code}
    assert kinds == {"accepted", "reported"}, f"tests/cases/{code}.md shows only {sorted(kinds)}"


def test_every_case_file_has_its_code() -> None:
    strangers = sorted({case.code for case in CASES} - set(NAMES))
    assert strangers == []


@pytest.mark.parametrize(
    "case", [case for case in CASES if case.kind == "accepted"], ids=lambda case: case.name
)
def test_accepted(case: Case, tmp_path: Path) -> None:
    case.lay(tmp_path / "tree")
    findings = findings_of(tmp_path / "tree")
    wrong = tuple(
        one for one in findings if one.code == case.code or one.severity is Severity.ERROR
    )
    assert wrong == (), shown(wrong)


@pytest.mark.parametrize(
    "case", [case for case in CASES if case.kind == "reported"], ids=lambda case: case.name
)
def test_reported(case: Case, tmp_path: Path) -> None:
    case.lay(tmp_path / "tree")
    findings = findings_of(tmp_path / "tree")
    watched = {one.code for one in case.expected}
    found = tuple(one for one in findings if one.code in watched)
    places = sorted((one.path, one.line, one.column, one.code) for one in found)
    expected = sorted((one.path, one.line, one.column, one.code) for one in case.expected)
    assert places == expected, shown(findings)
    for one in case.expected:
        said = [
            f"{other.message} {other.hint}"
            for other in found
            if (other.path, other.line, other.column, other.code)
            == (one.path, one.line, one.column, one.code)
        ]
        assert any(one.words in words for words in said), f"{one.words!r} is not in {said}"


@pytest.mark.parametrize(
    ("text", "complaint"),
    [
        pytest.param("```file content/x.yaml\nx\n```\n", "before the first section", id="no part"),
        pytest.param("## refused\n", "accepted or reported", id="unknown section"),
        pytest.param("## accepted\n```file x.yaml\n```\n", "content/ path", id="path outside"),
        pytest.param("## accepted\n```file content/x\n", "never closed", id="open fence"),
        pytest.param("## reported\n```file content/x\n```\n", "says where", id="nothing expected"),
        pytest.param("## reported\n- content/x:1\n", "PATH:LINE:COLUMN", id="half a place"),
    ],
)
def test_a_case_file_with_a_slip_is_refused(text: str, complaint: str, tmp_path: Path) -> None:
    path = tmp_path / "some-code.md"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(CaseError, match=complaint):
        read_cases(path)
