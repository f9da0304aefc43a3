"""The index beside the tree: kept, brought up to date, made anew when damaged."""

from __future__ import annotations

import os
import subprocess
import sys
import textwrap
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import pytest
from shelves import NOTES, SHELF

from kbgen.kept import hands
from kbgen.search import Bench, SearchDocument, Shelf, whoosh_notes
from kbgen.search.bench import stamp
from kbgen.search.collection import Collection
from kbgen.search.hits import rank
from kbgen.search.questions import ask
from kbgen.search.whoosh_notes import NoteStore

QUESTIONS = [
    "winder tyre", "skips stitches", "lamp", "hot", "5/16-18", "M6", "2 N·m", "gum oil turns",
    "stiches", "bob bin", "the little rubber wheel", "zzz", "",
]  # fmt: skip


class Workshop:
    """A bench whose notes can change, and that counts how often they were gathered."""

    def __init__(self, folder: Path, notes: Sequence[SearchDocument] = NOTES) -> None:
        self.folder = folder
        self.notes = tuple(notes)
        self.state = "first"
        self.gathered = 0

    def bench(self) -> Bench:
        return Bench(self.folder, self._gather, lambda: self.state)

    def _gather(self) -> Shelf:
        self.gathered += 1
        return Shelf.of(self.notes, SHELF.threads, SHELF.widenings)

    def expected(self, question: str) -> list[tuple[int, int, bool]]:
        index = Collection(Shelf.of(self.notes))
        hits = rank(ask(question, index, SHELF.widenings), index)
        return [(hit.number, hit.score, hit.weak) for hit in hits]


def answers(bench: Bench, question: str) -> list[tuple[int, int, bool]]:
    return [(r.note, r.score, r.weak) for r in bench.find(question).results]


@pytest.fixture
def workshop(tmp_path: Path) -> Workshop:
    return Workshop(tmp_path / "find")


def test_the_bench_answers_as_the_ranking_says(workshop: Workshop) -> None:
    bench = workshop.bench()
    for question in QUESTIONS:
        assert answers(bench, question) == workshop.expected(question)


def test_whooshs_own_searcher_ranks_the_same(workshop: Workshop) -> None:
    workshop.bench().find("")
    kept = workshop.bench()._read()
    assert kept is not None
    reader = NoteStore(workshop.folder).reader()
    reader.place(kept.numbers, kept.length, list)
    for question in ("winder tyre spool", "lamp oil", "hook hot burning machine"):
        asked = replace(ask(question, Collection(SHELF)), neighbours=())
        hits = [(hit.number, hit.score) for hit in rank(asked, reader)]
        assert hits
        assert hits == reader.searched(asked.terms, 10)
    reader.close()


def test_the_notes_are_read_once(workshop: Workshop) -> None:
    for _ in range(3):
        workshop.bench().find("lamp")
    assert workshop.gathered == 1


def test_only_what_changed_is_written(workshop: Workshop) -> None:
    workshop.bench().find("lamp")
    changed = replace(NOTES[1], title="Skipped stitches under the lamp")
    now = Shelf.of([NOTES[0], changed, *NOTES[2:]])
    store = NoteStore(workshop.folder)
    lock = store.lock(1)
    assert lock is not None
    before = workshop.bench()._held()
    after = store.update(now, before)
    assert {number for _, number, _ in after.places()} == set(now.keys)
    assert after != before
    assert store.update(now, after) == after
    lock.release()


