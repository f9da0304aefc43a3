"""The block under a recording: what stands in it, in which order, and what is refused."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema
import pytest
from small import FILES, checked, written

from kbgen.cli import main
from kbgen.commands.shownotes import LEFT_OUT as OFFERED
from kbgen.desk import LEFT_OUT, ShowNotes, show_notes
from kbgen.desk.shownotes import timed

SHAPES = Path(__file__).parent / "shapes"
EVENING = "recordings/evening.yaml"
FILM = FILES[EVENING].replace(
    '- {at: "01:00", title: Tyres, note: 1}',
    '- {at: "00:00", title: Good *evening*}\n          - {at: "01:00", title: Tyres, note: 1}',
)


def block(root: Path, film: str = FILM, left_out: tuple[str, ...] = (), **more: str) -> ShowNotes:
    tree = checked(root, {EVENING: film, **more})
    return show_notes(tree, tree.tree.recordings["evening"], left_out)


def test_the_whole_block(tmp_path):
    assert block(tmp_path).text == (
        "SAID WRONGLY IN IT\n"
        "At 2:00 I say SM9/64-40 (Onehart H: Winder bracket screw); it is SM11/64-40, see "
        "https://bench.example.org/m/one-h.html#bracket-screw\n"
        "At 11:00 I say “by its glass” (how to hold the lamp); right is “by its cap”, see "
        "https://bench.example.org/r/evening.html\n"
        "\n"
        "DANGER: Mains inside. It kills. Unplug. Leave this work to an electrician.\n"
        "CAUTION: Levers close. A bruise. Belt off.\n"
        "NOTICE: A burr scratches the bed. File it off.\n"
        "\n"
        "0:00 Good evening\n"
        "1:00 Tyres\n"
        "10:00 The lamp\n"
        "\n"
        "Written up, with every screw and its tightness\n"
        "The bobbin winder slips: https://bench.example.org/n/0001.html\n"
        "The lamp droops: https://bench.example.org/n/0002.html\n"
        "\n"
        "Parts\n"
        "Winder tyre (it was given to us): https://bench.example.org/p/tyre.html\n"
        "Gifts are named where they stand.\n"
        "\n"
        "Everything of this recording, corrections first: https://bench.example.org/r/evening.html\n"
    )


def test_nothing_but_a_chapter_begins_with_a_time(tmp_path):
    """Else the place that shows films would take it for one."""
    lines = block(tmp_path).text.splitlines()
    timed_lines = [line for line in lines if line[:1].isdigit()]
    assert timed_lines == ["0:00 Good evening", "1:00 Tyres", "10:00 The lamp"]


@pytest.mark.parametrize(
    ("second", "longest_s", "said"),
    [
        (0, 59, "0:00"),
        (760, 3599, "12:40"),
        (3599, 3599, "59:59"),
        (0, 3600, "0:00:00"),
        (760, 3760, "0:12:40"),
        (36_000, 36_000, "10:00:00"),
    ],
)
def test_times_are_as_long_as_the_longest_needs(second, longest_s, said):
    assert timed(second, longest_s) == said


def test_an_hour_lengthens_every_time(tmp_path):
    film = FILM.replace('"30:00"', '"1:30:00"').replace('"10:00"', '"1:02:40"')
    chapters = block(tmp_path, film).chapters
    assert [one.at for one in chapters] == ["0:00:00", "0:01:00", "1:02:40"]


@pytest.mark.parametrize(
    ("change", "line", "message"),
    [
        pytest.param(('at: "00:00"', 'at: "00:10"'), 6, "begins at 00:10", id="not from 0:00"),
        pytest.param(('at: "01:00"', 'at: "00:09"'), 7, "lasts 9 s of at least 10 s", id="near"),
        pytest.param(('"30:00"', '"10:05"'), 8, "lasts 5 s of at least 10 s", id="near the end"),
        pytest.param(("Tyres", "Tyres " + "and " * 2000), 6, "too many", id="too long"),
    ],
)
def test_a_bad_list_is_refused_with_its_line(tmp_path, monkeypatch, capsys, change, line, message):
    film = FILM.replace(*change)
    assert film != FILM
    found = block(tmp_path, film).refused
    assert [(one.code, one.path, one.line) for one in found] == [
        ("show-notes-refused", "content/recordings/evening.yaml", line)
    ]
    assert message in found[0].message
    monkeypatch.chdir(tmp_path)
    assert main(["shownotes", "evening"]) == 1
    said = capsys.readouterr()
    assert said.out == ""
    assert f"content/recordings/evening.yaml:{line}:" in said.err


def test_too_few_chapters_are_refused(tmp_path):
    found = block(tmp_path, FILES[EVENING].replace("01:00", "00:00")).refused
    assert [(one.line, one.message[:32]) for one in found] == [
        (7, "there are 2 of at least 3 chapte")
    ]


def test_a_block_that_is_too_long_says_by_how_much_and_what_is_long(tmp_path):
    workshop = FILES["workshop.yaml"].replace(
        "rundown:", "shownotes: {longest: 800}\n        rundown:"
    )
    whole = block(tmp_path, **{"workshop.yaml": workshop})
    length = len(whole.text)
    (found,) = whole.refused
    assert f"{length} of at most 800 characters, {length - 800} too many" in found.message
    assert f": corrections {len(whole.sections['corrections'])}, " in found.message
    assert "of the longest part, corrections" in found.hint
    shorter = block(tmp_path, left_out=("parts",), **{"workshop.yaml": workshop})
    assert shorter.refused == ()
    assert "Parts" not in shorter.text
    assert len(shorter.text) <= 800


def test_what_rests_on_an_error_is_refused(tmp_path):
    note = FILES["notes/0002-lamp-droops.md"].replace("Tighten the bracket", "Fit an M4x0.8 screw")
    found = block(tmp_path, **{"notes/0002-lamp-droops.md": note}).refused
    assert [one.code for one in found] == ["thread-in-no-series"]


def test_a_draft_is_no_link_under_a_recording(tmp_path):
    note = FILES["notes/0002-lamp-droops.md"].replace("standing: published", "standing: draft")
    film = FILM.replace("title: The lamp, note: 2", "title: The lamp")
    shown = block(tmp_path, film, **{"notes/0002-lamp-droops.md": note})
    assert [one.name for one in shown.notes] == ["1"]
    assert shown.refused == ()


@pytest.mark.parametrize("left_out", [[], ["parts", "notes", "summary"]], ids=["all", "least"])
@pytest.mark.parametrize("film", [FILM, FILES[EVENING]], ids=["given", "refused"])
def test_what_is_printed_follows_its_schema(tmp_path, monkeypatch, capsys, left_out, film):
    monkeypatch.chdir(written(tmp_path, {EVENING: film}))
    words = [word for name in left_out for word in ("--leave-out", name)]
    refused = film != FILM
    assert main(["shownotes", "evening", "--json", *words]) == refused
    shape = json.loads(capsys.readouterr().out)
    schema = json.loads((SHAPES / "shownotes.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.Draft202012Validator(schema).validate(shape)
    assert (shape["text"] is None) == refused
    assert bool(shape["findings"]) == refused


def test_wrong_use_names_the_nearest_recording(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(written(tmp_path))
    assert main(["shownotes", "evenings"]) == 2
    assert "did you mean evening?" in capsys.readouterr().err


def test_help_shows_an_example_and_what_may_be_left_out(capsys):
    assert main(["shownotes", "--help"]) == 0
    out = capsys.readouterr().out
    assert "kbgen shownotes winder-evening" in out
    assert OFFERED == LEFT_OUT
    assert ",".join(LEFT_OUT) in out


def test_every_recording_of_the_demonstration_has_its_show_notes(demonstration):
    recordings = demonstration.tree.recordings.values()
    blocks = [show_notes(demonstration, recording) for recording in recordings]
    assert len(blocks) >= 13
    assert [one.recording for one in blocks if one.refused] == []
    lines = [line for one in blocks for line in one.text.splitlines()]
    assert [line for line in lines if not line.isprintable() or "**" in line or "](" in line] == []
