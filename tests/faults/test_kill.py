"""A build killed at random moments leaves the old site or the new one, whole.

Two versions of one tree, which differ on every page, are built in turn. Half of the
kills are spread over the time that a build takes; of the others one half strikes
shortly after the new site is whole, while it is flushed and exchanged, the other half
within milliseconds of the exchange, while the old one is removed. The seed is printed;
``KBGEN_SEED`` repeats a run, ``KBGEN_KILLS`` makes it longer.
"""

from __future__ import annotations

import hashlib
import os
import random
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

HOUSE = Path(__file__).parents[2]
SMALL = HOUSE / "tests" / "golden" / "tree"
KILLS = int(os.environ.get("KBGEN_KILLS", "20"))


def start(root: Path) -> subprocess.Popen[str]:
    """Start the build as a person does."""
    words = [sys.executable, "-m", "kbgen", "build", "--tree", str(root)]
    return subprocess.Popen(
        words,
        cwd=HOUSE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONDONTWRITEBYTECODE": "1"},
    )


def finish(root: Path) -> None:
    """Build to the end."""
    ran = start(root)
    said = ran.communicate(timeout=120)
    assert ran.returncode == 0, said


def digest(root: Path) -> str:
    """Return what stands for every name and byte of the site, dotfiles included."""
    found = hashlib.sha256()
    site = root / "site"
    for path in sorted(site.rglob("*")):
        name = path.relative_to(site).as_posix()
        data = path.read_bytes() if path.is_file() else b"a folder"
        found.update(f"{name}\0{len(data)}\0".encode())
        found.update(data)
    return found.hexdigest()


def write_version(root: Path, version: str) -> None:
    """Make the content one of the two versions: the name stands on every page."""
    workshop = root / "content" / "workshop.yaml"
    text = (SMALL / "content" / "workshop.yaml").read_text(encoding="utf-8")
    text = text.replace("Larch Row Bench", f"Larch Row Bench {version}")
    workshop.write_text(text, encoding="utf-8")


@pytest.fixture
def root(tmp_path: Path) -> Path:
    root = tmp_path / "tree"
    shutil.copytree(SMALL, root)
    (root / "site").mkdir()
    (root / "site" / ".gitignore").write_text("*\n!.gitignore\n", encoding="utf-8")
    return root


def wait(root: Path, ran: subprocess.Popen[str], kill: int, dice: random.Random) -> None:
    """Wait until shortly before or after the two sites change places."""
    if kill % 4 == 1:
        mark = root / ".site.kbgen" / "new" / ".kbgen-site"
        while ran.poll() is None and not mark.exists():
            time.sleep(0.0001)
        time.sleep(dice.uniform(0, 0.03))
    else:
        before = (root / "site").stat().st_ino
        while ran.poll() is None and (root / "site").stat().st_ino == before:
            time.sleep(0.0001)
        time.sleep(dice.uniform(0, 0.004))


def test_a_killed_build_leaves_one_whole_site(root: Path) -> None:
    seed = int(os.environ.get("KBGEN_SEED", random.SystemRandom().randrange(10**6)))
    print(f"KBGEN_SEED={seed}")
    dice = random.Random(seed)
    known: dict[str, str] = {}
    duration_s = 0.0
    for version in ("one", "two", "one"):
        write_version(root, version)
        began = time.monotonic()
        finish(root)
        duration_s = time.monotonic() - began
        assert known.setdefault(version, digest(root)) == digest(root)
    assert known["one"] != known["two"]

    stands, killed, outcomes = "one", 0, []
    for kill in range(KILLS):
        coming = "two" if stands == "one" else "one"
        write_version(root, coming)
        ran = start(root)
        if kill % 2:
            wait(root, ran, kill, dice)
        else:
            time.sleep(dice.uniform(0, duration_s))
        ran.send_signal(signal.SIGKILL)
        ran.communicate(timeout=120)
        killed += ran.returncode == -signal.SIGKILL
        found = {known[stands]: "old", known[coming]: "new"}.get(digest(root), "mixed")
        assert found != "mixed", f"kill {kill} of seed {seed} left a mixed site"
        outcomes.append(found)
        finish(root)
        assert digest(root) == known[coming], f"the build after kill {kill} of seed {seed}"
        left = {path.name for path in root.iterdir()} - {"content", "site", ".kbgen"}
        assert not left, f"kill {kill} of seed {seed} left {left}"
        stands = coming
    print(f"{killed} of {KILLS} killed in time; left: {' '.join(outcomes)}")
    assert killed >= KILLS / 2
    assert set(outcomes) == {"old", "new"}
