"""What was said of a note that is not finished, safe from the first answer on."""

from __future__ import annotations

import contextlib
import json
import secrets
from pathlib import Path

from kbgen.disk import replace_file
from kbgen.jot.answers import Answers

__all__ = ["Kept"]


class Kept:
    """The answers of one session, in a file of its own beside the tree."""

    def __init__(self, root: Path, name: str = "") -> None:
        self._folder = root / ".kbgen" / "jot"
        self._path = self._folder / f"{name or secrets.token_hex(6)}.json"

    @staticmethod
    def unfinished(root: Path) -> list[tuple[Kept, Answers]]:
        """Return what earlier sessions left, the latest first; what cannot be read is passed over.

        Raises: OSError where the folder is there and the machine does not give it.
        """
        folder = root / ".kbgen" / "jot"
        if not folder.is_dir():
            return []
        paths = sorted(folder.glob("*.json"), key=lambda path: path.stat().st_mtime_ns)
        found = []
        for path in reversed(paths):
            with contextlib.suppress(OSError, ValueError):
                answers = json.loads(path.read_bytes())
                if isinstance(answers, dict) and answers:
                    found.append((Kept(root, path.stem), answers))
        return found

    def save(self, answers: Answers) -> None:
        """Keep the answers as they are now, in one step. Raises: OSError."""
        self._folder.mkdir(parents=True, exist_ok=True)
        data = json.dumps(answers, ensure_ascii=False, indent=1).encode("utf-8", "replace")
        replace_file(self._path, data, self._path.with_suffix(".new"))

    def drop(self) -> None:
        """Forget the answers: the note is written, or they are not wanted."""
        for path in (self._path, self._path.with_suffix(".new")):
            path.unlink(missing_ok=True)
        for folder in (self._folder, self._folder.parent):
            with contextlib.suppress(OSError):
                folder.rmdir()
