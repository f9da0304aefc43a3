"""A note that is begun is valid, reads back as it was given, and takes a number of its own."""

from __future__ import annotations

import datetime
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kbgen.content import (
    UNWRITTEN,
    add_numbered,
    front_matter,
    in_one_line,
    load_note,
    next_number,
    started_note,
    write_started,
)

DAY = datetime.date(2026, 3, 4)


def begun(title: str = "Winder slips", **more: object) -> str:
    words: dict[str, object] = {"symptom": ["It slips"], "day": DAY} | more
    return started_note(title, **words)  # type: ignore[arg-type]


def test_a_note_in_the_house_s_hand() -> None:
    text = started_note(
        'Winder: tyre "slips"',
        symptom=["The little wheel turns", "yes", ""],
        families=["halverin-h"],
        recording=("winder-evening", "12:40"),
        hazards=["needle-strike"],
        body="## At once\n\nStop.\n",
        day=DAY,
        known={"parts": [{"part": "winder-tyre", "quantity": 1}], "works_when": "It fills."},
    )
    assert (
        text
        == """\
---
title: "Winder: tyre \\"slips\\""
standing: draft
authors: [workshop]
symptom:
  - The little wheel turns
  - "yes"
families: [halverin-h]
causes:
  - {cause: not written yet, tell: not written yet}
fix: not written yet
before:
  people: one
  tools: [not written yet]
  supplies: none
  spares: none
parts:
  - {part: winder-tyre, quantity: 1}
hazards: [needle-strike]
recordings:
  - {recording: winder-evening, at: "12:40"}
works_when: "It fills."
first_published: 2026-03-04
revised: 2026-03-04
---
## At once

Stop.
"""
    )
    assert load_note("content/notes/0001-x.md", text.encode())[1] == []


@given(
    title=st.text(),
    symptom=st.lists(st.text(), max_size=4),
    body=st.text(),
    at=st.sampled_from(["0:00", "12:40", "1:02:40"]),
)
def test_any_text_reads_back_as_it_was_given(
    title: str, symptom: list[str], body: str, at: str
) -> None:
    text = started_note(title, symptom=symptom, body=body, recording=("r-1", at), day=DAY)
    note, findings = load_note("content/notes/0001-x.md", text.encode())
    assert findings == []
    assert note is not None
    assert note.front.title == (in_one_line(title) or UNWRITTEN)
    said = tuple(one for one in map(in_one_line, symptom) if one)
    assert note.front.symptom == (said or (UNWRITTEN,))
    assert note.front.recordings[0].at == at
    assert note.body.strip()


@pytest.mark.parametrize(
    "text",
    [
        pytest.param("5 ½ mm: the “wide” one", id="typographic"),
        pytest.param("1\u00a01/8-12 UNF", id="no-break space"),
        pytest.param("\U0001f600 thanks \U0001f9f5", id="beyond U+FFFF"),
        pytest.param("- * & ! | > % @ `", id="marks of YAML"),
        pytest.param("1e3", id="looks like a number"),
        pytest.param("010", id="looks octal"),
        pytest.param("null", id="looks like nothing"),
        pytest.param("12:40", id="looks sexagesimal"),
        pytest.param("it's “fine” \\ 'so' \"so\"", id="quotation marks and backslash"),
    ],
)
def test_a_text_stays_what_it_is(text: str) -> None:
    note, findings = load_note("content/notes/0001-x.md", begun(text).encode())
    assert (note and note.front.title, findings) == (text, [])


def test_what_no_editor_shows_is_left_out() -> None:
    assert in_one_line(" a\u202eb\r\nc\x00d\ud800 ") == "a b c d?"


def test_a_value_that_does_not_fit_is_refused_in_the_words_of_its_finding() -> None:
    with pytest.raises(ValueError, match=r"cannot be begun so: .*12:99"):
        begun(recording=("winder-evening", "12:99"))
    with pytest.raises(ValueError, match="colour"):
        begun(known={"colour": "red"})
    with pytest.raises(TypeError, match="set"):
        front_matter({"title": {"x"}})


@pytest.fixture
def root(tmp_path: Path) -> Path:
    for name in ("notes", "questions", "recordings"):
        (tmp_path / "content" / name).mkdir(parents=True)
    return tmp_path


def test_the_first_number_is_one(root: Path) -> None:
    (root / "content" / "notes").rmdir()
    path = write_started(root, begun(), "Winder: slips!")
    assert path == root / "content" / "notes" / "0001-winder-slips.md"
    assert path.read_text(encoding="utf-8") == begun()
    assert sorted(one.name for one in root.iterdir()) == ["content"]
    assert write_started(root, begun(), "Näh").name == "0002-nah.md"
    assert write_started(root, begun(), "…!").name == "0003-note.md"


@pytest.mark.parametrize(
    ("path", "text", "note", "question"),
    [
        pytest.param("notes/0017-a.md", "", 18, 1, id="a note"),
        pytest.param("notes/17 a.md", "", 18, 1, id="a note that is misnamed"),
        pytest.param("notes/2026-plan.txt", "", 1, 1, id="no note"),
        pytest.param("questions/Q0009-a.md", "", 1, 10, id="a question"),
        pytest.param("addresses.tsv", "n/0040.html\tn/0041.html\n", 42, 1, id="ledger"),
        pytest.param("addresses.tsv", "q/0040.html\tq/0040.html\n", 1, 41, id="ledger, a question"),
        pytest.param("addresses.tsv", "m/n/0040.html\t\n", 1, 1, id="another address"),
        pytest.param("questions/Q0002-a.md", "answered_by: 30\nsame_as: 7", 31, 8, id="an answer"),
        pytest.param("questions/Q0002-a.md", "about: {note: 30}", 31, 3, id="asked about"),
        pytest.param("recordings/a.yaml", "- {at: '0:00', note: 30}", 31, 1, id="shown"),
    ],
)
def test_a_number_that_was_ever_used_is_not_free(
    root: Path, path: str, text: str, note: int, question: int
) -> None:
    (root / "content" / path).write_text(text, encoding="utf-8")
    assert (next_number(root, "note"), next_number(root, "question")) == (note, question)


def test_the_numbers_come_to_an_end(root: Path) -> None:
    (root / "content" / "notes" / "999999-last.md").touch()
    with pytest.raises(ValueError, match="no note number after 999,999"):
        write_started(root, begun(), "one more")


def test_a_file_is_never_written_over(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from kbgen.content import numbers

    path = add_numbered(root, "question", "first", "asked")
    assert path.name == "Q0001-asked.md"
    monkeypatch.setattr(numbers, "next_number", lambda *_: 1)
    with pytest.raises(FileExistsError):
        add_numbered(root, "question", "second", "asked")
    assert path.read_text(encoding="utf-8") == "first"


def test_several_at_once_take_numbers_of_their_own(root: Path) -> None:
    program = (
        "import sys; from pathlib import Path; from kbgen.content import write_started\n"
        "for n in range(5): write_started(Path(sys.argv[1]), sys.argv[2], 'a')"
    )
    running = [
        subprocess.Popen([sys.executable, "-c", program, str(root), f"text {who}"])
        for who in range(4)
    ]
    assert [one.wait() for one in running] == [0, 0, 0, 0]
    notes = sorted(path.name for path in (root / "content" / "notes").iterdir())
    assert notes == [f"{number:04}-a.md" for number in range(1, 21)]
