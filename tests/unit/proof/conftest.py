from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from kbgen.proof import Proofs

BASE = Path(__file__).parents[2] / "cases" / "base"
NOTE = "content/notes/0001-winder-tyre-slips.md"


@pytest.fixture
def root(tmp_path: Path) -> Path:
    shutil.copytree(BASE, tmp_path / "tree")
    return tmp_path / "tree"


@pytest.fixture
def proofs(root: Path) -> Proofs:
    found = Proofs(root)
    found.renew()
    return found
