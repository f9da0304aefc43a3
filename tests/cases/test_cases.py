"""Every code accepts what its case file accepts and reports what it reports, where it says."""

from __future__ import annotations

from pathlib import Path

import pytest
from casefile import BASE, HERE, Case, CaseError, read_cases

from kbgen.checks import check
from kbgen.content import load_tree
from kbgen.findings import CODES, Finding, Severity

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
