"""The command line as a person meets it: words in, sentences and exit codes out."""

import json
import os
import subprocess
import sys

import pytest

from kbgen.cli import main

WORKSHOP = """\
name: Test bench
language: en
base_address: https://bench.example.org/
contact: Write to bench@example.org
disclosure: We say how we came by what we link to.
"""


@pytest.fixture
def tree(tmp_path, monkeypatch):
    (tmp_path / "content").mkdir()
    (tmp_path / "content" / "workshop.yaml").write_text(WORKSHOP, encoding="utf-8")
    (tmp_path / "content" / "threads.yaml").write_text(
        "- {thread: 13/64-32 house, where: stud, basis: measured, source: three machines}\n",
        encoding="utf-8",
    )
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (["thread", "1/4-20", "UNC"], 0, "ASME B1.1"),
        (["thread", "M4x0.8"], 1, "M4 takes 0.7"),
        (["thread", "5/16", "by", "18"], 0, "unstated"),
        (["fit", "--screw", "3/8-24 UNF", "--hole", "3/8-28 UN"], 0, "binds"),
        (["thread", "1/4-20", "--class", "3A"], 0, "1/4-20 UNC  standard"),
        (["thread", "1/4-20 LH", "--class", "3A"], 0, "0.2419 to 0.2500 in"),
        (["thread", "1/4-20 UNC"], 0, "at least 6.350 mm      at least 0.2500 in"),
        (["torque", "12", "N·m"], 0, "8.85 lbf·ft"),
        (["torque", "12 N·m (9 lbf·ft)"], 0, "8.85 lbf·ft"),
        (["torque", "4 N·m (35 lbf·ft)"], 1, "foot was written for inch"),
        (["torque", "12 N·m", "--thread", "M3", "--strength", "4.6"], 1, "torque-above-proof"),
        (["identify", "--major", "0.123in", "--pitch", "44tpi"], 0, "SM1/8-44"),
        (["identify", "--major", "3.3mm", "--pitch", "3mm"], 1, "Measure again"),
    ],
    ids=lambda value: " ".join(value) if isinstance(value, list) else None,
)
def test_a_bench_command_says_and_ends(words, code, said, capsys, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert main(words) == code
    assert said in capsys.readouterr().out


@pytest.mark.parametrize(
    "words",
    [
        [],
        ["polish"],
        ["thread", "banana"],
        ["thread", "1/4-20 UNC", "--class", "9Z"],
        ["fit", "--screw", "20 tpi", "--hole", "M6"],
        ["torque", "lots"],
        ["torque", "4 N·m", "--strength", "8.8"],
        ["torque", "4 N·m", "--thread", "M6", "--nut-factor", "-1"],
        ["identify", "--major", "3.55", "--pitch", "40tpi"],
        ["identify", "--major", "3.55mm", "--pitch", "40"],
        ["identify", "--major", "3.55mm", "--bore", "3mm", "--pitch", "40tpi"],
        ["identify", "--major", "-3mm", "--pitch", "0tpi"],
        ["scan", "no-such-file.txt"],
        ["find"],
        ["find", "wheel", "--from", "queries.txt"],
        ["find", "wheel", "--limit", "0"],
        ["inspect", "--tree", "no-such-folder"],
        ["build"],
    ],
    ids=" ".join,
)
def test_wrong_use_is_a_sentence_and_two(words, capsys, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert main(words) == 2
    shown = capsys.readouterr()
    assert shown.out == ""
    assert "kbgen" in shown.err
    assert "Traceback" not in shown.err


def test_json_goes_to_the_screen_whole(capsys):
    assert main(["thread", "M6", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["canonical"] == "M6x1"


def test_a_house_thread_is_known_inside_its_tree_and_nowhere_else(tree, capsys):
    assert main(["thread", "13/64-32 house"]) == 0
    assert "declared" in capsys.readouterr().out
    (tree / "elsewhere").mkdir()
    (tree / "content").rename(tree / "elsewhere" / "content")
    assert main(["thread", "13/64-32 house"]) == 1


SCANNED = "A 5/16-18 UNC screw.\nNothing here.\nNow 12 N·m (20 lbf·ft) and M4x0.8\n"


def test_scan_gives_lines_and_code_points(tree, capsys):
    (tree / "letter.txt").write_text(SCANNED, encoding="utf-8")
    assert main(["scan", "letter.txt", "--json"]) == 1
    lines = json.loads(capsys.readouterr().out)
    assert [line["line"] for line in lines] == [1, 3]
    text = SCANNED.splitlines()
    for line in lines:
        for value in line["values"]:
            assert text[line["line"] - 1][value["start"] : value["end"]] == value["as_written"]
    torque, thread = lines[1]["values"]
    assert torque["dual"] == "conflicts"
    assert (torque["low_nm"], torque["high_nm"], torque["then_deg"]) == (12.0, 12.0, None)
    assert torque["findings"][0]["code"] == "torque-units-disagree"
    assert (thread["canonical"], thread["verdict"]) == ("M4x0.8", "contradictory")


def test_scan_of_each_line_answers_every_line(tree, capsys):
    (tree / "letter.txt").write_text(SCANNED, encoding="utf-8")
    main(["scan", "letter.txt", "--json", "--each-line"])
    lines = json.loads(capsys.readouterr().out)
    assert [line["line"] for line in lines] == [1, 2, 3]
    assert lines[1]["values"] == []


def test_schemas_are_written_for_editors(tree, capsys):
    assert main(["schema", "schemas"]) == 0
    assert "note.json" in capsys.readouterr().out
    names = sorted(path.name for path in (tree / "schemas").iterdir())
    assert "note.json" in names
    schema = json.loads((tree / "schemas" / "note.json").read_text(encoding="utf-8"))
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"


@pytest.mark.usefixtures("tree")
def test_inspect_has_every_form(capsys):
    for form in ("text", "json", "sarif", "junit"):
        assert main(["inspect", "--form", form]) == 0
        assert capsys.readouterr().out


def test_no_colour_reaches_a_file():
    ran = subprocess.run(
        [sys.executable, "-m", "kbgen", "thread", "M4x0.8"],
        capture_output=True,
        env=os.environ | {"TERM": "xterm-256color"},
        check=False,
    )
    assert ran.returncode == 1
    assert b"\x1b" not in ran.stdout + ran.stderr


def test_a_closed_pipe_is_no_accident():
    ran = subprocess.run(
        f"{sys.executable} -m kbgen thread M6 --json | true",
        shell=True,
        capture_output=True,
        check=False,
    )
    assert b"Traceback" not in ran.stderr
