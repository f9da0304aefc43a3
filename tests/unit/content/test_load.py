"""The whole content folder: every kind of file, every stranger in it, in one run."""

from __future__ import annotations

import os
import stat
from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image

from kbgen.content import (
    TreeMissing,
    find_root,
    load_house_threads,
    load_tree,
    load_whole_tree,
)
from kbgen.content.decode import NOTE_LIMIT
from kbgen.units import NO_HOUSE, HouseThreads

WORKSHOP = """\
name: Larch Row Bench
language: en
base_address: https://larch-row.example.org/
contact: bench@example.org
disclosure: Nothing is paid for.
"""
NOTE = """\
---
title: A note
standing: published
authors: [workshop]
symptom: [It stops]
families: []
causes: [{cause: a, tell: b}]
fix: Mend it.
before: {people: one, tools: none, supplies: none, spares: none}
works_when: It goes.
first_published: 2026-01-10
revised: 2026-01-10
---
Mend it.
"""
FAMILY = "name: A family\nsummary: A flat-bed.\n"
QUESTION = "---\ndate: 2026-03-06\nalias: H. B.\ncame_by: letter\n---\n\nIt slips.\n"
RECORDING = """\
title: An evening
date: 2026-01-10
address: https://films.example.org/evening
length: "48:10"
"""


@pytest.fixture
def root(tmp_path: Path) -> Path:
    write(tmp_path, "workshop.yaml", WORKSHOP)
    return tmp_path


def write(root: Path, name: str, text: str | bytes) -> Path:
    path = root / "content" / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return path


def picture(kind: str) -> bytes:
    """Return a small whole picture."""
    held = BytesIO()
    Image.new("RGB", (40, 30), "white").save(held, kind)
    return held.getvalue()


def found(root: Path) -> list[tuple[str, str]]:
    return [(one.path.removeprefix("content/"), one.code) for one in load_tree(root).findings]


def test_every_kind_of_file_is_loaded(root: Path) -> None:
    write(root, "notes/0002-b.md", NOTE)
    write(root, "notes/0001-a.md", NOTE)
    write(root, "notes/10000-c.md", NOTE)
    write(root, "families/halverin-h.yaml", FAMILY)
    write(root, "parts/winder-tyre.yaml", "name: Tyre\nobtained: bought\n")
    write(root, "recordings/evening.yaml", RECORDING)
    write(root, "recordings/evening.vtt", "WEBVTT\n\n00:01.000 --> 00:02.000\nGood evening.\n")
    write(root, "questions/Q0001-a-question.md", QUESTION)
    write(root, "photos/tyre.jpg", picture("JPEG"))
    write(root, "photos/Belt.PNG", picture("PNG"))
    write(root, "threads.yaml", "- {thread: 3/8-22 house, where: a, basis: quoted, source: b}\n")
    write(
        root,
        "hazards.yaml",
        "- {id: b, signal: danger, hazard: c, avoid: d}\n"
        "- {id: a, signal: notice, hazard: c, avoid: d}\n",
    )
    write(root, "symptoms.yaml", "- {id: winder, heading: It does not wind}\n")
    write(root, "vocabulary.yaml", "- {lay: [little wheel], trade: [winder tyre]}\n")
    write(root, "addresses.tsv", "")
    loaded = load_tree(root)
    tree = loaded.tree
    assert loaded.findings == ()
    assert tree.workshop is not None
    assert tree.workshop.name == "Larch Row Bench"
    assert list(tree.notes) == [1, 2, 10000]
    assert tree.notes[2].source.path == "content/notes/0002-b.md"
    assert list(tree.families) == ["halverin-h"]
    assert tree.families["halverin-h"].source.path == "content/families/halverin-h.yaml"
    assert tree.parts["winder-tyre"].model.name == "Tyre"
    assert tree.recordings["evening"].captions[0].text == "Good evening."
    assert tree.recordings["evening"].captions_path == "content/recordings/evening.vtt"
    assert tree.questions[1].words == "It slips."
    assert tree.photos == ("Belt.PNG", "tyre.jpg")
    assert [thread.thread for thread in tree.house_threads] == ["3/8-22 house"]
    assert list(tree.hazards) == ["a", "b"]
    assert list(tree.headings) == ["winder"]
    assert tree.vocabulary[0].lay == ("little wheel",)
    assert tree.holds("note", 1)
    assert not tree.holds("note", 3)
    assert tree.broken == frozenset()


def test_a_tree_of_a_workshop_alone_is_empty(root: Path) -> None:
    loaded = load_tree(root)
    assert loaded.findings == ()
    assert (loaded.tree.house_threads, loaded.tree.hazards, loaded.tree.vocabulary) == ((), {}, ())


