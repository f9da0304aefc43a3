"""The files that the page loads."""

from __future__ import annotations

import hashlib
import json
import os
import re
import subprocess
import sys
from pathlib import Path

from shelves import NOTES, SHELF, note

from kbgen.search import Shelf
from kbgen.search.shelf_files import shelf_files

CALL = re.compile(r'kbgenFind\("([a-z0-9-]+)",(.*)\)\n', re.DOTALL)


def test_every_file_hands_its_piece_to_the_callback() -> None:
    names = set()
    for path, data in shelf_files(SHELF).items():
        assert path.startswith("find/")
        text = data.decode("ascii")
        for line in text.splitlines(keepends=True):
            match = CALL.fullmatch(line)
            assert match
            json.loads(match[2])
            names.add(match[1])
    assert {"base", "grammar", "ffamily", "w-", "t-", "p0", "n0"} <= names


def test_the_bundles_hold_every_piece_again() -> None:
    files = shelf_files(SHELF)
    bundles = b"".join(data for path, data in files.items() if path.startswith("find/all"))
    pieces = [
        d for p, d in files.items() if re.fullmatch(r"find/([wtq]-[a-z0-9-]*|[pn]\d+)\.js", p)
    ]
    assert bundles == b"".join(pieces)


def test_notes_in_any_order_give_the_same_bytes() -> None:
    assert shelf_files(Shelf.of(reversed(NOTES))) == shelf_files(Shelf.of(NOTES))


def test_the_hash_seed_changes_nothing() -> None:
    script = (
        "import sys, hashlib; sys.path.insert(0, sys.argv[1]); from shelves import SHELF\n"
        "from kbgen.search.shelf_files import shelf_files\n"
        "print(hashlib.sha256(repr(shelf_files(SHELF)).encode()).hexdigest())"
    )
    here = str(Path(__file__).parent)
    said = {
        subprocess.run(
            [sys.executable, "-c", script, here],
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            text=True,
            check=True,
        ).stdout.strip()
        for seed in ("0", "1", "77")
    }
    ours = hashlib.sha256(repr(shelf_files(SHELF)).encode()).hexdigest()
    assert said == {ours}


def test_long_sentences_are_cut_after_a_word() -> None:
    long = note(1, "Title", "word " * 400, fix="do it " * 200)
    shown = shelf_files(Shelf.of([long]))["find/n0.js"]
    match = CALL.fullmatch(shown.decode("ascii"))
    assert match
    _, (title, fix, caution, families, *lines) = json.loads(match[2])
    assert (title, caution, families) == ("Title", "", "")
    assert fix.endswith((" do…", " it…"))
    assert len(fix) <= 300
    assert sum(map(len, lines)) + len(fix) <= 600


def test_an_empty_shelf_is_a_valid_index() -> None:
    assert shelf_files(Shelf.of([])).keys() >= {"find/base.js", "find/grammar.js"}
