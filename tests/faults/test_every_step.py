"""A kill, or a full disk, at every single step of publishing leaves one whole site."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from fault_driver import files_of

DRIVER = Path(__file__).with_name("fault_driver.py")
HOUSE = DRIVER.parents[2]


def drive(
    root: Path, version: str, kind: str = "none", at: int = 0, how: str = "publish"
) -> tuple[int, str]:
    """Publish in a process of its own; return its exit code and what it said."""
    words = [sys.executable, str(DRIVER), how, str(root), version, kind, str(at)]
    ran = subprocess.run(
        words,
        capture_output=True,
        text=True,
        check=False,
        cwd=HOUSE,
        env={"PYTHONPATH": str(HOUSE)},
    )
    assert "Traceback" not in ran.stderr
    return ran.returncode, ran.stdout


def whole(root: Path) -> dict[str, bytes]:
    site = root / "site"
    return {
        path.relative_to(site).as_posix(): path.read_bytes()
        for path in sorted(site.rglob("*"))
        if path.is_file() and not path.name.startswith(".")
    }


@pytest.fixture(scope="module")
def published(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = tmp_path_factory.mktemp("published") / "tree"
    (root / "content").mkdir(parents=True)
    assert drive(root, "old") == (0, "")
    return root


@pytest.fixture(scope="module")
def spared(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a tree with a site and the one before it, most of whose files are one and the same."""
    root = tmp_path_factory.mktemp("spared") / "tree"
    (root / "content").mkdir(parents=True)
    for version in ("old", "new", "old"):
        assert drive(root, version, how="spared") == (0, "")
    assert (root / ".site.kbgen" / "spare" / "n" / "0001.html").stat().st_nlink == 2
    return root


def copied(root: Path, place: Path) -> None:
    """Copy a tree, with the files that have two names."""
    subprocess.run(["cp", "-a", str(root), str(place)], check=True)


@pytest.mark.parametrize("how", ["publish", "renames", "spared"])
@pytest.mark.parametrize("kind", ["kill", "full"])
def test_the_site_is_the_old_or_the_new_at_every_step(
    published: Path, spared: Path, tmp_path: Path, kind: str, how: str
) -> None:
    """Two renames have one moment between them at which a kill leaves no site.

    It is away then until the next build starts, and comes back whole.
    """
    counted = tmp_path / "counted"
    begun = spared if how == "spared" else published
    copied(begun, counted)
    steps = int(drive(counted, "new", "count", 0, how)[1].split()[-1])
    assert steps > 20
    seen = set()
    for at in range(1, steps + 1):
        root = tmp_path / f"{at}"
        copied(begun, root)
        code, said = drive(root, "new", kind, at, how)
        if kind == "kill":
            assert code == -9
        else:
            assert code == 0 or (code == 2 and "could not be written" in said and "room" in said)
        found = whole(root)
        if how == "renames" and kind == "kill" and not found:
            seen.add("between")
            found = files_of("new")
        assert found in (files_of("old"), files_of("new")), f"mixed at step {at}"
        seen.add("old" if found == files_of("old") else "new")
        assert drive(root, "new", how=how) == (0, ""), f"the next build failed after step {at}"
        assert whole(root) == files_of("new")
        left = sorted(path.name for path in root.iterdir())
        beside = [".site.kbgen"] if how == "spared" else []
        assert left == [*beside, "content", "site"], f"left behind after step {at}: {left}"
        ledger = (root / "content" / "addresses.tsv").read_text(encoding="utf-8")
        assert "m/new.html\t" in ledger
        shutil.rmtree(root)
    assert seen == {"old", "new"} | ({"between"} if (how, kind) == ("renames", "kill") else set())
