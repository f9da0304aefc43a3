"""A small tree to take questions into, and what the tests of intake share."""

from __future__ import annotations

import datetime
import shutil
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from kbgen.content.models import CameBy, CommentColumns
from kbgen.desk.intake import Askers, Incoming, Report, messages_in, take_in

sys.path.insert(0, str(Path(__file__).parent))

BASE = Path(__file__).parents[3] / "cases" / "base"
DAY = datetime.date(2026, 11, 25)
COLUMNS = CommentColumns(
    words="comment", name="author", date="written", about="film", key="id", parent="reply_to"
)


@pytest.fixture
def tree(tmp_path: Path) -> Path:
    """A copy of the small tree of the cases."""
    root = tmp_path / "tree"
    shutil.copytree(BASE, root)
    return root


@pytest.fixture
def read() -> Callable[..., list[Incoming]]:
    """Read messages from bytes under a name."""

    def messages(name: str, data: bytes, came_by: CameBy = CameBy.LETTER) -> list[Incoming]:
        return list(messages_in(name, data, COLUMNS, came_by))

    return messages


@pytest.fixture
def take(tree: Path, read: Callable[..., list[Incoming]]) -> Callable[..., Report]:
    """Take bytes under a name into the tree."""

    def taken(name: str, data: bytes, askers: Askers | None = None) -> Report:
        return take_in(tree, read(name, data), DAY, askers)

    return taken
