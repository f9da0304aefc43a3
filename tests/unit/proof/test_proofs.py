"""The tree as its writer sees it: drafts shown, what is wrong left as it last was."""

from __future__ import annotations

import threading
import time
from pathlib import Path

import pytest

from kbgen.build import build
from kbgen.content import read_file
from kbgen.proof import Proofs
from kbgen.proof.panel import page_of, panel
from kbgen.proof.watch import Watch

NOTE = "content/notes/0001-winder-tyre-slips.md"
DRAFT = """\
---
title: Winder spindle
standing: draft
authors: [workshop]
symptom: [It <wobbles>]
families: [halverin-h]
causes: [{cause: worn, tell: it can be rocked}]
fix: not written yet
before: {people: one, tools: none, supplies: none, spares: none}
works_when: It runs true.
first_published: 2026-03-04
revised: 2026-03-04
---
See [the tyre](note:1).
"""


def change(root: Path, path: str, old: str, new: str) -> None:
    text = (root / path).read_text(encoding="utf-8")
    assert old in text
    (root / path).write_text(text.replace(old, new), encoding="utf-8")


def shown(proofs: Proofs, page: str) -> str:
    return (proofs.leaf(page).data or b"").decode()


def beside(proofs: Proofs, page: str) -> str:
    return panel(proofs.reading, page, proofs.leaf(page))