def test_everything_that_is_wrong_comes_in_one_run_sorted(root: Path) -> None:
    write(root, "workshop.yaml", WORKSHOP.replace("name:", "nam:"))
    write(root, "notes/0001-a.md", NOTE.replace("title: A note", "title: [A note"))
    write(root, "notes/0002-b.md", NOTE.replace("fix:", "fix: Mend: it\nfixx:"))
    write(root, "families/Halverin H.yaml", FAMILY)
    write(root, "parts/tyre.yaml", "name: Tyre\nobtained: found\n")
    write(root, "hazards.yaml", b"\xff\xfe")
    write(root, "notes.txt", "")
    assert found(root) == [
        ("families/Halverin H.yaml", "name-wrong"),
        ("hazards.yaml", "text-undecodable"),
        ("notes.txt", "file-unknown"),
        ("notes/0001-a.md", "yaml-unreadable"),
        ("notes/0002-b.md", "yaml-unreadable"),
        ("parts/tyre.yaml", "value-wrong"),
        ("workshop.yaml", "key-missing"),
        ("workshop.yaml", "key-unknown"),
    ]


def test_what_is_broken_is_known_and_its_body_is_kept(root: Path) -> None:
    write(root, "workshop.yaml", "name: x\n")
    write(root, "notes/0001-a.md", NOTE.replace("title", "titel"))
    write(root, "families/halverin-h.yaml", "name: x\n")
    write(root, "recordings/evening.yaml", "title: x\n")
    write(root, "recordings/evening.vtt", "WEBVTT\n")
    write(root, "parts/tyre.yaml", "name: Tyre\nobtained: found\n")
    write(root, "hazards.yaml", "- x\n")
    tree = load_tree(root).tree
    assert tree.workshop is None
    assert sorted(tree.broken) == [
        "family:halverin-h",
        "hazards",
        "note:1",
        "part:tyre",
        "recording:evening",
        "workshop",
    ]
    assert tree.holds("note", 1)
    assert tree.holds("family", "halverin-h")
    assert {fragment.source.path: fragment.body for fragment in tree.fragments} == {
        "content/families/halverin-h.yaml": "",
        "content/hazards.yaml": "",
        "content/notes/0001-a.md": "Mend it.\n",
        "content/parts/tyre.yaml": "",
        "content/recordings/evening.yaml": "",
        "content/workshop.yaml": "",
    }


def test_two_notes_with_one_number(root: Path) -> None:
    write(root, "notes/0001-a.md", NOTE)
    write(root, "notes/0001-b.md", NOTE)
    loaded = load_tree(root)
    assert found(root) == [("notes/0001-b.md", "number-twice")]
    assert "content/notes/0001-a.md" in loaded.findings[0].message
    assert loaded.tree.notes[1].slug == "a"


def test_two_notes_with_one_number_are_found_where_the_first_is_broken(root: Path) -> None:
    write(root, "notes/0001-a.md", "---\ntitle: x\n")
    write(root, "notes/0001-b.md", NOTE)
    assert ("notes/0001-b.md", "number-twice") in found(root)


@pytest.mark.parametrize(
    "name",
    [
        ".gitkeep",
        "notes/.0001-a.md.swp",
        "notes/0001-a.md~",
        "notes/#0001-a.md#",
        "notes/.#0001-a.md",
        "notes/0001-a.md.bak",
        "photos/Thumbs.db",
        ".DS_Store",
    ],
)
def test_scrap_of_editors_and_desktops_is_passed_over(root: Path, name: str) -> None:
    write(root, name, b"\x00")
    assert found(root) == []


@pytest.mark.parametrize(
    ("name", "code"),
    [
        ("README.md", "file-unknown"),
        ("notes/winder.txt", "file-unknown"),
        ("notes/more/0001-a.md", "file-unknown"),
        ("families/halverin-h.yml", "file-unknown"),
        ("families/halverin-h", "file-unknown"),
        ("photos/tyre.svg", "file-unknown"),
        ("questions/Q0001-a.txt", "file-unknown"),
        ("recordings/evening.vtt", "file-unknown"),
        ("workshop.yaml.d/x", "file-unknown"),
        ("hazard.yaml", "file-unknown"),
        ("parts/Winder tyre.yaml", "name-wrong"),
        ("parts/winder--tyre.yaml", "name-wrong"),
        ("parts/" + "a" * 65 + ".yaml", "name-wrong"),
        ("notes/tyre.md", "name-wrong"),
    ],
)
def test_strangers(root: Path, name: str, code: str) -> None:
    text = {"md": NOTE, "vtt": "WEBVTT\n"}.get(name.rpartition(".")[2], "name: x\n")
    write(root, name, text)
    expected = "notes/more" if "more" in name else name.removesuffix("/x")
    assert found(root) == [(expected, code)]


def test_a_file_that_is_too_large_is_not_read(root: Path) -> None:
    path = write(root, "notes/0001-a.md", NOTE)
    with path.open("r+b") as file:
        file.truncate(50 * NOTE_LIMIT)  # a sparse file: nothing of it is on the disk
    assert found(root) == [("notes/0001-a.md", "file-too-large")]
    assert load_tree(root).tree.holds("note", 1)


def test_names_that_differ_in_capitals_only(root: Path) -> None:
    write(root, "photos/tyre.jpg", picture("JPEG"))
    write(root, "photos/Tyre.jpg", picture("JPEG"))
    names = list((root / "content" / "photos").iterdir())
    expected = [("photos/tyre.jpg", "name-collides")] if len(names) == 2 else []
    assert found(root) == expected


