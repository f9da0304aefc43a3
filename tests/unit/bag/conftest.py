from __future__ import annotations

import datetime
import shutil
from pathlib import Path

import pytest

from kbgen.bag import pack
from kbgen.build import checked_tree

BASE = Path(__file__).parents[2] / "cases" / "base"
DAY = datetime.date(2026, 3, 4)


@pytest.fixture(scope="session")
def packed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A bag of the small tree of the cases."""
    root = tmp_path_factory.mktemp("packed") / "tree"
    shutil.copytree(BASE, root)
    bag = root.parent / "bag"
    pack(root, checked_tree(root), bag, DAY)
    return bag


@pytest.fixture
def bag(packed: Path, tmp_path: Path) -> Path:
    """A copy of that bag, to be spoilt."""
    shutil.copytree(packed, tmp_path / "bag")
    return tmp_path / "bag"


@pytest.fixture
def root(tmp_path: Path) -> Path:
    shutil.copytree(BASE, tmp_path / "tree")
    return tmp_path / "tree"
