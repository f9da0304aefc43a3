"""The commands of the desk as a person meets them: words in, letters and exit codes out."""

from __future__ import annotations

import datetime
import json
import sys
from pathlib import Path

import jsonschema
import pytest
from shapes.write import written as schemas
from small import note, question, written

from kbgen.cli import main

SHAPES = Path(__file__).parent / "shapes"
LAMP = "The lamp hangs down on to the cloth, my lamp droops.\n"


@pytest.fixture
def tree(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return written(tmp_path)


def file_of(tree: Path, number: int) -> Path:
    (found,) = (tree / "content" / "questions").glob(f"Q{number:04}-*")
    return found


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (["reply", "Q0001"], 0, "Dear Hazel B.,\n\nThank you for your question of 6 March 2026."),
        (["reply", "q1"], 0, "  https://bench.example.org/n/0001.html\n"),
        (["reply", "2", "--family", "two-v"], 0, "thread M4x0.7, right-hand"),
        (["reply", "Q0003"], 1, "No note fits this."),
        (["reply", "Q0003", "--note", "3"], 0, "What mends it\n  Write it down."),
        (["reply", "--words", "lamp.txt"], 0, "Thank you for your question.\n"),
        (["reply", "--words", "lamp.txt", "--alias", "Otto"], 0, "Dear Otto,\n"),
        (["reply", "--words", "both.txt"], 1, "It may be one of these:\n  note "),
        (["rundown", "--day", "2026-04-10"], 0, "# Running order, 10 April 2026"),
        (["rundown", "--day", "2026-04-10", "--without", "Q0001"], 0, "- Asked by Fern (Q0004"),
        (["rundown", "--day", "2025-04-10"], 1, "No question waits that a note answers."),
        (["wanted", "--day", "2026-04-10"], 0, "worth 0.77, asked once, last on 1 February 2026"),
        (["wanted", "--day", "2025-04-10"], 1, "Nothing waits that no note answers."),
    ],
    ids=lambda value: " ".join(value) if isinstance(value, list) else None,
)
def test_a_command_says_and_ends(tree, capsys, words, code, said):
    (tree / "lamp.txt").write_text(LAMP, encoding="utf-8")
    (tree / "both.txt").write_text("The lamp droops and the bobbin winder slips.")
    assert main(words) == code
    assert said in capsys.readouterr().out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["reply"], "one of the two"),
        (["reply", "Q0001", "--words", "-"], "one of the two"),
        (["reply", "seven"], "named by its number"),
        (["reply", "Q0099"], "there is no question 99"),
        (["reply", "Q0001", "--note", "99"], "there is no note 99"),
        (["reply", "Q0001", "--note", "4"], "note 4 is draft, not published"),
        (["reply", "Q0001", "--note", "5"], "note 2 stands for it"),
        (["reply", "Q0001", "--family", "three-x"], "one of one-h, two-v"),
        (["reply", "--words", "none.txt"], "there is no file none.txt"),
        (["reply", "--words", "-", "--answered"], "only a question that was taken in"),
        (["reply", "Q0001", "--answered", "soon"], "a day is YYYY-MM-DD"),
        (["reply", "Q0001", "--answered", "2026-01-01"], "came on 2026-03-06"),
        (["rundown", "--minutes", "0"], "a number from 1 to 1440"),
        (["rundown", "--without", "x"], "named by its number"),
        (["rundown", "--into", "no/such/folder/x.md"], "cannot be written"),
        (["wanted", "--half-life", "0"], "a number of days from 1"),
        (["wanted", "--tree", "no-such-folder"], "no content/workshop.yaml"),
    ],
    ids=lambda value: " ".join(value) if isinstance(value, list) else None,
)
def test_wrong_use_ends_with_a_sentence(tree, capsys, words, said):
    text = note("T", "S", "F")
    for name, standing in (
        ("0004-d", "draft"),
        ("0005-w", "withdrawn\nsuccessor: 2"),
    ):
        path = tree / "content" / "notes" / f"{name}.md"
        path.write_text(text.replace("standing: published", f"standing: {standing}"))
    before = {path: path.read_bytes() for path in (tree / "content").rglob("*.md")}
    assert main(words) == 2
    err = capsys.readouterr().err
    assert said in err
    assert "Traceback" not in err
    assert {path: path.read_bytes() for path in (tree / "content").rglob("*.md")} == before


@pytest.mark.usefixtures("tree")
def test_text_comes_through_a_pipe(capsys, monkeypatch):
    class Pipe:
        class buffer:  # noqa: N801 - as the standard stream names it
            @staticmethod
            def read() -> bytes:
                return LAMP.encode()

    monkeypatch.setattr(sys, "stdin", Pipe)
    assert main(["reply", "--words", "-"]) == 0
    assert "n/0002.html" in capsys.readouterr().out


def test_an_answer_marks_its_question_and_nothing_else(tree, capsys):
    file = file_of(tree, 1)
    before = file.read_text(encoding="utf-8")
    assert main(["reply", "Q0001", "--answered", "2026-03-27"]) == 0
    said = capsys.readouterr()
    assert said.out.startswith("Dear Hazel B.,")
    assert said.err == f"content/questions/{file.name}: answered by note 1 on 2026-03-27\n"
    marks = "standing: answered\nanswered_by: 1\nanswered: 2026-03-27\n"
    assert file.read_text(encoding="utf-8") == before.replace("---\nThe", f"{marks}---\nThe")
    assert main(["reply", "Q0001", "--answered"]) == 2
    assert "was answered by note 1 on 2026-03-27" in capsys.readouterr().err
    assert main(["reply", "Q0001"]) == 0  # it can be read again


