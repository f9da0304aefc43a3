"""Whatever is answered, the checks say what they think of it, and what is written loads."""

from __future__ import annotations

import datetime
import shutil
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kbgen.build import checked_tree
from kbgen.content import load_note
from kbgen.findings import Severity
from kbgen.jot import Trial, note_of, read_answers
from kbgen.jot.questions import QUESTIONS

BASE = Path(__file__).parents[2] / "cases" / "base"
DAY = datetime.date(2026, 3, 4)
TEXTS = st.one_of(st.text(), st.sampled_from(["M4x0.8", "none", "halverin-h", "12:40", "---"]))
VALUES = st.recursive(
    TEXTS,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(TEXTS, inner, max_size=3),
    max_leaves=6,
)


@pytest.fixture(scope="module")
def trial(tmp_path_factory: pytest.TempPathFactory) -> Trial:
    root = tmp_path_factory.mktemp("any") / "tree"
    shutil.copytree(BASE, root)
    return Trial(checked_tree(root), DAY)


@settings(max_examples=80, deadline=None)
@given(answers=st.dictionaries(st.sampled_from([one.key for one in QUESTIONS]), VALUES))
def test_no_answer_stops_the_checks(trial: Trial, answers: dict[str, Any]) -> None:
    said = trial.whole(answers)
    if any(one.severity is Severity.ERROR for one in said):
        return
    note, findings = load_note("content/notes/0002-x.md", note_of(answers, DAY).encode())
    assert note is not None
    assert not any(one.severity is Severity.ERROR for one in findings)
    assert note.front.standing == "draft"


@settings(max_examples=150, deadline=None)
@given(text=st.text())
def test_any_file_of_answers_is_read_or_refused(text: str) -> None:
    try:
        answers = read_answers(text)
    except ValueError as refused:
        assert str(refused)
    else:
        assert isinstance(answers, dict)
