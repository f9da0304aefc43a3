"""A bag holds everything but what is private, and gives the identical site again."""

from __future__ import annotations

import datetime
import json
import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import bagit
import jsonschema
import pytest

from kbgen.bag import BagRefused, check_bag, pack
from kbgen.build import build, checked_tree
from kbgen.cli import main

SHAPES = Path(__file__).parent / "shapes"
DAY = datetime.date(2026, 3, 4)


def files(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def of_shape(name: str, printed: str) -> dict[str, Any]:
    """Return what was printed, once it is held to its JSON Schema."""
    told: dict[str, Any] = json.loads(printed)
    jsonschema.validate(told, json.loads((SHAPES / f"{name}.schema.json").read_text("utf-8")))
    return told


def test_what_a_bag_holds(packed: Path) -> None:
    held = files(packed)
    assert held["bagit.txt"] == b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
    info = held["bag-info.txt"].decode()
    assert "Source-Organization: Larch Row Bench\n" in info
    assert "Bagging-Date: 2026-03-04\n" in info
    for path in (
        "data/READ-ME.txt",
        "data/content/workshop.yaml",
        "data/content/addresses.tsv",
        "data/content/notes/0001-winder-tyre-slips.md",
        "data/site/index.html",
        "data/site/n/0001.html",
        "data/schemas/note.json",
        "data/program/kbgen/__main__.py",
        "data/program/kbgen/templates/note.html",
        "data/program/libraries.txt",
        "data/program/LICENSE",
    ):
        assert path in held, path
    words = held["data/READ-ME.txt"].decode()
    assert "Open site/index.html in any browser" in words
    assert not any("__pycache__" in path or ".pyc" in path for path in held)
    assert "pydantic==" in held["data/program/libraries.txt"].decode()
    assert sorted(path.name for path in packed.iterdir()) == [
        "bag-info.txt", "bagit.txt", "data", "manifest-sha512.txt", "tagmanifest-sha512.txt",
    ]  # fmt: skip
    assert sorted(path.name for path in packed.parent.iterdir()) == ["bag", "tree"]


def test_the_tree_is_left_as_it_was(root: Path, tmp_path: Path) -> None:
    before = files(root)
    pack(root, checked_tree(root), tmp_path / "bag", DAY)
    assert files(root) == before
    assert not (root / ".kbgen").exists()


def test_the_site_in_it_is_the_site_that_a_build_publishes(root: Path, tmp_path: Path) -> None:
    pack(root, checked_tree(root), tmp_path / "bag", DAY)
    built = build(root)
    assert built.published
    assert files(tmp_path / "bag" / "data" / "site") == files(root / "site")


def test_elsewhere_and_for_somebody_else_it_becomes_the_identical_site(
    packed: Path, tmp_path: Path
) -> None:
    """Another folder, an umask that leaves nothing to others, the program out of the bag."""
    opened = tmp_path / "where else" / "½ bag"
    shutil.copytree(packed / "data", opened)
    for path in opened.rglob("*"):
        path.chmod(0o700 if path.is_dir() else 0o400)
    again = tmp_path / "site again"
    ran = subprocess.run(
        [
            sys.executable, "-P", "-B", "-c",
            "import os, sys; os.umask(0o077); from kbgen.cli import main; sys.exit(main())",
            "build", "--tree", str(opened), "--into", str(again),
        ],
        cwd=tmp_path,
        env={"PYTHONPATH": str(opened / "program"), "LC_ALL": "C", "PYTHONHASHSEED": "7"},
        capture_output=True,
        text=True,
        check=False,
    )  # fmt: skip
    assert (ran.returncode, ran.stderr) == (0, "0 errors, 0 warnings, 0 pieces of advice\n")
    assert files(again) == files(packed / "data" / "site")


def test_two_bags_of_one_tree_are_the_same_bytes(root: Path, tmp_path: Path) -> None:
    checked = checked_tree(root)
    pack(root, checked, tmp_path / "bag", DAY)
    pack(root, checked, tmp_path / "again", DAY)
    pack(root, checked, tmp_path / "later", DAY + datetime.timedelta(days=1))
    first, again, later = (files(tmp_path / name) for name in ("bag", "again", "later"))
    assert again == first
    differ = sorted(path for path in first if later[path] != first[path])
    assert differ == ["bag-info.txt", "tagmanifest-sha512.txt"]


def test_what_is_private_stays_behind(root: Path, tmp_path: Path) -> None:
    (root / "private").mkdir()
    (root / "letters.csv").write_text("name,address\n", encoding="utf-8")
    (root / "private" / "letter.txt").write_text("Hazel Brook, 3 Mill Lane", encoding="utf-8")
    (root / ".kbgen" / "jot").mkdir(parents=True)
    (root / ".kbgen" / "jot" / "a.json").write_text("{}", encoding="utf-8")
    notes = root / "content" / "notes"
    (notes / ".0001-winder-tyre-slips.md.swp").write_bytes(b"x")
    (notes / "0001-winder-tyre-slips.md~").write_bytes(b"x")
    (notes / "letter.txt").write_bytes(b"x")
    (root / "content" / "photos").mkdir(exist_ok=True)
    (root / "content" / "photos" / "out.jpg").symlink_to(root / "private" / "letter.txt")
    pack(root, checked_tree(root), tmp_path / "bag", DAY)
    held = files(tmp_path / "bag")
    assert not any(path.endswith("/a.json") for path in held)
    own = [path for path in held if not path.startswith("data/program/")]
    assert not any(
        word in path for path in own for word in ("letter", "private", ".swp", "~", "/out.")
    )
    assert not any(b"Mill Lane" in data for data in held.values())


def test_a_tree_with_errors_is_not_handed_on(
    root: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    note = root / "content" / "notes" / "0001-winder-tyre-slips.md"
    note.write_text(note.read_text(encoding="utf-8") + "Use M4x0.8.\n", encoding="utf-8")
    assert main(["bag", str(tmp_path / "bag"), "--tree", str(root)]) == 1
    assert "thread-in-no-series" in capsys.readouterr().err
    assert sorted(path.name for path in tmp_path.iterdir()) == ["tree"]


def test_a_bag_takes_the_place_of_a_bag_and_of_nothing_else(root: Path, tmp_path: Path) -> None:
    checked = checked_tree(root)
    bag = tmp_path / "bag"
    bag.mkdir()
    pack(root, checked, bag, DAY)
    (bag / "data" / "extra.txt").touch()
    pack(root, checked, bag, DAY)
    assert check_bag(bag) == []
    other = tmp_path / "other"
    other.mkdir()
    (other / "letter.txt").write_text("mine", encoding="utf-8")
    foreign = tmp_path / "foreign"
    foreign.mkdir()
    (foreign / "x").write_bytes(b"x")
    bagit.make_bag(str(foreign))
    (tmp_path / "link").symlink_to(bag)
    (tmp_path / "file").touch()
    wrong = (other, foreign, tmp_path / "link", tmp_path / "file", root, root.parent)
    for place in (*wrong, root / "content" / "bag", root / "site"):
        before = files(tmp_path)
        with pytest.raises(BagRefused):
            pack(root, checked, place, DAY)
        assert files(tmp_path) == before


def test_the_command_makes_and_verifies(
    root: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    bag = tmp_path / "bag"
    assert main(["bag", str(bag), "--tree", str(root), "--day", "2026-03-04"]) == 0
    assert "Begin with data/READ-ME.txt" in capsys.readouterr().out
    assert main(["bag", "--verify", str(bag)]) == 0
    assert capsys.readouterr().out == "The bag is whole: every file is there, and is what it was.\n"
    (bag / "data" / "site" / "index.html").unlink()
    assert main(["bag", "--verify", str(bag), "--json"]) == 1
    told = of_shape("verify", capsys.readouterr().out)
    assert told["whole"] is False
    assert {"path": "data/site/index.html", "what": "it is missing"} in told["slips"]
    assert main(["bag", str(bag), "--tree", str(root), "--day", "2026-03-04", "--json"]) == 0
    assert of_shape("bag", capsys.readouterr().out)["bag"] == str(bag)
    assert main(["bag", "--verify", str(bag), "--json"]) == 0
    whole = {"bag": str(bag), "whole": True, "slips": []}
    assert of_shape("verify", capsys.readouterr().out) == whole
    (bag / "data" / "site" / "index.html").unlink()
    assert main(["bag", "--verify", str(bag)]) == 1
    shown = capsys.readouterr().out
    assert "data/site/index.html: it is missing\n" in shown
    assert shown.endswith("The bag is not whole: 2 things are wrong.\n")
    assert main(["bag", "--verify", str(tmp_path / "nothing")]) == 2
    assert main(["bag", str(root), "--tree", str(root)]) == 2


def test_a_name_that_is_no_utf_8_is_refused(root: Path, tmp_path: Path) -> None:
    folder = root / "content" / "photos"
    folder.mkdir(exist_ok=True)
    name = os.fsdecode(b"caf\xe9.jpg")
    (folder / name).touch()
    with pytest.raises(BagRefused, match="no UTF-8"):
        pack(root, checked_tree(root), tmp_path / "bag", DAY)
    assert not (tmp_path / "bag").exists()
