"""The small tree beside this file becomes exactly the site that is kept beside it."""

from __future__ import annotations

import difflib
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from renew import AS_THEY_ARE, EXPECTED, LEDGER, TREE, built_site

TEMPLATES = Path(__file__).parents[2] / "templates"


def files_of(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and not path.name.startswith(".")
    }


@pytest.fixture(scope="module")
def root(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return built_site(tmp_path_factory.mktemp("golden"))


def difference(name: str, expected: bytes, found: bytes) -> str:
    """Return the first lines in which two files differ."""
    old, new = (data.decode("utf-8", "replace").splitlines() for data in (expected, found))
    lines = difflib.unified_diff(old, new, f"expected/{name}", f"built/{name}", lineterm="", n=1)
    return "\n".join(line[:300] for _, line in zip(range(20), lines, strict=False))


def test_the_site_is_the_expected_one_byte_for_byte(root: Path) -> None:
    expected, found = files_of(EXPECTED), files_of(root / "site")
    for folder in AS_THEY_ARE:
        kept = files_of(TEMPLATES / folder)
        expected |= {f"{folder}/{name}": data for name, data in kept.items()}
    assert sorted(found) == sorted(expected)
    changed = [
        difference(name, expected[name], found[name])
        for name in expected
        if expected[name] != found[name]
    ]
    assert not changed, "\n".join(
        [*changed[:5], f"{len(changed)} files differ; if they are meant to: tests/golden/renew.py"]
    )


def test_the_ledger_is_the_expected_one(root: Path) -> None:
    assert (root / LEDGER).read_bytes() == (TREE / LEDGER).read_bytes()


def test_the_small_tree_shows_every_kind_of_page(root: Path) -> None:
    kinds = {path.partition("/")[0] for path in files_of(root / "site") if "/" in path}
    assert {"n", "m", "p", "t", "r", "s", "find"} <= kinds
