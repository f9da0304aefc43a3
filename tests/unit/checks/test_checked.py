"""One run names everything: the findings of loading, links, ledger and rules, sorted."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from kbgen.checks import RULES, Checked, check
from kbgen.content import load_tree
from kbgen.findings import CODES, Severity

BASE = Path(__file__).parents[2] / "cases" / "base"
NOTE = """---
title: Something is loose
standing: {standing}
authors: [workshop]
symptom: [It rattles]
families: [halverin-h]
causes: [{{cause: Screw loose, tell: It rattles}}]
fix: Tighten it.
before: {{people: one, tools: none, supplies: none, spares: none}}
works_when: It is quiet.
first_published: 2026-01-10
revised: 2026-01-10
---
{body}
"""


@pytest.fixture
def root(tmp_path: Path) -> Path:
    return Path(shutil.copytree(BASE, tmp_path / "tree"))


def add(root: Path, number: int, body: str, standing: str = "published") -> None:
    path = root / "content" / "notes" / f"{number:04}-loose.md"
    path.write_text(NOTE.format(standing=standing, body=body), encoding="utf-8")


def checked(root: Path) -> Checked:
    return check(load_tree(root))


def test_five_slips_in_five_notes_are_named_in_one_run(root: Path) -> None:
    add(root, 2, "Fit an M4x0.8 screw.")
    add(root, 3, "First the belt.\n\nTighten it to 12 N·m (20 lbf·ft).")
    add(root, 4, "The needle clamp screw is M3x0.5.")
    add(root, 5, "Fit [the tyre](part:winder-tire).")
    add(root, 6, "1. Open the base.\n2. Rewire the lamp.")
    found = checked(root)
    errors = [one for one in found.findings if one.severity is Severity.ERROR]
    assert [(one.path[14:18], one.line, one.column, one.code) for one in errors] == [
        ("0002", 14, 8, "thread-in-no-series"),
        ("0003", 16, 23, "torque-units-disagree"),
        ("0004", 14, 27, "prose-contradicts-register"),
        ("0005", 14, 16, "link-leads-nowhere"),
        ("0006", 15, 4, "mains-work-without-caution"),
    ]
    assert all(one.hint for one in errors)
    assert not found.publishable
    assert list(found.findings) == sorted(found.findings)


def test_drafts_are_inspected_and_not_published(root: Path) -> None:
    add(root, 2, "Fit an M4x0.7 screw.", "draft")
    add(root, 3, "Fit an M5x0.8 screw.", "draft")
    found = checked(root)
    assert found.publishable
    assert [note.number for note in found.published] == [1]
    add(root, 3, "Fit an M4x0.8 screw.", "draft")
    assert not checked(root).publishable


def test_a_tree_with_broken_files_is_still_checked(root: Path) -> None:
    (root / "content" / "workshop.yaml").write_text("name: [", encoding="utf-8")
    (root / "content" / "hazards.yaml").write_text("- {id: x", encoding="utf-8")
    (root / "content" / "families" / "halverin-h.yaml").write_text("name: [", encoding="utf-8")
    (root / "content" / "threads.yaml").write_text("- {thread: x", encoding="utf-8")
    add(root, 2, "Fit an M4x0.8 screw in [its place](fastener:halverin-h/needle-clamp).")
    add(root, 3, "Rewire the lamp; its stud is 13/64-32 house.")
    path = root / "content" / "notes" / "0003-loose.md"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("works_when", "hazards: [mains]\nworks_when"), encoding="utf-8")
    errors = {one.code for one in checked(root).findings if one.severity is Severity.ERROR}
    assert errors == {"yaml-unreadable", "thread-in-no-series"}


def test_every_rule_has_one_code_of_the_table() -> None:
    codes = [rule.code for rule in RULES]
    assert len(codes) == len(set(codes))
    assert set(codes) <= {code.name for code in CODES}


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.code)
def test_a_rule_reports_only_its_own_code(rule, root: Path) -> None:
    from kbgen.checks import Material
    from kbgen.units import HouseThreads

    add(root, 2, "Fit an M4x0.8 screw. Rewire it. The needle clamp screw is M3x0.5, 12 lb.")
    found = checked(root)
    material = Material(found.tree, HouseThreads.of([]), found.statements, ())
    assert {one.code for one in rule.find(material)} <= {rule.code}
