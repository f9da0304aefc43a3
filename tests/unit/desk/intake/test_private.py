"""Who asked stays private, is found again for following up, and is forgotten when asked."""

from __future__ import annotations

import datetime
import json
import stat
import subprocess
from collections.abc import Callable
from pathlib import Path

import jsonschema
import pytest

from kbgen.build import build, inspect
from kbgen.cli import main
from kbgen.content import load_tree, set_keys
from kbgen.desk.intake import (
    ASKERS_PATH,
    Asker,
    Askers,
    NobodyMeant,
    PrivateFileRefused,
    Report,
    forget,
    load_askers,
    questions_of,
)

Take = Callable[..., Report]
DAY = datetime.date(2026, 11, 25)
LETTER = (
    b"From: Hazel Brightwater <hazel@example.org>\nSubject: tyre\nMessage-ID: <1@example.org>\n\n"
    b"Why does the tyre slip? Ring 01632 960123 or come to 14 Mill Lane.\n"
)


def mode(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode)


def as_promised(shape: object, name: str) -> None:
    schema = Path(__file__).parents[1] / "shapes" / f"{name}.schema.json"
    jsonschema.validate(shape, json.loads(schema.read_text("utf-8")))


def git(folder: Path, *words: str) -> None:
    subprocess.run(["git", "-C", str(folder), *words], check=True, capture_output=True)


def test_who_asked_is_kept_for_the_owner_alone(take: Take, tree: Path) -> None:
    git(tree, "init", "-q")
    take("a.eml", LETTER, Askers(tree))
    path = tree / ASKERS_PATH
    assert load_askers(path) == (
        Asker(1, "Hazel Brightwater", "hazel@example.org", ("01632 960123",), ("14 Mill Lane",)),
    )
    assert (mode(path), mode(path.parent)) == (0o600, 0o700)
    git(tree, "add", "-A")
    listed = subprocess.run(
        ["git", "-C", str(tree), "ls-files"], check=True, capture_output=True, text=True
    ).stdout
    assert "askers" not in listed
    assert "content/questions/Q0001-tyre.md" in listed


def test_nothing_private_is_written_unless_it_is_wanted(take: Take, tree: Path) -> None:
    take("a.eml", LETTER)
    assert not (tree / "private").exists()


def test_what_an_earlier_intake_could_not_keep_the_next_one_keeps(take: Take, tree: Path) -> None:
    take("a.eml", LETTER)
    assert len(take("a.eml", LETTER, Askers(tree)).known) == 1
    assert [one.question for one in load_askers(tree / ASKERS_PATH)] == [1]


def test_a_line_that_was_cut_short_spoils_no_other(tree: Path) -> None:
    path = tree / ASKERS_PATH
    path.parent.mkdir()
    path.write_text('{"question": 1, "name": "Jo Br"}\n{"question": 2, "na', "utf-8")
    Askers(tree).keep(Asker(3, "Hazel Brightwater"))
    assert [one.question for one in load_askers(path)] == [1, 3]
    assert mode(path) == 0o600


@pytest.mark.parametrize("place", ["content/askers.jsonl", "site/x/askers.jsonl", "link/askers"])
def test_a_private_file_is_refused_where_it_would_go_out(place: str, tree: Path) -> None:
    (tree / "link").symlink_to(tree / "content", target_is_directory=True)
    with pytest.raises(PrivateFileRefused):
        Askers(tree, tree / place)


def test_a_private_file_that_git_keeps_is_refused(tree: Path) -> None:
    git(tree, "init", "-q")
    path = tree / "private" / "askers.jsonl"
    path.parent.mkdir()
    path.write_text("", "utf-8")
    git(tree, "add", "-f", "private/askers.jsonl")
    with pytest.raises(PrivateFileRefused, match="git"):
        Askers(tree)


