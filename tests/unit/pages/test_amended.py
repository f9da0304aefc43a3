"""A site is amended where only texts changed, and is byte for byte what a clean build makes."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from kbgen.build import build, inspect
from kbgen.content import LEDGER_PATH
from kbgen.kept import stamps
from kbgen.pages.environment import Templates
from kbgen.pages.views import Page

GOLDEN = Path(__file__).resolve().parents[2] / "golden" / "tree"
NOTE = "content/notes/0001-winder-tyre-slips.md"
QUESTION = "content/questions/Q0001-spool-stays-empty.md"

Put = Callable[[str, Callable[[str], str]], list[str]]


@pytest.fixture
def root(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(stamps, "_YOUNG_NS", 0)
    root = tmp_path / "tree"
    shutil.copytree(GOLDEN, root)
    build(root)
    return root


@pytest.fixture
def put(root: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Put]:
    """Change a file, build, compare with a clean build; the pages that were made are returned."""
    made: list[str] = []
    render = Templates.render

    def counted(self: Templates, page: Page, *given: object) -> bytes:
        made.append(page.path)
        return render(self, page, *given)  # type: ignore[arg-type]

    def put(path: str, change: Callable[[str], str]) -> list[str]:
        file = root / path
        file.write_text(change(file.read_text(encoding="utf-8")), encoding="utf-8")
        made.clear()
        with monkeypatch.context() as patched:
            patched.setattr(Templates, "render", counted)
            build(root)
        clean = tmp_path / "clean"
        shutil.rmtree(clean, ignore_errors=True)
        shutil.copytree(root, clean, ignore=shutil.ignore_patterns("site", ".*"))
        build(clean)
        assert files_of(root / "site") == files_of(clean / "site")
        assert (root / LEDGER_PATH).read_bytes() == (clean / LEDGER_PATH).read_bytes()
        return made

    yield put


def files_of(folder: Path) -> dict[str, bytes]:
    found = (path for path in folder.rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in found}


def test_a_sentence_more_makes_its_page_and_nothing_else(root: Path, put: Put) -> None:
    for words in ("It hums.", "It sings.", "It hums again."):
        assert put(NOTE, lambda text, words=words: f"{text}\n{words}\n") == [  # type: ignore[misc]
            "n/0001.html",
            "c/0001.html",
        ]
    assert "It hums again." in (root / "site/n/0001.html").read_text(encoding="utf-8")


def test_lines_that_only_move_make_their_page_and_nothing_else(put: Put) -> None:
    def moved(text: str) -> str:
        return text.replace("1. Take", "Look first.\n\n1. Take")

    assert put(NOTE, moved) == ["n/0001.html", "c/0001.html"]
    assert put(NOTE, moved) == ["n/0001.html", "c/0001.html"]


def test_what_an_inspection_has_kept_is_no_ledger(root: Path, put: Put) -> None:
    text = (root / NOTE).read_text(encoding="utf-8")
    again = "content/notes/0077-once-more.md"
    (root / again).write_text(text, encoding="utf-8")
    inspect(root)
    inspect(root)
    assert "n/0077.html" in put(again, lambda text: text)
    assert b"n/0077.html" in (root / LEDGER_PATH).read_bytes()


def test_a_sentence_taken_back_is_taken_back(root: Path, put: Put) -> None:
    before = files_of(root / "site")
    put(NOTE, lambda text: f"{text}\nIt hums.\n")
    put(NOTE, lambda text: text.removesuffix("\nIt hums.\n"))
    assert files_of(root / "site") == before


def test_the_words_of_who_asks_make_their_page(put: Put) -> None:
    made = put(QUESTION, lambda text: f"{text}\nWhy?\n")
    assert "q/0001.html" in made


def test_a_page_that_others_show_is_not_amended(put: Put) -> None:
    made = put(NOTE, lambda text: text.replace("title: ", "title: The ", 1))
    assert {"n/0001.html", "notes.html"} <= set(made)


def test_after_another_change_texts_are_amended_again(put: Put) -> None:
    put(NOTE, lambda text: f"{text}\nIt hums.\n")
    put("content/vocabulary.yaml", lambda text: f"{text}- {{lay: [a nest], trade: [jam below]}}\n")
    assert put(NOTE, lambda text: f"{text}\nIt sings.\n") == ["n/0001.html", "c/0001.html"]


def test_a_page_changed_by_hand_is_made_again(root: Path, put: Put) -> None:
    page = root / "site/n/0002.html"
    page.unlink()
    page.write_text("by hand", encoding="utf-8")
    assert "n/0002.html" in put(NOTE, lambda text: f"{text}\nIt hums.\n")


def test_what_is_kept_is_not_trusted_when_damaged(root: Path, put: Put) -> None:
    kept = root / ".kbgen" / "kept.db"
    whole = kept.read_bytes()
    for at in range(0, len(whole), max(1, len(whole) // 9)):
        kept.write_bytes(whole[:at] + bytes(len(whole[at : at + 4096])) + whole[at + 4096 :])
        put(NOTE, lambda text: f"{text}\nIt hums.\n")