def test_the_day_of_an_answer_is_today_where_none_is_given(tree, capsys):
    assert main(["reply", "Q0002", "--answered"]) == 0
    capsys.readouterr()
    assert f"answered: {datetime.date.today()}\n" in file_of(tree, 2).read_text(encoding="utf-8")


def test_nothing_is_marked_where_it_is_not_sure(tree, capsys):
    before = file_of(tree, 3).read_bytes()
    assert main(["reply", "Q0003", "--answered", "2026-03-27"]) == 1
    assert "No note fits" in capsys.readouterr().out
    assert file_of(tree, 3).read_bytes() == before


def test_what_was_answered_is_answered_again_by_the_note_that_stands_for_it(tree, capsys):
    path = tree / "content" / "notes" / "0005-w.md"
    path.write_text(
        note("T", "S", "F").replace("standing: published", "standing: withdrawn\nsuccessor: 2")
    )
    keys = "standing: answered\nanswered_by: 5\nanswered: 2026-03-09\n"
    file_of(tree, 3).write_text(question("So?", keys), encoding="utf-8")
    assert main(["reply", "Q0003"]) == 0
    assert "n/0002.html" in capsys.readouterr().out


def test_a_reply_is_refused_while_what_it_draws_on_has_errors(tree, capsys):
    (tree / "content" / "families" / "two-v.yaml").write_text("name: Twoway V\n")
    before = file_of(tree, 2).read_bytes()
    assert main(["reply", "Q0002", "--note", "2", "--answered"]) == 1
    said = capsys.readouterr()
    assert said.out == ""
    assert "content/families/two-v.yaml:1:1: error:" in said.err
    assert "no answer is given" in said.err
    assert file_of(tree, 2).read_bytes() == before


@pytest.mark.usefixtures("tree")
def test_without_wrapping_a_paragraph_is_one_line(capsys):
    assert main(["reply", "Q0001", "--no-wrap"]) == 0
    assert max(map(len, capsys.readouterr().out.splitlines())) > 100


def test_a_letter_that_asks_two_things_says_so_beside_the_answer(tree, capsys):
    text = f"{LAMP}The bobbin winder slips, the little wheel turns and the spool stays empty.\n"
    (tree / "two.txt").write_text(text, encoding="utf-8")
    assert main(["reply", "--words", "two.txt"]) == 0
    said = capsys.readouterr()
    assert "n/0001.html" in said.out
    assert said.err == "kbgen: it may ask more; see note 2: The lamp droops\n"


def test_papers_are_written_whole(tree, capsys):
    words = ["rundown", "--day", "2026-04-10", "--into", "a.md", "--page", "a.html"]
    assert main(words) == 0
    said = capsys.readouterr()
    assert said.out == ""
    assert (tree / "a.md").read_text(encoding="utf-8").startswith("# Running order")
    assert (tree / "a.html").read_bytes().startswith(b"<!doctype html>")
    assert sorted(path.name for path in tree.iterdir()) == [".kbgen", "a.html", "a.md", "content"]


@pytest.mark.usefixtures("tree")
def test_notes_are_begun_for_what_is_left_over(capsys):
    words = ["rundown", "--day", "2026-04-10", "--into", "a.md", "--start-notes"]
    assert main(words) == 0
    assert "content/notes/0004-which-polish" in capsys.readouterr().err
    assert main(words) == 0
    assert "no note was begun" in capsys.readouterr().err
    assert main(["inspect"]) == 0


@pytest.mark.parametrize(
    ("command", "words"),
    [
        ("reply", ["Q0001"]),
        ("reply", ["Q0002", "--answered", "2026-03-27"]),
        ("reply", ["Q0003"]),
        ("reply", ["--words", "screw.txt", "--family", "one-h", "--note", "1"]),
        ("rundown", ["--day", "2026-04-10"]),
        ("rundown", ["--day", "2026-04-10", "--minutes", "1"]),
        ("wanted", ["--day", "2026-04-10"]),
        ("wanted", ["--day", "2025-04-10"]),
    ],
    ids=lambda value: " ".join(value) if isinstance(value, list) else None,
)
def test_what_is_printed_follows_its_schema(tree, capsys, command, words):
    (tree / "screw.txt").write_text("Is the winder bracket screw M5x0.8 or SM9/64-40?")
    main([command, *words, "--json"])
    schema = json.loads((SHAPES / f"{command}.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.Draft202012Validator(schema).validate(json.loads(capsys.readouterr().out))


def test_the_schemas_are_those_that_are_written():
    for name, text in schemas().items():
        assert (SHAPES / name).read_text(encoding="utf-8") == text


@pytest.mark.parametrize("command", ["reply", "rundown", "wanted"])
def test_help_shows_an_example(command, capsys):
    assert main([command, "--help"]) == 0
    assert f"kbgen {command}" in capsys.readouterr().out
