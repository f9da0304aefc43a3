"""What a long file costs grows with its length and not with the square of it."""

from __future__ import annotations

import shutil
import time
from pathlib import Path

import pytest

from kbgen.checks import check
from kbgen.content import load_tree

BASE = Path(__file__).resolve().parents[2] / "cases" / "base"
NOTE = "content/notes/0001-winder-tyre-slips.md"
PART = "content/parts/winder-tyre.yaml"
FILM = "content/recordings/winder-evening.vtt"

# (file, what is put at its end, what is then put there over and over)
LONG = [
    pytest.param(NOTE, "\n", "the M4x0.8 screw and\n", id="one paragraph"),
    pytest.param(NOTE, "\n", "[the](note:9) *and* ", id="one line of dead links"),
    pytest.param(PART, "remarks: >\n", "  the M4x0.8 screw and\n", id="a folded text"),
    pytest.param(PART, 'remarks: "', "the M4x0.8 screw and ", id="a quoted text"),
    pytest.param(PART, "also_called:\n", "  - the M4x0.8 screw\n", id="a list"),
    pytest.param(PART, "also_called:\n", "  -\n", id="a list of nothing"),
    pytest.param(
        FILM, "WEBVTT\n\n00:01.000 --> 00:09.000\n", "an M4x0.8 <b>screw</b>\n", id="one caption"
    ),
]


def seconds(root: Path, path: str, start: str, again: str, times: int) -> float:
    """Return how long a tree takes that is checked whole, the better of two tries."""
    shutil.copytree(BASE, root)
    file = root / path
    before = file.read_text(encoding="utf-8") if file.exists() else ""
    end = '"\n' if start.endswith('"') else ""
    file.write_text(before + start + again * times + end, encoding="utf-8")
    tries = []
    for _ in range(2):
        began = time.process_time()
        found = check(load_tree(root)).findings
        tries.append(time.process_time() - began)
        assert len(found) >= times
    return min(tries)


@pytest.mark.parametrize(("path", "start", "again"), LONG)
def test_eight_times_the_text(tmp_path: Path, path: str, start: str, again: str) -> None:
    short = seconds(tmp_path / "short", path, start, again, 250)
    long = seconds(tmp_path / "long", path, start, again, 2000)
    assert long < 24 * short, "eight times as much text takes far more than eight times as long"