def test_links_out_of_the_tree_are_not_followed(
    root: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    outside = tmp_path_factory.mktemp("outside")
    (outside / "0001-a.md").write_text(NOTE, encoding="utf-8")
    (outside / "tyre.jpg").write_bytes(picture("JPEG"))
    (root / "content" / "notes").symlink_to(outside)
    photos = root / "content" / "photos"
    photos.mkdir()
    (photos / "tyre.jpg").symlink_to(outside / "tyre.jpg")
    (photos / "gone.jpg").symlink_to(outside / "gone.jpg")
    loaded = load_tree(root)
    assert found(root) == [
        ("notes", "link-outside"),
        ("photos/gone.jpg", "link-outside"),
        ("photos/tyre.jpg", "link-outside"),
    ]
    assert dict(loaded.tree.notes) == {}
    assert loaded.tree.photos == ()


def test_links_inside_the_tree_are_followed_and_broken_ones_reported(root: Path) -> None:
    write(root, "photos/tyre.jpg", picture("JPEG"))
    photos = root / "content" / "photos"
    (photos / "again.jpg").symlink_to("tyre.jpg")
    (photos / "lost.jpg").symlink_to("nothing.jpg")
    (photos / "round.jpg").symlink_to("round.jpg")
    loaded = load_tree(root)
    assert loaded.tree.photos == ("again.jpg", "tyre.jpg")
    assert found(root) == [
        ("photos/lost.jpg", "file-unreadable"),
        ("photos/round.jpg", "file-unreadable"),
    ]


def test_a_pipe_is_reported_and_not_waited_for(root: Path) -> None:
    write(root, "notes/0001-a.md", NOTE)
    os.mkfifo(root / "content" / "notes" / "0002-b.md")
    assert found(root) == [("notes/0002-b.md", "file-unreadable")]


def test_a_file_that_cannot_be_opened_is_a_finding(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = write(root, "notes/0001-a.md", NOTE)
    opened = Path.open

    def refusing(self: Path, *arguments: str, **named: str) -> object:
        if self == path:
            raise PermissionError(13, "Permission denied")
        return opened(self, *arguments, **named)  # type: ignore[call-overload]

    monkeypatch.setattr(Path, "open", refusing)
    assert found(root) == [("notes/0001-a.md", "file-unreadable")]
    assert "Permission denied" in load_tree(root).findings[0].message


def test_the_order_of_the_disk_changes_nothing(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for number in (3, 1, 2):
        write(root, f"notes/000{number}-a.md", NOTE.replace("Mend it.", f"M{number}: x"))
    plain = load_tree(root)
    scandir = os.scandir

    class Backwards:
        def __init__(self, path: Path) -> None:
            with scandir(path) as scan:
                self.entries = sorted(scan, key=lambda entry: entry.name, reverse=True)

        def __enter__(self) -> list[os.DirEntry[str]]:
            return self.entries

        def __exit__(self, *_: object) -> None:
            return None

    monkeypatch.setattr(os, "scandir", Backwards)
    again = load_tree(root)
    assert again.findings == plain.findings
    assert list(again.tree.notes) == list(plain.tree.notes)


def test_the_root_is_found_from_below(root: Path) -> None:
    below = root / "content" / "notes"
    below.mkdir()
    assert find_root(below) == root.resolve()
    assert find_root(root) == root.resolve()


def test_no_tree(tmp_path: Path) -> None:
    with pytest.raises(TreeMissing, match=r"no content/workshop\.yaml"):
        find_root(tmp_path)
    with pytest.raises(TreeMissing):
        load_tree(tmp_path)


def test_nothing_is_written(root: Path) -> None:
    write(root, "notes/0001-a.md", NOTE)
    before = [(path, stat.S_IFMT(path.stat().st_mode)) for path in sorted(root.rglob("*"))]
    load_tree(root)
    assert [(p, stat.S_IFMT(p.stat().st_mode)) for p in sorted(root.rglob("*"))] == before


def test_the_house_threads_alone(root: Path) -> None:
    assert load_house_threads(root) == NO_HOUSE
    write(root, "threads.yaml", "- {thread: 3/8-22 house, where: a, basis: quoted, source: b}\n")
    assert load_house_threads(root) == HouseThreads.of(["3/8-22 house"])
    write(root, "threads.yaml", "- {thread: 3/8-22 house}\n")
    assert load_house_threads(root) == NO_HOUSE


def test_what_rests_on_all_files_needs_every_one_of_them(root: Path) -> None:
    write(root, "notes/0001-a.md", NOTE)
    assert load_whole_tree(root) == load_tree(root)
    (root / "content" / "notes" / "0002-b.md").symlink_to(root / "content" / "notes" / "gone.md")
    assert ("notes/0002-b.md", "file-unreadable") in found(root)
    with pytest.raises(OSError, match="cannot be read") as refused:
        load_whole_tree(root)
    assert str(refused.value.filename).endswith("0002-b.md")
