"""How often people asked what a note answers."""

import pytest

from kbgen.content import askings, load_tree

WORKSHOP = """\
name: Test bench
language: en
base_address: https://bench.example.org/
contact: Write to bench@example.org
disclosure: We say how we came by what we link to.
"""
NOTE = """\
---
title: Winder slips
standing: {standing}
authors: [workshop]
symptom: [It slips]
families: []
causes: [{{cause: Tyre, tell: Hard}}]
fix: New tyre.
before: {{people: one, tools: none, supplies: none, spares: none}}
works_when: It fills.
first_published: 2026-01-01
revised: 2026-01-01
---
Steps.
"""
ANSWERED = "standing: answered\nanswered_by: {}\nanswered: 2026-02-01\n"


def tree_of(folder, notes, questions):
    (folder / "content" / "notes").mkdir(parents=True)
    (folder / "content" / "questions").mkdir()
    (folder / "content" / "workshop.yaml").write_text(WORKSHOP, encoding="utf-8")
    for number, standing in notes.items():
        path = folder / "content" / "notes" / f"{number:04}-note.md"
        path.write_text(NOTE.format(standing=standing), encoding="utf-8")
    for number, keys in questions.items():
        path = folder / "content" / "questions" / f"Q{number:04}-asked.md"
        front = f"---\ndate: 2026-01-02\nalias: A.\ncame_by: letter\n{keys}---\nIt slips.\n"
        path.write_text(front, encoding="utf-8")
    loaded = load_tree(folder)
    assert loaded.findings == ()
    return loaded.tree


@pytest.mark.parametrize(
    ("notes", "questions", "counted"),
    [
        pytest.param({1: "published"}, {1: ""}, {}, id="waiting counts for none"),
        pytest.param(
            {1: "published", 2: "published"},
            {1: ANSWERED.format(2), 2: ANSWERED.format(1), 3: ANSWERED.format(2)},
            {1: 1, 2: 2},
            id="answered ones count",
        ),
        pytest.param(
            {1: "published"},
            {1: ANSWERED.format(1), 2: "same_as: 1\n", 3: "same_as: 2\n"},
            {1: 3},
            id="repeated ones count for the first one's note",
        ),
        pytest.param(
            {1: "published"},
            {1: "same_as: 2\n", 2: "same_as: 1\n", 3: "same_as: 9\n"},
            {},
            id="a circle and a gap end",
        ),
        pytest.param(
            {1: "withdrawn\nsuccessor: 2", 2: "withdrawn\nsuccessor: 3", 3: "published"},
            {1: ANSWERED.format(1)},
            {3: 1},
            id="the note that stands for a withdrawn one",
        ),
    ],
)
def test_askings_count_for_the_note_that_answers(tmp_path, notes, questions, counted):
    assert askings(tree_of(tmp_path, notes, questions)) == counted
