"""After a build the bench's index is ready: a question makes nothing and asks no tree."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from kbgen.build import build
from kbgen.search import Bench, bench, open_bench
from kbgen.search.documents import Notes

GOLDEN = Path(__file__).resolve().parents[2] / "golden" / "tree"
QUESTIONS = ["winder tyre", "needle clamp 9/64-40", "skips stitches", "halverin", "zzz", "tyr"]


@pytest.fixture
def root(tmp_path: Path) -> Path:
    shutil.copytree(GOLDEN, tmp_path / "tree")
    return tmp_path / "tree"


def asked(root: Path) -> list[object]:
    """Ask without ever gathering a note."""

    def never() -> Notes:
        raise AssertionError("the index was not ready")

    found = Bench(root / ".kbgen" / "find", never, lambda: bench.stamp(root / "content"))
    return [found.find(question).results for question in QUESTIONS]


def anew(root: Path, place: Path) -> list[object]:
    """Ask an index that is made from nothing."""
    shutil.copytree(root / "content", place / "content")
    found = open_bench(place)
    return [found.find(question).results for question in QUESTIONS]


def test_a_question_finds_the_index_ready_after_each_build(root: Path, tmp_path: Path) -> None:
    build(root)
    assert asked(root) == anew(root, tmp_path / "first")
    note = next((root / "content" / "notes").glob("0001-*"))
    for number in range(5):
        text = note.read_text(encoding="utf-8")
        note.write_text(f"{text}\nThe needle clamp is worn {number} times.\n", encoding="utf-8")
        build(root)
        assert asked(root) == anew(root, tmp_path / str(number))
    segments = list((root / ".kbgen" / "find").glob("*.seg"))
    assert len(segments) <= 3


def test_an_index_that_cannot_be_written_stops_no_build(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patched:
        patched.setattr(Bench, "_write", full)
        assert build(root).published
    with pytest.raises(AssertionError, match="not ready"):
        asked(root)
    assert open_bench(root).find("winder tyre").results


def test_an_edit_after_the_build_is_found_all_the_same(root: Path) -> None:
    build(root)
    note = next((root / "content" / "notes").glob("0001-*"))
    text = note.read_text(encoding="utf-8")
    note.write_text(f"{text}\nIt was a quagmire.\n", encoding="utf-8")
    assert [result.note for result in open_bench(root).find("quagmire").results] == [1]
