from __future__ import annotations

import shutil
from pathlib import Path

import pytest

BASE = Path(__file__).parents[2] / "cases" / "base"


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """The small tree of the cases: one note, one family, one part, one recording."""
    shutil.copytree(BASE, tmp_path / "tree")
    return tmp_path / "tree"
