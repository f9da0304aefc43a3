"""The demonstration, loaded and checked once for the tests of this room."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from kbgen.checks import Checked, check
from kbgen.content import load_tree
from kbgen.desk import Matcher
from kbgen.search import open_bench

if TYPE_CHECKING:
    from pytest import TempPathFactory

ROOT = Path(__file__).parents[3]
sys.path.insert(0, str(Path(__file__).parent))


@pytest.fixture(scope="session")
def demonstration() -> Checked:
    """The workshop of the demonstration, checked."""
    return check(load_tree(ROOT))


@pytest.fixture(scope="session")
def matcher(demonstration: Checked, tmp_path_factory: TempPathFactory) -> Matcher:
    """A matcher whose index stands in a folder of its own."""
    return Matcher(demonstration, open_bench(tmp_path_factory.mktemp("bench"), demonstration))