@pytest.mark.parametrize(
    "said",
    ["hazel  BRIGHTWATER told us", "Hazel@Example.org", "+44 1632 960123", "Hazel\nBrightwater"],
)
def test_nobody_who_is_kept_may_stand_in_the_content(
    said: str, take: Take, tree: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    take("a.eml", LETTER, Askers(tree))
    assert [one for one in inspect(tree) if one.code == "personal-data"] == []
    note = tree / "content" / "notes" / "0001-winder-tyre-slips.md"
    note.write_text(note.read_text("utf-8") + f"\n{said}\n", "utf-8")
    found = [one for one in inspect(tree) if one.code == "personal-data"]
    assert any("askers.jsonl" in one.message for one in found)
    assert not any("brightwater" in one.message.casefold() for one in found)
    assert not build(tree).published
    (tree / ASKERS_PATH).unlink()
    monkeypatch.chdir(tree)
    assert main(["thread", "1/4-20", "UNC"]) == 0


def answered(tree: Path, path: str) -> None:
    set_keys(tree, path, {"standing": "answered", "answered_by": 1, "answered": DAY})


def test_an_asker_is_forgotten_everywhere(take: Take, tree: Path) -> None:
    (taken,) = take("a.eml", LETTER, Askers(tree)).taken
    answered(tree, taken.path)
    assert build(tree).published
    assert "does the tyre slip" in (tree / "site" / "q" / "0001.html").read_text("utf-8")

    (gone,) = forget(
        tree, questions_of(tree, "hazel@example.org", tree / ASKERS_PATH), Askers(tree)
    )
    assert (gone.path, gone.note, gone.records) == ("content/questions/Q0001-taken-out.md", 1, 1)
    assert load_askers(tree / ASKERS_PATH) == ()
    assert build(tree).published
    everything = "".join(
        path.read_bytes().decode("utf-8", "replace")
        for folder in ("content", "site", "private")
        for path in sorted((tree / folder).rglob("*"))
        if path.is_file()
    )
    assert "does the tyre slip" not in everything
    assert "H. B." not in everything
    assert "n/0001.html" in (tree / "site" / "q" / "0001.html").read_text("utf-8")
    assert "q/0001.html\tn/0001.html" in (tree / "content" / "addresses.tsv").read_text("utf-8")

    assert len(take("a.eml", LETTER).known) == 1, "it is not taken in again"
    other = LETTER.replace(b"<1@", b"<2@")
    assert take("b.eml", other).taken[0].question == 2, "its number is never used again"


def test_a_question_that_waits_is_set_aside(take: Take, tree: Path) -> None:
    take("a.eml", LETTER)
    (gone,) = forget(tree, (1,), Askers(tree))
    front = load_tree(tree).tree.questions[1].front
    assert (str(front.standing), front.alias, front.subject) == ("set aside", "withheld", None)
    assert gone.note is None


def test_the_next_of_those_that_ask_the_same_takes_the_page(take: Take, tree: Path) -> None:
    for number in (1, 2):
        data = LETTER.replace(b"<1@", f"<{number}@".encode())
        answered(tree, take(f"{number}.eml", data).taken[0].path)
    assert load_tree(tree).tree.questions[2].front.same_as == 1
    assert build(tree).published
    forget(tree, (1,), Askers(tree))
    assert build(tree).published
    assert "does the tyre slip" in (tree / "site" / "q" / "0002.html").read_text("utf-8")
    assert "does the tyre slip" not in (tree / "site" / "q" / "0001.html").read_text("utf-8")


def test_whom_a_name_means(take: Take, tree: Path) -> None:
    for number, name in enumerate((b"Marigold", b"Marigold", b"Moss"), 1):
        data = LETTER.replace(b"Hazel Brightwater", name).replace(b"<1@", f"<{number}@".encode())
        take(f"{number}.eml", data.replace(b"hazel@", f"a{number}@".encode()), Askers(tree))
    private = tree / ASKERS_PATH
    assert questions_of(tree, "Q0003", private) == (3,)
    assert questions_of(tree, "moss", private) == (3,)
    assert questions_of(tree, "a2@example.org", private) == (2,)
    assert questions_of(tree, "+44 1632 960123", private) == (1, 2, 3)
    private.unlink()
    with pytest.raises(NobodyMeant, match="Q0001, Q0002"):
        questions_of(tree, "Marigold", private)
    with pytest.raises(NobodyMeant):
        questions_of(tree, "nobody", private)


def test_the_command_says_what_it_did(
    tree: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "a.eml"
    path.write_bytes(LETTER)
    where = ["--tree", str(tree)]
    assert main(["intake", str(path), "--day", "2026-11-25", "--keep-contact", *where]) == 0
    said = capsys.readouterr().out
    assert "content/questions/Q0001-tyre.md: H. B." in said
    assert "1 taken in, 0 known already, 0 set aside." in said
    assert "hazel" not in said.casefold()

    assert main(["intake", str(path), "--json", *where]) == 0
    shape = json.loads(capsys.readouterr().out)
    as_promised(shape, "intake")
    assert shape["known"] == [{"message": "a.eml", "question": 1}]
    assert shape["counts"] == {"taken": 0, "known": 1, "set_aside": 0}

    path.write_bytes(LETTER.replace(b"<1@", b"<2@"))
    assert main(["intake", str(path), "--json", *where]) == 0
    as_promised(json.loads(capsys.readouterr().out), "intake")
    assert main(["intake", "--forget", "Q0002", "--json", *where]) == 0
    as_promised(json.loads(capsys.readouterr().out), "forgotten")

    assert main(["intake", "--forget", "Q0001", *where]) == 0
    said = capsys.readouterr().out
    assert "git log --follow -- content/questions/Q0001-tyre.md" in said
    assert "1 private record removed" in said


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        ([], 2, "one of the two"),
        (["nowhere.mbox"], 2, "there is no file"),
        (["--forget", "Q0099"], 2, "no question 99"),
        (["--forget", "nobody"], 2, "no question and no record"),
        (["c.csv"], 2, "maps no columns"),
        (["away.eml"], 1, ""),
        (["a.eml", "--keep-contact", "--private", "content/x.jsonl"], 2, "goes out to everybody"),
    ],
)
def test_wrong_use_is_said_in_words(
    words: list[str],
    code: int,
    said: str,
    tree: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(tree)
    Path("a.eml").write_bytes(LETTER)
    Path("away.eml").write_bytes(b"Auto-Submitted: auto-replied\n" + LETTER)
    Path("c.csv").write_bytes(b"a,b\n1,2\n")
    assert main(["intake", *words]) == code
    assert said in capsys.readouterr().err