def files(folder: Path) -> dict[str, bytes]:
    return {str(path): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_pages_are_those_of_the_site_and_nothing_is_written(root: Path, proofs: Proofs) -> None:
    before = files(root)
    assert "Bobbin winder tyre slips" in shown(proofs, "n/0001.html")
    assert "Bobbin winder tyre slips" in shown(proofs, "index.html")
    assert shown(proofs, "icon.svg").startswith("<svg")
    assert proofs.leaf("n/0002.html").data is None
    assert "Nothing was found on this page." in beside(proofs, "n/0001.html")
    assert files(root) == before


def test_a_draft_is_shown_and_marked(root: Path, proofs: Proofs) -> None:
    (root / "content/notes/0002-winder-spindle.md").write_text(DRAFT, encoding="utf-8")
    proofs.renew()
    assert "It &lt;wobbles&gt;" in shown(proofs, "n/0002.html")
    assert 'href="0001.html"' in shown(proofs, "n/0002.html")
    assert "n/0002.html" in shown(proofs, "notes.html")
    assert "A draft: not published" in beside(proofs, "n/0002.html")
    assert "A draft" not in beside(proofs, "n/0001.html")
    assert '<a href="/n/0002.html">Winder spindle</a>' in beside(proofs, "n/0001.html")
    assert proofs.reading.publishable


def test_what_is_wrong_stands_beside_the_last_good_page(root: Path, proofs: Proofs) -> None:
    good = shown(proofs, "n/0001.html")
    change(root, NOTE, "Lift the winder off its bracket.", "Use <b>M4x0.8</b>, lightly.")
    proofs.renew()
    leaf = proofs.leaf("n/0001.html")
    assert (leaf.data, leaf.earlier) == (good.encode(), True)
    text = beside(proofs, "n/0001.html")
    assert "the page as it was before the errors" in text
    assert "M4x0.8 is not in ISO 261" in text
    assert "<mark>M4x0.8&lt;/b&gt;,</mark>" in text
    assert f"{NOTE}:19:8" in text
    assert "<b>M4x0.8</b>" not in text
    assert "1 error" in beside(proofs, "index.html")
    assert f'<a href="/n/0001.html">{NOTE}</a>' in beside(proofs, "index.html")
    change(root, NOTE, "M4x0.8", "M4x0.7")
    proofs.renew()
    assert "M4x0.7" in shown(proofs, "n/0001.html")
    assert "Nothing was found" in beside(proofs, "n/0001.html")


def test_a_page_that_was_never_good_is_shown_with_its_errors(root: Path) -> None:
    change(root, NOTE, "Lift the winder off its bracket.", "Use M4x0.8.")
    begun = Proofs(root)
    begun.renew()
    leaf = begun.leaf("n/0001.html")
    assert (leaf.earlier, leaf.unfit) == (False, True)
    assert "M4x0.8" in shown(begun, "n/0001.html")
    assert "This page has errors, and would not be published." in beside(begun, "n/0001.html")
    assert f"{NOTE}:19:5" in beside(begun, "c/0001.html")


def test_other_pages_go_on_while_one_note_is_wrong(root: Path, proofs: Proofs) -> None:
    """Also where nothing good was ever seen: a proof may begin with a tree that has errors."""
    change(root, NOTE, "title: ", "titel: ")
    (root / "content/notes/0002-winder-spindle.md").write_text(DRAFT, encoding="utf-8")
    begun = Proofs(root)
    begun.renew()
    assert "Winder spindle" in shown(begun, "n/0002.html")
    assert begun.leaf("n/0001.html").data is None
    text = beside(begun, "n/0001.html")
    assert "There is no such page." in text
    assert "`titel`" in text
    proofs.renew()
    assert "Bobbin winder tyre slips" in shown(proofs, "n/0001.html")
    assert "Winder spindle" in shown(proofs, "n/0002.html")


def test_a_family_that_is_wrong_takes_the_pages_along_that_need_it(
    root: Path, proofs: Proofs
) -> None:
    good = shown(proofs, "n/0001.html")
    change(root, "content/families/halverin-h.yaml", "SM11/64-40", "M4x0.8")
    proofs.renew()
    leaf = proofs.leaf("n/0001.html")
    assert (leaf.data, leaf.earlier) == (good.encode(), True)
    assert "M4x0.8" in beside(proofs, "m/halverin-h.html")


@pytest.mark.parametrize("lost", ["workshop.yaml", "."])
def test_a_tree_that_cannot_be_read_is_shown_as_it_last_was(
    root: Path, proofs: Proofs, lost: str
) -> None:
    good = shown(proofs, "n/0001.html")
    (root / "content" / lost).rename(root / "away")
    proofs.renew()
    assert shown(proofs, "n/0001.html") == good
    assert "The tree cannot be read: no content/workshop.yaml" in beside(proofs, "n/0001.html")
    assert not proofs.reading.publishable
    (root / "away").rename(root / "content" / lost)
    proofs.renew()
    assert proofs.reading.publishable


def test_a_workshop_that_is_wrong_leaves_the_last_pages(root: Path, proofs: Proofs) -> None:
    good = shown(proofs, "n/0001.html")
    change(root, "content/workshop.yaml", "name:", "nome:")
    proofs.renew()
    assert shown(proofs, "n/0001.html") == good
    assert "`nome`" in beside(proofs, "about.html")
    begun = Proofs(root)
    begun.renew()
    assert begun.leaf("n/0001.html").data is None
    assert "`nome`" in beside(begun, "about.html")


def test_a_template_that_is_wrong_leaves_the_last_page_and_says_so(
    root: Path, proofs: Proofs
) -> None:
    (root / "templates").mkdir()
    good = shown(proofs, "n/0001.html")
    (root / "templates" / "note.html").write_text("{% block", encoding="utf-8")
    proofs.renew()
    leaf = proofs.leaf("n/0001.html")
    assert (leaf.data, leaf.earlier) == (good.encode(), True)
    assert "The page could not be made: TemplateSyntaxError" in beside(proofs, "n/0001.html")
    assert not proofs.leaf("index.html").earlier


@pytest.mark.parametrize(
    ("path", "page"),
    [
        ("content/notes/0017-a.md", "n/0017.html"),
        ("content/notes/17 a.md", "n/0017.html"),
        ("content/notes/letter.txt", "index.html"),
        ("content/questions/Q0009-a.md", "q/0009.html"),
        ("content/families/halverin-h.yaml", "m/halverin-h.html"),
        ("content/parts/felt.yaml", "p/felt.html"),
        ("content/recordings/evening.vtt", "r/evening.html"),
        ("content/hazards.yaml", "about.html"),
        ("content/addresses.tsv", "index.html"),
        ("content", "index.html"),
    ],
)
def test_which_page_a_file_is_about(path: str, page: str) -> None:
    assert page_of(path) == page


def test_a_save_is_noticed_once_it_has_settled(root: Path) -> None:
    watch = Watch(root)
    assert watch.wait(lambda: False)
    seen: list[float] = []
    ended = threading.Event()

    def follow() -> None:
        while watch.wait(ended.is_set):
            seen.append(time.monotonic())

    thread = threading.Thread(target=follow)
    thread.start()
    try:
        time.sleep(0.2)
        assert seen == []
        began = time.monotonic()
        for number in range(3):  # an editor that saves in steps
            (root / "content" / "notes" / ".new").write_text(f"{number}", encoding="utf-8")
            time.sleep(0.01)
        (root / "content" / "notes" / ".new").rename(root / NOTE)
        while not seen and time.monotonic() < began + 5:
            time.sleep(0.01)
        time.sleep(0.3)
        assert len(seen) == 1
        assert seen[0] - began < 1
    finally:
        ended.set()
        thread.join()


def test_a_tree_that_goes_away_is_a_change(root: Path) -> None:
    watch = Watch(root)
    assert watch.wait(lambda: False)
    (root / "content").rename(root / "away")
    assert watch.wait(lambda: False)
    assert not watch.wait(lambda: True)


def files_of(folder: Path) -> dict[Path, bytes]:
    return {path: path.read_bytes() for path in sorted(folder.rglob("*")) if path.is_file()}


def test_what_a_build_has_kept_is_read_and_nothing_written(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    build(root)
    kept = files_of(root / ".kbgen")
    read = []

    def reading(path: str, data: bytes) -> object:
        read.append(path)
        return read_file(path, data)

    monkeypatch.setattr("kbgen.checks.known.read_file", reading)
    proofs = Proofs(root)
    proofs.renew()
    assert proofs.reading.publishable
    assert read == []
    (root / NOTE).write_text((root / NOTE).read_text(encoding="utf-8") + "\nMark it.\n", "utf-8")
    proofs.renew()
    assert read == [NOTE]
    assert b"Mark it." in (proofs.leaf("n/0001.html").data or b"")
    assert files_of(root / ".kbgen") == kept
