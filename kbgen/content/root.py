"""Where a content tree begins: asked by every command, so nothing heavy is loaded here."""

from __future__ import annotations

from pathlib import Path

__all__ = ["LEDGER_PATH", "TreeMissing", "find_root"]

LEDGER_PATH = "content/addresses.tsv"
"""The ledger of every address ever published: the one content file that builds write."""


class TreeMissing(OSError):
    """There is no content tree here: no ``content/workshop.yaml``."""


def find_root(start: Path) -> Path:
    """Return the nearest folder from ``start`` upwards with ``content/workshop.yaml``.

    Raises: TreeMissing where there is none.
    """
    start = start.resolve()
    for folder in (start, *start.parents):
        if (folder / "content" / "workshop.yaml").is_file():
            return folder
    raise TreeMissing(f"no content/workshop.yaml in {start} or above it")
