"""The command as a person and a script meet it."""

from __future__ import annotations

import io
import json
from pathlib import Path

import jsonschema
import pytest

from kbgen.build import inspect
from kbgen.cli import main
from kbgen.findings import stops_build
from kbgen.jot import Kept, read_answers

SHAPE = Path(__file__).parent / "shapes" / "jot.schema.json"
DAY = ["--day", "2026-03-04"]


def jot(root: Path, monkeypatch: pytest.MonkeyPatch, said: str, *words: str) -> int:
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(said.encode())))
    return main(["jot", "--tree", str(root), *DAY, *words])


def notes(root: Path) -> list[str]:
    return sorted(path.name for path in (root / "content" / "notes").iterdir())


def test_answers_through_a_pipe(
    root: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert jot(root, monkeypatch, "Winder: “stalls”\nIt stalls\n" + "\n" * 15) == 0
    shown = capsys.readouterr()
    assert shown.out == (
        "content/notes/0002-winder-stalls.md is written, a draft.\n"
        "Still to be written: lines 8, 9, 12, 15, 19\n"
        "kbgen proof shows it as a page.\n"
    )
    assert "What is the note about" in shown.err
    assert not stops_build(inspect(root))
    assert not (root / ".kbgen").exists()


def test_an_interruption_loses_nothing(
    root: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert jot(root, monkeypatch, "Winder stalls\nIt stalls\n\nhalverin-h\n") == 2
    assert "3 answers are kept" in capsys.readouterr().err
    assert notes(root) == ["0001-winder-tyre-slips.md"]
    [(_, kept)] = Kept.unfinished(root)
    assert kept == {"title": "Winder stalls", "symptom": ["It stalls"], "families": ["halverin-h"]}
    assert jot(root, monkeypatch, "\n" * 13, "--carry-on", "--json") == 0
    told = json.loads(capsys.readouterr().out)
    jsonschema.validate(told, json.loads(SHAPE.read_text(encoding="utf-8")))
    assert told == {
        "note": 2,
        "path": "content/notes/0002-winder-stalls.md",
        "unwritten": [8, 9, 12, 15, 19],
    }
    assert "families: [halverin-h]" in (root / told["path"]).read_text(encoding="utf-8")
    assert Kept.unfinished(root) == []
    assert not (root / ".kbgen" / "jot").exists()


def test_another_note_may_be_begun_while_one_is_unfinished(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert jot(root, monkeypatch, "First\nIt stalls\n\n") == 2
    assert jot(root, monkeypatch, "Second\nIt slips\n\n") == 2
    titles = [answers["title"] for _, answers in Kept.unfinished(root)]
    assert titles == ["Second", "First"]


def test_nothing_said_is_nothing_kept(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert jot(root, monkeypatch, "") == 2
    assert not (root / ".kbgen").exists()
    assert jot(root, monkeypatch, "", "--carry-on") == 2


def test_answers_that_cannot_be_read_are_passed_over(root: Path) -> None:
    folder = root / ".kbgen" / "jot"
    folder.mkdir(parents=True)
    (folder / "a.json").write_text("{", encoding="utf-8")
    (folder / "b.json").write_text("[]", encoding="utf-8")
    assert Kept.unfinished(root) == []


ANSWERS = """\
title: Winder stalls
symptom: It stalls
families: [halverin-h]
before: {people: two, tools: [driver], supplies: none, spares: [winder-tyre]}
parts: [{part: winder-tyre, quantity: 2}]
recordings: [{recording: winder-evening, at: 12:40}]
steps: |
  Lift the winder.

  Look at the tyre.
"""


@pytest.mark.parametrize("form", ["yaml", "json"])
def test_answers_from_a_file(
    root: Path, form: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    file = root / f"new.{form}"
    answers = read_answers(ANSWERS)
    file.write_text(ANSWERS if form == "yaml" else json.dumps(answers), encoding="utf-8")
    assert jot(root, monkeypatch, "", "--answers", str(file)) == 0
    assert "0002-winder-stalls.md" in capsys.readouterr().out
    text = (root / "content" / "notes" / "0002-winder-stalls.md").read_text(encoding="utf-8")
    assert "people: two" in text
    assert 'at: "12:40"' in text
    assert text.endswith("---\nLift the winder.\n\nLook at the tyre.\n")
    assert not stops_build(inspect(root))


@pytest.mark.parametrize(
    ("answers", "code", "said"),
    [
        ("title: W\nsymptom: S\nfix: Use M4x0.8.", 1, "fix: error: M4x0.8 is not in ISO 261"),
        ("title: W\nsymptom: S\nfamilies: [nobody]", 1, "there is no family nobody"),
        ("title: W\nsymptom: S\nfix: Rewire the motor lead.", 1, "hazards: error: `Rewire`"),
        ("title: W\nsymptom: S\ncolour: red", 1, "colour"),
        ("title: W\nsymptom: S\nrecordings: [{recording: r, at: soon}]", 1, "soon"),
        ("title: W\nstanding: published", 2, "a note begins as a draft"),
        ("- a", 2, "answers are keys with their values"),
        ("symptom: S", 1, "title: error: a note needs it"),
        ("title: [W]\nsymptom: S", 1, "`title` is a text"),
        ("title: W\nsymptom: {a: b}", 1, "`symptom` is a list of texts"),
        ("title: W\nbefore: none", 2, "under `before` stand people"),
        ("title: 'W", 2, "line 1: a quotation mark is opened here and never closed"),
    ],
)  # fmt: skip
def test_wrong_answers_write_nothing(
    root: Path,
    answers: str,
    code: int,
    said: str,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert jot(root, monkeypatch, answers, "--answers", "-") == code
    assert said in capsys.readouterr().err
    assert notes(root) == ["0001-winder-tyre-slips.md"]


def test_a_note_begins_with_a_chapter(
    root: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    code = jot(
        root, monkeypatch, "symptom: It slips", "--answers", "-",
        "--from-recording", "winder-evening@13:00",
    )  # fmt: skip
    assert code == 0
    shown = capsys.readouterr()
    assert "note 1 is shown in that chapter already" in shown.err
    text = (root / "content" / "notes" / "0002-the-tyre.md").read_text(encoding="utf-8")
    assert '- {recording: winder-evening, at: "13:00"}' in text


@pytest.mark.parametrize(
    "words",
    [
        ["--from-recording", "winder-evening"],
        ["--from-recording", "nobody@1:00"],
        ["--from-recording", "winder-evening@soon"],
        ["--answers", "no-such-file.yaml"],
        ["--day", "yesterday"],
    ],
    ids=" ".join,
)
def test_wrong_use_is_a_sentence(
    root: Path,
    words: list[str],
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert jot(root, monkeypatch, "", *words) == 2
    shown = capsys.readouterr()
    assert shown.out == ""
    assert "kbgen" in shown.err
    assert "Traceback" not in shown.err
