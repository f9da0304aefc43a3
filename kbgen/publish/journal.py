"""What a build is about to publish, written down before the folders are exchanged.

The ledger goes out after the site. A build killed between the two leaves pages whose
addresses the ledger does not know; the journal keeps them until they are in it.
"""

from __future__ import annotations

import contextlib
import json
from pathlib import Path

from kbgen.disk import replace_file
from kbgen.publish.folder import mark_digest

__all__ = ["forget", "note_down", "pending"]


def note_down(working: Path, site: Path, mark: str, ledger: bytes) -> None:
    """Write the journal. Shape: ``mark`` is the digest of the new site's mark."""
    record = {"site": _named(working, site), "mark": mark, "ledger": ledger.decode()}
    data = json.dumps(record, ensure_ascii=False, indent=1).encode()
    replace_file(working / "publishing.json", data, working / "publishing.new")


def pending(working: Path) -> bytes | None:
    """Return the ledger of a site that went out without it, or None.

    Nothing is pending where the journal is missing, is no whole journal, or names a
    site that is not the one at that place: then the exchange never happened.
    """
    try:
        record = json.loads((working / "publishing.json").read_bytes())
        site, mark, ledger = record["site"], record["mark"], record["ledger"]
        if mark_digest(working.parent / site) == mark:
            return str(ledger).encode()
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        pass
    return None


def forget(working: Path) -> None:
    """Remove the journal, and the working folder with it if nothing else is in it."""
    for name in ("publishing.json", "publishing.new"):
        with contextlib.suppress(OSError):
            (working / name).unlink()
    with contextlib.suppress(OSError):
        working.rmdir()


def _named(working: Path, site: Path) -> str:
    """Return the site's place, relative to the tree where it lies in it."""
    tree = working.parent
    return site.relative_to(tree).as_posix() if site.is_relative_to(tree) else str(site)
