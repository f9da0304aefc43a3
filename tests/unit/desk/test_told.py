"""Who was told a figure that was corrected since: letters by their day, films by their time."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema
import pytest
from small import FILES, checked, question, written

from kbgen.cli import main
from kbgen.desk import Telling, Tellings, told_lines

SHAPES = Path(__file__).parent / "shapes"
ROW = "fastener:one-h/bracket-screw"

CAPTIONS = """
    WEBVTT

    00:01:30.000 --> 00:01:33.000
    Now the winder bracket screw.

    00:01:34.000 --> 00:01:38.000
    That is nine sixty-fourths by forty.

    00:10:30.000 --> 00:10:34.000
    Nine sixty-fourths by forty, I said.
    """


def answered(day: str, note: int = 1, keys: str = "", **front: str) -> str:
    front.setdefault("alias", "Hazel B.")
    return question(
        "It slips.",
        f"standing: answered\nanswered_by: {note}\nanswered: {day}\n{keys}",
        day="2026-01-12",
        **front,
    )


def tellings(root: Path, changes: dict[str, str | None]) -> dict[str, Telling]:
    found = checked(root, changes)
    errors = [one for one in found.findings if one.severity == "error"]
    assert errors == []
    told = list(Tellings(found).all())
    assert [one.corrected.date for one in told] == sorted(
        (one.corrected.date for one in told), reverse=True
    )
    return {str(one.corrected.place): one for one in told}


@pytest.mark.parametrize(
    ("letter", "told"),
    [
        pytest.param(answered("2026-03-03"), True, id="the day before"),
        pytest.param(answered("2026-03-04"), False, id="the day itself"),
        pytest.param(answered("2026-03-05"), False, id="the day after"),
        pytest.param(answered("2026-02-01", keys="page: kept back\n"), True, id="kept back"),
        pytest.param(
            answered("2026-02-01", keys="families: [two-v]\n"), False, id="another machine"
        ),
        pytest.param(answered("2026-02-01", note=3), False, id="a note that has not the screw"),
        pytest.param(
            answered(
                "2026-02-01", note=3, keys="answer: It is [this](fastener:one-h/bracket-screw).\n"
            ),
            True,
            id="its own answer links to the row",
        ),
        pytest.param(
            answered(
                "2026-02-01",
                note=2,
                keys="families: [one-h]\nanswer: The winder bracket screw is SM11/64-40.\n",
            ),
            True,
            id="its own answer states the figure",
        ),
    ],
)
def test_letters_that_were_answered_before_it_was_corrected(tmp_path, letter, told):
    found = tellings(tmp_path, {"questions/Q0001-spool-empty.md": letter})[ROW]
    assert [one.number for one, _ in found.questions] == ([1] if told else [])


def test_the_line_for_a_letter_names_day_figure_and_address(tmp_path):
    letters = {
        "questions/Q0001-spool-empty.md": answered("2026-02-27"),
        "questions/Q0002-lamp.md": answered("2026-02-28", alias="withheld"),
    }
    lines = [line for _, line in tellings(tmp_path, letters)[ROW].questions]
    said = (
        "I answered you from a note that said SM9/64-40 (Onehart H: Winder bracket screw); "
        "it is SM11/64-40, see https://bench.example.org/m/one-h.html#bracket-screw"
    )
    assert lines == [
        f"Dear Hazel B., on 27 February 2026 {said}",
        f"Dear reader, on 28 February 2026 {said}",
    ]


def test_a_film_is_listed_with_the_moment_at_which_it_says_so(tmp_path):
    """Said of the place in one sentence and named in the one before; another chapter apart."""
    found = tellings(tmp_path, {"recordings/evening.vtt": CAPTIONS})[ROW]
    assert [(said.at_s, said.sure, said.corrected, line) for said, line in found.recordings] == [
        (
            94,
            True,
            True,
            "At 1:34 I say nine sixty-fourths by forty (Onehart H: Winder bracket screw); it is "
            "SM11/64-40, see https://bench.example.org/m/one-h.html#bracket-screw",
        ),
        (
            630,
            True,
            True,
            "At 10:30 I say Nine sixty-fourths by forty (Onehart H: Winder bracket screw); it is "
            "SM11/64-40, see https://bench.example.org/m/one-h.html#bracket-screw",
        ),
    ]


def test_a_film_that_does_not_correct_itself(tmp_path):
    changes = {
        "recordings/evening.yaml": FILES["recordings/evening.yaml"].partition("corrections:")[0],
        "recordings/evening.vtt": CAPTIONS,
    }
    found = tellings(tmp_path, changes)[ROW]
    assert [(said.at_s, said.sure, said.corrected) for said, _ in found.recordings] == [
        (94, True, False),
        (630, False, False),
    ]
    assert "    At 1:34 I say nine sixty-fourths by forty" in "\n".join(told_lines(found))
    assert "not corrected there yet; listen first" in "\n".join(told_lines(found))


def test_a_film_without_captions_is_known_by_its_own_correction(tmp_path):
    found = tellings(tmp_path, {})[ROW]
    assert [(said.recording, said.at_s, said.corrected) for said, _ in found.recordings] == [
        ("evening", 120, True)
    ]


def test_what_is_said_in_words_stands_in_quotation_marks(tmp_path):
    found = tellings(tmp_path, {})["recording:evening"]
    assert [line for _, line in found.recordings] == [
        "At 11:00 I say “by its glass” (how to hold the lamp); right is “by its cap”, see "
        "https://bench.example.org/r/evening.html"
    ]


def test_a_row_has_one_correction_however_often_it_is_repeated(tmp_path):
    note = FILES["notes/0001-winder-slips.md"].replace(
        "works_when:",
        "corrections: [{date: 2026-03-04, what: the screw, was: SM9/64-40, now: SM11/64-40}]\n"
        "works_when:",
    )
    assert note != FILES["notes/0001-winder-slips.md"]
    found = tellings(tmp_path, {"notes/0001-winder-slips.md": note})
    assert set(found) == {ROW, "recording:evening", "note:2"}
    assert [str(one) for one in found[ROW].corrected.repeated] == ["note:1", "recording:evening"]


@pytest.fixture
def tree(tmp_path, monkeypatch):
    letters = {"questions/Q0001-spool-empty.md": answered("2026-02-27")}
    monkeypatch.chdir(written(tmp_path, letters))
    return tmp_path


@pytest.mark.usefixtures("tree")
@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        ([], 0, "Dear Hazel B."),
        (["one-h/bracket-screw"], 0, "Dear Hazel B."),
        (["evening"], 0, "by its glass"),
        (["2"], 0, "every 9 days"),
        (["0002"], 0, "nobody is known who was told otherwise"),
        (["--since", "2026-03-05"], 0, "by its glass"),
        (["--since", "2026-03-06"], 1, "Nothing was corrected."),
    ],
    ids=lambda value: " ".join(value) or "all" if isinstance(value, list) else None,
)
def test_the_command_says_and_ends(words, code, said, capsys):
    assert main(["told", *words]) == code
    out = capsys.readouterr().out
    assert said in out
    of_the_row = words in ([], ["one-h/bracket-screw"], ["evening"])  # the film repeats it
    assert ("Dear Hazel B." in out) == of_the_row


@pytest.mark.usefixtures("tree")
def test_a_place_that_was_never_corrected_is_wrong_use(capsys):
    assert main(["told", "one-h/motor-bolt"]) == 2
    assert "corrected were: evening, one-h/bracket-screw, 2" in capsys.readouterr().err


@pytest.mark.usefixtures("tree")
def test_what_is_printed_follows_its_schema(capsys):
    assert main(["told", "--json"]) == 0
    shape = json.loads(capsys.readouterr().out)
    schema = json.loads((SHAPES / "told.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.Draft202012Validator(schema).validate(shape)
    assert [(one["place"], len(one["questions"]), len(one["recordings"])) for one in shape] == [
        ("recording:evening", 0, 1),
        (ROW, 1, 1),
        ("note:2", 0, 0),
    ]


def test_help_shows_an_example(capsys):
    assert main(["told", "--help"]) == 0
    assert "kbgen told --since" in capsys.readouterr().out
