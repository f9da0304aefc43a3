"""What joins found stands as long as every file states the same facts, and no longer."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from kbgen.checks import Checked, Held, check, checked_tree, read_tree, readings
from kbgen.content import Loaded
from kbgen.kept import Store, stamps

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


@pytest.mark.parametrize(
    ("path", "change"),
    [
        (NOTE, lambda text: text + "\nIt has M4x0.7 there.\n"),
        (NOTE, lambda text: text + "\nSee [it](note:2).\n"),
        (NOTE, lambda text: text + "\nRewire the plug.\n"),
        (NOTE, lambda text: text + "\nCall 01632 960123.\n"),
        (NOTE, lambda text: text.replace("\n\n", "\n\nOne line down.\n\n", 1)),
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
