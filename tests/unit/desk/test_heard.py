"""What a film states beside the registers, and notes that are begun from what it says."""

from __future__ import annotations

import datetime
import json
from pathlib import Path

import jsonschema
import pytest
from small import checked, written

from kbgen.checks import check, heard
from kbgen.cli import main
from kbgen.content import load_tree
from kbgen.desk import heard_lines, note_from_recording

SHAPES = Path(__file__).parent / "shapes"
DAY = datetime.date(2026, 6, 30)
VTT = """
    WEBVTT

    00:01:10.000 --> 00:01:13.000
    Now the winder

    00:01:13.000 --> 00:01:18.000
    bracket screw. That one is nine

    00:01:18.000 --> 00:01:22.000
    sixty-fourths by forty.

    00:01:30.000 --> 00:01:34.000
    The winder bracket screw takes one newton metre.

    00:02:00.000 --> 00:02:04.000
    The motor boss bolt is three eighths by twenty-eight.

    00:02:10.000 --> 00:02:14.000
    The guard stud? Three eighths by twenty-eight.

    00:03:00.000 --> 00:03:04.000
    Somewhere there is an M4x0.8, they say.

    00:03:30.000 --> 00:03:34.000
    The motor boss bolt takes four newton metres.

    00:04:00.000 --> 00:04:04.000
    Do not take an M5x0.8 for the lamp bracket screw.

    00:10:10.000 --> 00:10:14.000
    The lamp bracket screw is M4x0.7 on the Twoway.
    """
SRT = """
    1
    00:01:10,000 --> 00:01:13,000
    The <i>winder bracket screw</i>
    2
    00:01:13,000 --> 00:01:18,000
    is M5x0.8.
    """
# what is said: second, figure, place, stance
SAID = [
    (73, "SM9/64-40", "one-h/bracket-screw", "disagrees, and is corrected"),
    (90, "1 N·m", "one-h/bracket-screw", "agrees"),
    (120, "3/8-28 UN", "one-h/motor-bolt", "disagrees"),
    (130, "3/8-28 UN", "one-h/guard-stud", "agrees"),
    (180, "M4x0.8", "", "cannot be"),
    (210, "4 N·m", "one-h/motor-bolt", "not in the register"),
    (240, "M5x0.8", "one-h/lamp-screw", "set apart"),
    (610, "M4x0.7", "one-h/lamp-screw two-v/lamp-screw", "agrees"),
]
FILM = {"recordings/evening.vtt": VTT}


def test_every_stated_value_with_its_time_place_and_stance(tmp_path):
    """The figure that runs over two captions is said where it begins."""
    tree = checked(tmp_path, FILM)
    found = heard(tree, tree.tree.recordings["evening"])
    assert [
        (
            int(one.statement.said_at_s or 0),
            one.statement.value.canonical,
            " ".join(one.rows),
            str(one.stance),
        )
        for one in found
    ] == SAID
    assert [one.stands_wrong for one in found].count(True) == 2


def test_the_older_form_is_heard_too(tmp_path):
    tree = checked(tmp_path, {"recordings/evening.srt": SRT})
    (one,) = heard(tree, tree.tree.recordings["evening"])
    assert (one.rows, str(one.stance)) == (("one-h/bracket-screw",), "disagrees")
    assert (one.statement.path, one.statement.line, one.statement.column) == (
        "content/recordings/evening.srt",
        6,
        4,
    )
    assert list(heard_lines(tree.tree, one)) == [
        "    1:13  M5x0.8  =  M5x0.8  standard: disagrees",
        "          Onehart H, Winder bracket screw: SM11/64-40",
    ]


def test_where_inspection_warns_the_film_is_heard_to_disagree(tmp_path):
    """One rule for both: a warning for every value that stands wrong, and for no other."""
    tree = checked(tmp_path, FILM)
    found = heard(tree, tree.tree.recordings["evening"])
    wrong = {(one.statement.line, one.statement.column) for one in found if one.stands_wrong}
    codes = ("caption-contradicts-register", "caption-figure-wrong")
    warned = {(one.line, one.column) for one in tree.findings if one.code in codes}
    assert {line for line, _ in warned} == {line for line, _ in wrong}


