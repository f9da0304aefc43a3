"""Ctrl-C while two processes work ends both at once, in one sentence, and changes nothing.

A terminal sends the signal to all processes of its foreground group alike (POSIX.1-2024,
11.1.9, Special Characters, INTR). It is sent here at several moments of the time that the
whole command takes; the tree is large enough for files to be read, pages to be made and
the index to be written in processes of their own, where the machine has two cores.
"""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "benchmarks"))

from trees import write_tree

HOUSE = Path(__file__).parents[2]

NOTES = 300
MOMENTS = (0.35, 0.6, 0.85)
SENTENCE = "kbgen: interrupted; what was published before still stands\n"
ENDS_WITHIN_S = 10.0


def start(root: Path, command: str) -> subprocess.Popen[str]:
    """Start a command as the leader of a group of its own, as a shell does."""
    return subprocess.Popen(
        [sys.executable, "-m", "kbgen", command, "--tree", str(root)],
        cwd=HOUSE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )


def files_of(site: Path) -> dict[Path, bytes]:
    """Return every file of a site with its bytes."""
    return {path: path.read_bytes() for path in sorted(site.rglob("*")) if path.is_file()}


def is_left(group: int) -> bool:
    """Return whether a process of the group is still there."""
    try:
        os.killpg(group, 0)
    except ProcessLookupError:
        return False
    return True


@pytest.fixture(scope="module")
def tree(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = tmp_path_factory.mktemp("interrupted") / "tree"
    write_tree(root, NOTES)
    ran = start(root, "build")
    said = ran.communicate(timeout=300)
    assert ran.returncode == 0, said
    return root


@pytest.fixture(scope="module")
def taken(tree: Path) -> dict[str, float]:
    """Return the seconds that each command takes where nothing was kept."""
    seconds = {}
    for command in ("inspect", "build"):
        shutil.rmtree(tree / ".kbgen")
        began = time.monotonic()
        start(tree, command).communicate(timeout=300)
        seconds[command] = time.monotonic() - began
        (tree / ".kbgen").mkdir(exist_ok=True)
    return seconds


@pytest.mark.parametrize("moment", MOMENTS)
@pytest.mark.parametrize("command", ["inspect", "build"])
def test_an_interrupt_ends_every_process(
    tree: Path, taken: dict[str, float], command: str, moment: float
) -> None:
    before = files_of(tree / "site")
    shutil.rmtree(tree / ".kbgen")
    (tree / ".kbgen").mkdir()
    process = start(tree, command)
    time.sleep(taken[command] * moment)
    done = process.poll() is not None
    if not done:
        os.killpg(process.pid, signal.SIGINT)
    said, complaint = process.communicate(timeout=ENDS_WITHIN_S)
    assert "Traceback" not in said + complaint
    if not done and process.returncode == 2:
        assert complaint == SENTENCE
    else:  # a busy machine was quicker this time
        assert process.returncode in (0, 1), complaint
    until = time.monotonic() + ENDS_WITHIN_S
    while is_left(process.pid) and time.monotonic() < until:
        time.sleep(0.05)
    assert not is_left(process.pid)
    assert files_of(tree / "site") == before
