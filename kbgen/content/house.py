"""The house threads of a tree, for commands at the bench that need nothing else of it."""

from __future__ import annotations

from pathlib import Path

from kbgen.content.decode import YAML_LIMIT
from kbgen.content.plain_yaml import read_yaml
from kbgen.units import HouseThreads

__all__ = ["load_house_threads"]

SAYS = ("thread", "where", "basis", "source")


def load_house_threads(root: Path) -> HouseThreads:
    """Return the house threads that a tree declares; reads ``threads.yaml`` and nothing else.

    Shape: a file that is broken, missing or not shaped as it should be declares
    none; its findings are for ``load_tree`` to report. The models are not asked,
    so that a command at the bench does not wait for them.
    """
    path = root / "content" / "threads.yaml"
    try:
        data = path.read_bytes() if path.stat().st_size <= YAML_LIMIT else b""
        reading = read_yaml(data.decode("utf-8-sig"))
    except (OSError, UnicodeDecodeError):
        return HouseThreads.of(())
    rows = reading.data if isinstance(reading.data, list) else []
    if reading.slips or not all(_is_row(row) for row in rows):
        return HouseThreads.of(())
    return HouseThreads.of(row["thread"] for row in rows)


def _is_row(row: object) -> bool:
    return isinstance(row, dict) and all(isinstance(row.get(key), str) for key in SAYS)