def test_a_note_is_begun_with_the_moment_the_machine_and_the_screws(tmp_path):
    tree = checked(tmp_path, FILM)
    text, title = note_from_recording(tree, tree.tree.recordings["evening"], "1:13", DAY)
    assert title == "Tyres"
    for line in (
        "standing: draft",
        "families: [one-h]",
        '  - {recording: evening, at: "1:13"}',
        "fasteners: [one-h/bracket-screw, one-h/motor-bolt, one-h/guard-stud, one-h/lamp-screw]",
        "first_published: 2026-06-30",
    ):
        assert f"\n{line}\n" in text
    body = text.partition("\n---\n")[2]
    assert body.splitlines() == [
        "What was said there, to be written up:",
        "",
        "- 1:13: a figure that the register corrects",
        "- 1:18: a figure that the register corrects",
        "- 1:30: The winder bracket screw takes one newton metre.",
        "- 2:00: a figure that the register corrects",
        "- 2:10: The guard stud? Three eighths by twenty-eight.",
        "- 3:00: a figure that the register corrects",
        "- 3:30: The motor boss bolt takes four newton metres.",
        "- 4:00: Do not take an M5x0.8 for the lamp bracket screw.",
    ]


def test_a_note_that_is_begun_stops_no_build(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(written(tmp_path, FILM))
    before = {one.path for one in check(load_tree(tmp_path)).findings if one.severity == "error"}
    words = ["heard", "evening", "--start-note", "1:13", "--day", "2026-06-30"]
    assert main(words) == 0
    assert capsys.readouterr().out == "content/notes/0004-tyres.md is begun, as a draft.\n"
    after = {one.path for one in check(load_tree(tmp_path)).findings if one.severity == "error"}
    assert after == before


def test_words_that_call_for_a_caution_bring_it_along(tmp_path):
    film = {"recordings/evening.vtt": "WEBVTT\n\n00:10:10.000 --> 00:10:14.000\nRewire it.\n"}
    tree = checked(tmp_path, film)
    text, _ = note_from_recording(tree, tree.tree.recordings["evening"], "10:00", DAY)
    assert "\nhazards: [shock]\n" in text


def test_marks_of_a_caption_are_words_in_the_note(tmp_path):
    film = {"recordings/evening.vtt": "WEBVTT\n\n00:10:10.000 --> 00:10:14.000\n[x](y) *z* #\n"}
    tree = checked(tmp_path, film)
    text, _ = note_from_recording(tree, tree.tree.recordings["evening"], "10:00", DAY)
    assert text.endswith("- 10:10: \\[x\\](y) \\*z\\* \\#\n")


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (["evening"], 1, "1:13  nine sixty-fourths by forty  =  SM9/64-40"),
        (["evening", "--start-note", "29:00"], 2, "no caption of evening begins between"),
        (["evening", "--start-note", "soon"], 2, "a moment is written 12:40"),
        (["evenin"], 2, "did you mean evening?"),
    ],
    ids=lambda value: " ".join(value) if isinstance(value, list) else None,
)
def test_the_command_says_and_ends(tmp_path, monkeypatch, capsys, words, code, said):
    monkeypatch.chdir(written(tmp_path, FILM))
    assert main(["heard", *words]) == code
    captured = capsys.readouterr()
    assert said in captured.out + captured.err


def test_a_recording_without_captions_is_wrong_use(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(written(tmp_path))
    assert main(["heard", "evening"]) == 2
    assert "content/recordings/evening.vtt or .srt" in capsys.readouterr().err


def test_what_is_printed_follows_its_schema(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(written(tmp_path, FILM))
    assert main(["heard", "evening", "--json"]) == 1
    shape = json.loads(capsys.readouterr().out)
    schema = json.loads((SHAPES / "heard.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.Draft202012Validator(schema).validate(shape)
    assert [(one["second"], one["canonical"], one["stance"]) for one in shape] == [
        (second, figure, stance) for second, figure, _, stance in SAID
    ]
    assert shape[0]["places"] == [{"row": "one-h/bracket-screw", "registered": "SM11/64-40"}]


def test_help_shows_an_example(capsys):
    assert main(["heard", "--help"]) == 0
    assert "kbgen heard winder-evening --start-note 12:40" in capsys.readouterr().out


def test_the_films_of_the_demonstration_leave_nothing_wrong_uncorrected(demonstration):
    films = demonstration.tree.recordings.values()
    found = [one for film in films for one in heard(demonstration, film)]
    assert len(found) >= 25
    assert [one.statement for one in found if one.stands_wrong] == []
    assert sum(str(one.stance) == "agrees" for one in found) >= 10
