"""A kill in the middle of the questions: what was answered is there at the next start."""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

BASE = Path(__file__).parents[1] / "cases" / "base"
HOUSE = Path(__file__).parents[2]
ANSWERS = ("Winder stalls", "It stalls", "", "halverin-h", "winder")


def jot(root: Path, *words: str) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-m", "kbgen", "jot", "--tree", str(root), "--day", "2026-03-04", *words],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        cwd=HOUSE,
        env=os.environ | {"PYTHONUNBUFFERED": "1"},
    )


def kept(root: Path) -> dict[str, object]:
    """Return the answers that are kept, once there are any; each file of them is whole."""
    until = time.monotonic() + 30
    while time.monotonic() < until:
        found = list((root / ".kbgen" / "jot").glob("*.json"))
        if found:
            answers: dict[str, object] = json.loads(found[0].read_bytes())
            if "headings" in answers:
                return answers
        time.sleep(0.02)
    raise AssertionError("nothing was kept")


@pytest.mark.parametrize("how", [signal.SIGKILL, signal.SIGINT, signal.SIGTERM])
def test_what_was_answered_is_kept(tmp_path: Path, how: signal.Signals) -> None:
    root = tmp_path / "tree"
    shutil.copytree(BASE, root)
    before = sorted(path.name for path in (root / "content" / "notes").iterdir())
    running = jot(root)
    assert running.stdin
    running.stdin.write("\n".join(ANSWERS) + "\n")
    running.stdin.flush()
    answers = kept(root)
    running.send_signal(how)
    out, _ = running.communicate(timeout=30)
    assert running.returncode != 0
    assert "Traceback" not in out
    assert answers == {
        "title": "Winder stalls", "symptom": ["It stalls"],
        "families": ["halverin-h"], "headings": ["winder"],
    }  # fmt: skip
    assert sorted(path.name for path in (root / "content" / "notes").iterdir()) == before
    again = jot(root, "--carry-on")
    out, _ = again.communicate("\n" * 14, timeout=60)
    assert again.returncode == 0, out
    note = root / "content" / "notes" / "0002-winder-stalls.md"
    assert "headings: [winder]" in note.read_text(encoding="utf-8")
    assert not (root / ".kbgen" / "jot").exists()
