"""What joins found stands as long as every file states the same facts, and no longer."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from kbgen.checks import Checked, Held, check, checked_tree, read_tree, readings
from kbgen.content import Loaded
from kbgen.kept import Store, stamps
from kbgen.links import format_ledger

GOLDEN = Path(__file__).resolve().parents[2] / "golden" / "tree"
NOTE = "notes/0001-winder-tyre-slips.md"
OTHER = "notes/0002-needle-in-backwards.md"


class Reader:
    """Somebody who reads a tree again and again."""

    def __init__(self, root: Path) -> None:
        self.root = root
        self.joined = 0
        self._held = Held()

    def read(self) -> Checked:
        checked = read_tree(self.root, Store(None), held=self._held)
        anew = checked_tree(self.root)
        self.joined -= 1  # for the one beside it
        assert checked.findings == anew.findings
        assert checked.statements == anew.statements
        assert checked.graph.edges == anew.graph.edges
        assert checked.ledger == anew.ledger
        assert checked.tree.notes == anew.tree.notes
        assert checked.tree.questions == anew.tree.questions
        return checked

    def put(self, path: str, change: Callable[[str], str]) -> None:
        file = self.root / "content" / path
        before = file.read_text(encoding="utf-8") if file.exists() else ""
        file.write_text(change(before), encoding="utf-8")


@pytest.fixture
def reader(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Reader]:
    root = tmp_path / "tree"
    shutil.copytree(GOLDEN, root)
    monkeypatch.setattr(stamps, "_YOUNG_NS", 0)
    reader = Reader(root)

    def counted(loaded: Loaded) -> Checked:
        reader.joined += 1
        return check(loaded)

    monkeypatch.setattr(readings, "check", counted)
    reader.read()
    assert reader.joined == 1
    return reader


def test_words_that_no_join_asks_about_leave_the_joins_alone(reader: Reader) -> None:
    graph = reader.read().graph
    for number in range(3):
        reader.put(NOTE, lambda text: f"{text}\nOne sentence more.\n")
        reader.put(OTHER, lambda text: f"{text}\nAnd another.\n")
        checked = reader.read()
        assert checked.tree.notes[1].body.count("One sentence more.") == number + 1
        assert checked.graph is graph
    assert reader.joined == 1


def swapped(text: str) -> str:
    """The same sentences, each with its link and its figure, in another order."""
    front, _, body = text.rpartition("---\n")
    first, second, rest = body.split("\n", 2)
    return f"{front}---\n{second}\n{first}\n{rest}"


@pytest.mark.parametrize(
    "ahead", ["Look first.\n\n", "\n\n\n", "| a | b |\n|---|---|\n| c | d |\n\n"]
)
def test_where_a_note_states_something_is_no_fact(reader: Reader, ahead: str) -> None:
    def moved(text: str) -> str:
        return text.replace("1. Take", f"{ahead}1. Take")

    graph = reader.read().graph
    before = {one.line for one in reader.read().statements if NOTE in one.path}
    for number in range(1, 4):
        reader.put(NOTE, moved)
        checked = reader.read()
        assert checked.graph is graph
        lines = {one.line for one in checked.statements if NOTE in one.path}
        assert max(lines) == max(before) + number * ahead.count("\n")
    assert reader.joined == 1


def test_a_note_that_something_is_said_of_is_joined_anew_where_it_says_it_elsewhere(
    reader: Reader,
) -> None:
    reader.put(NOTE, lambda text: f"{text}\nSee [it](note:77).\n")
    (ours,) = [one for one in reader.read().findings if "0001" in one.path]
    before = reader.joined
    reader.put(NOTE, lambda text: text.replace("1. Take", "First of all.\n\n1. Take"))
    (moved,) = [one for one in reader.read().findings if "0001" in one.path]
    assert moved.line == ours.line + 2
    assert reader.joined == before + 1


def test_the_ledger_that_a_build_writes_leaves_the_joins_alone(reader: Reader) -> None:
    text = (reader.root / "content" / OTHER).read_text(encoding="utf-8")
    reader.put("notes/0077-once-more.md", lambda _: text)
    renewed = format_ledger(reader.read().ledger)
    before = reader.joined
    ledger = reader.root / "content" / "addresses.tsv"
    assert renewed != ledger.read_bytes()
    ledger.write_bytes(renewed)
    reader.read()
    assert reader.joined == before
    ledger.write_bytes(renewed + b"n/0099.html\tn/0001.html\n")
    reader.read()
    assert reader.joined == before + 1


@pytest.mark.parametrize(
    ("path", "change"),
    [
        (NOTE, lambda text: text + "\nIt has M4x0.7 there.\n"),
        (NOTE, lambda text: text + "\nSee [it](note:2).\n"),
        (NOTE, lambda text: text + "\nRewire the plug.\n"),
        (NOTE, lambda text: text + "\nCall 01632 960123.\n"),
        (NOTE, swapped),
        (NOTE, lambda text: text.replace(" 8 mm long.\n2. Push", "\n8 mm long.\n2. Push")),
        (NOTE, lambda text: text.replace("headings: [winder]", "headings:  [winder]")),
        (NOTE, lambda text: text.replace("title: ", "title: The ", 1)),
        ("notes/0001-twice.md", lambda _: "---\n"),
        ("vocabulary.yaml", lambda text: text + "- {lay: [a nest], trade: [thread jam]}\n"),
        ("parts/winder-tyre.yaml", lambda text: text.replace("name: ", "name: The ")),
        ("families/notes.txt", lambda _: "no family"),
        ("photos/plain.png", lambda _: "no picture"),
        ("addresses.tsv", lambda text: text + "n/0099.html\tn/0001.html\n"),
    ],
)
def test_whatever_a_join_asks_about_is_joined_anew(
    reader: Reader, path: str, change: Callable[[str], str]
) -> None:
    (reader.root / "content" / "photos").mkdir(exist_ok=True)
    reader.read()
    before = reader.joined
    reader.put(path, change)
    reader.read()
    assert reader.joined == before + 1


def test_the_words_of_who_asks_are_no_facts(reader: Reader) -> None:
    reader.put("questions/Q0001-spool-stays-empty.md", lambda text: f"{text}\nIs it M4x0.8?\n")
    assert "M4x0.8" in reader.read().tree.questions[1].words
    assert reader.joined == 1


def test_a_file_that_is_gone_is_missed(reader: Reader) -> None:
    (reader.root / "content" / OTHER).unlink()
    assert 2 not in reader.read().tree.notes
    assert reader.joined == 2


def test_the_second_note_of_a_number_does_not_take_the_place_of_the_first(reader: Reader) -> None:
    again = "notes/0001-zzz.md"
    text = (reader.root / "content" / NOTE).read_text(encoding="utf-8")
    reader.put(again, lambda _: text)
    reader.read()
    reader.put(again, lambda text: f"{text}\nOne sentence more.\n")
    assert reader.read().tree.notes[1].source.path == f"content/{NOTE}"


def test_a_file_that_may_be_written_again_is_trusted_by_nobody(
    reader: Reader, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(stamps, "_YOUNG_NS", 3_600_000_000_000)
    reader.read()
    reader.read()
    assert reader.joined == 3