def test_segments_written_by_several_processes_answer_like_one(
    workshop: Workshop, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(whoosh_notes, "SHARED", 1)
    monkeypatch.setattr(hands, "hands", lambda: 2)
    bench = workshop.bench()
    for question in QUESTIONS:
        assert answers(bench, question) == workshop.expected(question)
    assert len(list(workshop.folder.glob("*.seg"))) == len(NOTES)


def test_small_segments_are_laid_together(workshop: Workshop) -> None:
    workshop.bench().find("lamp")
    for number in range(20, 60):
        workshop.notes = (*workshop.notes, replace(NOTES[1], number=number))
        workshop.state = f"with {number}"
        workshop.bench().find("lamp")
    assert len(list(workshop.folder.glob("*.seg"))) <= 4
    for question in QUESTIONS:
        assert answers(workshop.bench(), question) == workshop.expected(question)


def test_changed_new_and_deleted_notes_are_found_as_they_are_now(workshop: Workshop) -> None:
    workshop.bench().find("lamp")
    workshop.notes = (replace(NOTES[0], title="Lamp of the winder"), *NOTES[2:])
    workshop.notes += (replace(NOTES[1], number=12),)
    workshop.state = "second"
    bench = workshop.bench()
    for question in QUESTIONS:
        assert answers(bench, question) == workshop.expected(question)
    assert workshop.gathered == 2


@pytest.mark.parametrize("damage", ["cut", "emptied", "noise", "removed", "kept"])
def test_a_damaged_index_is_made_anew(workshop: Workshop, damage: str) -> None:
    workshop.bench().find("lamp")
    for path in sorted(workshop.folder.iterdir()):
        data = path.read_bytes()
        if damage == "kept" and path.name != "kept.json":
            continue
        match damage:
            case "cut":
                path.write_bytes(data[: len(data) // 2])
            case "emptied" | "kept":
                path.write_bytes(b"")
            case "noise":
                path.write_bytes(bytes(byte ^ 0x5A for byte in data))
            case _:
                path.unlink()
    for question in QUESTIONS:
        assert answers(workshop.bench(), question) == workshop.expected(question)
    assert workshop.gathered == 2


def test_damage_that_keeps_size_and_time_is_found_when_it_is_read(workshop: Workshop) -> None:
    workshop.bench().find("lamp")
    for path in workshop.folder.glob("*.seg"):
        state = path.stat()
        data = bytearray(path.read_bytes())
        data[: len(data) // 2] = bytes(len(data) // 2)
        path.write_bytes(data)
        os.utime(path, ns=(state.st_atime_ns, state.st_mtime_ns))
    for _ in range(2):
        assert answers(workshop.bench(), "lamp winder") == workshop.expected("lamp winder")
    assert workshop.gathered == 2


def test_without_a_place_to_keep_it_the_answer_comes_from_memory(tmp_path: Path) -> None:
    (tmp_path / "find").write_text("a file stands where the folder should")
    workshop = Workshop(tmp_path / "find")
    assert answers(workshop.bench(), "lamp") == workshop.expected("lamp")


def test_two_commands_at_once_do_no_harm(tmp_path: Path) -> None:
    script = textwrap.dedent(
        """
        import sys
        from pathlib import Path
        sys.path.insert(0, sys.argv[2])
        from shelves import NOTES, SHELF
        from kbgen.search import Bench
        state = sys.argv[3]
        bench = Bench(Path(sys.argv[1]), lambda: SHELF, lambda: state)
        for _ in range(5):
            print([result.note for result in bench.find("lamp winder oil").results])
        """
    )
    here = str(Path(__file__).parent)
    command = [sys.executable, "-c", script, str(tmp_path / "find"), here]
    running = [
        subprocess.Popen([*command, f"state {i % 2}"], stdout=subprocess.PIPE, text=True)
        for i in range(4)
    ]
    said = {process.communicate(timeout=120)[0] for process in running}
    assert all(process.returncode == 0 for process in running)
    expected = [r[0] for r in Workshop(tmp_path / "x").expected("lamp winder oil")]
    assert said == {f"{expected}\n" * 5}


def test_the_stamp_changes_with_any_file(tmp_path: Path) -> None:
    (tmp_path / "notes").mkdir()
    before = stamp(tmp_path)
    (tmp_path / "notes" / "a.md").write_text("x")
    first = stamp(tmp_path)
    (tmp_path / "notes" / "a.md").write_text("xy")
    assert len({before, first, stamp(tmp_path)}) == 3
    assert stamp(tmp_path) == stamp(tmp_path)


def test_the_shape_is_the_documented_one(workshop: Workshop) -> None:
    shape = workshop.bench().find("the little rubber wheel").shape()
    assert shape["query"] == "the little rubber wheel"
    assert shape["widened"] == [{"said": "little rubber wheel", "also": "winder tyre"}]
    assert set(shape["results"][0]) == {"note", "title", "address", "score", "weak"}
    assert shape["results"][0]["note"] == 1
    assert shape["results"][0]["address"] == "n/0001.html"


def test_a_result_answers(workshop: Workshop) -> None:
    result = workshop.bench().find("winder").results[0]
    assert result.lines == (
        "The spool never fills and the winder stalls.",
        "Mend bobbin winder tyre slips.",
        "Halverin H · caution",
    )
