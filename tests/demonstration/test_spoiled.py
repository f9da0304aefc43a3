"""Every code that an inspection knows has been seen to fire on a spoiled demonstration."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from spoilings import ALONE, SPOILINGS, spoil

from kbgen.checks import check
from kbgen.content import load_tree
from kbgen.findings import CODES, Finding, Severity

CONTENT = Path(__file__).parents[2] / "content"
# Findings that stand in another file than the one that was edited.
ELSEWHERE = {
    "name-collides": {"content/photos/winder-tyre.png"},
    "number-twice": {"content/notes/0093-find-a-moment.md"},
    "photo-missing": {"content/notes/0031-which-lamp.md"},
}
NAMES = [code.name for code in CODES]

Said = tuple[str, str, str]
Spoiled = tuple[
    set[Said], dict[str, set[str]]
]  # what is said, and the files each code's edits touch


def _said(findings: tuple[Finding, ...]) -> set[Said]:
    """Return what findings say, without the lines, which every edit shifts."""
    return {(one.code, one.path, one.message) for one in findings}


def _spoiled(root: Path, codes: list[str]) -> Spoiled:
    """Return what an inspection says of a copy with the edits of these codes."""
    content = root / "content"
    shutil.copytree(CONTENT, content)
    touched = {code: {spoil(content, edit) for edit in SPOILINGS[code]} for code in codes}
    return _said(check(load_tree(root)).findings), touched


@pytest.fixture(scope="module")
def sound() -> set[Said]:
    return _said(check(load_tree(CONTENT.parent)).findings)


@pytest.fixture(scope="module")
def together(tmp_path_factory: pytest.TempPathFactory) -> Spoiled:
    shared = [code for code in SPOILINGS if code not in ALONE]
    return _spoiled(tmp_path_factory.mktemp("together"), shared)


@pytest.fixture(scope="module")
def alone(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], Spoiled]:
    return lambda code: _spoiled(tmp_path_factory.mktemp(code), [code])


def test_the_demonstration_has_no_error_and_no_warning() -> None:
    findings = check(load_tree(CONTENT.parent)).findings
    wrong = [
        f"{one.path}:{one.line}: {one.message}"
        for one in findings
        if one.severity is not Severity.ADVICE
    ]
    assert wrong == []


@pytest.mark.parametrize("code", NAMES)
def test_the_code_fires_on_a_spoiled_demonstration(
    code: str,
    sound: set[Said],
    together: Spoiled,
    alone: Callable[[str], Spoiled],
) -> None:
    assert code in SPOILINGS, (
        f"{code} has no spoiling yet: write the edit of the demonstration that brings it up "
        "into tests/demonstration/spoilings.py"
    )
    said, touched = alone(code) if code in ALONE else together
    new = {(name, path) for name, path, _ in said - sound}
    reported = {path for name, path in new if name == code}
    assert reported & (touched[code] | ELSEWHERE.get(code, set())), (
        f"the edits for {code} touch {sorted(touched[code])} and bring it up in {sorted(reported)}"
    )


def test_every_spoiling_has_its_code() -> None:
    assert sorted(set(SPOILINGS) - set(NAMES)) == []
