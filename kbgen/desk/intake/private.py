"""The private file: who asked, for following up, outside the content and the site.

Shape: ``private/askers.jsonl`` beside ``content/``, one JSON object a question. Only its
owner can read it; the folder is kept out of version control by a ``.gitignore`` of its own.
"""

from __future__ import annotations

import json
import os
import subprocess
from collections.abc import Collection, Iterable
from dataclasses import asdict, dataclass
from pathlib import Path

from kbgen.disk import sync_folder

__all__ = ["ASKERS_PATH", "Asker", "Askers", "PrivateFileRefused", "load_askers"]

ASKERS_PATH = "private/askers.jsonl"

_IGNORE = "# Who asked is nobody else's business: nothing in this folder is kept in a history.\n*\n"


class PrivateFileRefused(ValueError):
    """A place where a private file would not stay private; the message says why."""


@dataclass(frozen=True, slots=True)
class Asker:
    """Who asked a question: its number, and how the asker can be reached."""

    question: int
    name: str = ""
    e_mail: str = ""
    telephones: tuple[str, ...] = ()
    addresses: tuple[str, ...] = ()

    @property
    def reachable(self) -> bool:
        """Whether anything is known beside the number."""
        return bool(self.name or self.e_mail or self.telephones or self.addresses)


def load_askers(path: Path) -> tuple[Asker, ...]:
    """Return who asked, in the order of the file; none where there is none.

    Shape: a line that was cut short, or that is no record, is passed over.
    Raises: OSError where the machine does not give the file.
    """
    try:
        lines = path.read_bytes().decode("utf-8", "replace").split("\n")
    except FileNotFoundError:
        return ()
    return tuple(asker for line in lines if (asker := _read(line)) is not None)


def _read(line: str) -> Asker | None:
    try:
        row = json.loads(line)
        return Asker(
            int(row["question"]),
            str(row.get("name", "")),
            str(row.get("e_mail", "")),
            tuple(map(str, row.get("telephones", ()))),
            tuple(map(str, row.get("addresses", ()))),
        )
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError):
        return None


class Askers:
    """The private file of a tree, opened for keeping and for forgetting."""

    def __init__(self, root: Path, path: Path | None = None) -> None:
        """Look at the place. Raises: PrivateFileRefused; OSError."""
        self.path = path or root / ASKERS_PATH
        _refuse_public(root, self.path)
        _refuse_tracked(self.path)
        self._known = {asker.question for asker in load_askers(self.path)}

    def __contains__(self, question: int) -> bool:
        return question in self._known

    def keep(self, asker: Asker) -> None:
        """Add who asked a question, brought to the disk before this returns. Raises: OSError."""
        if not asker.reachable or asker.question in self._known:
            return
        self._prepare()
        line = json.dumps(asdict(asker), ensure_ascii=False) + "\n"
        with os.fdopen(os.open(self.path, os.O_RDWR | os.O_CREAT, 0o600), "r+b") as file:
            size = file.seek(0, os.SEEK_END)
            if size and (file.seek(size - 1), file.read(1))[1] != b"\n":
                line = f"\n{line}"  # the line above was cut short by a machine that stopped
            file.write(line.encode())
            file.flush()
            os.fsync(file.fileno())
        self._known.add(asker.question)

    def forget(self, questions: Collection[int]) -> int:
        """Take out who asked some questions; return how many records went. Raises: OSError."""
        askers = load_askers(self.path)
        kept = [asker for asker in askers if asker.question not in questions]
        if len(kept) < len(askers):
            self._rewrite(kept)
            self._known -= set(questions)
        return len(askers) - len(kept)

    def _prepare(self) -> None:
        """Make the folder, closed to others, and keep it out of version control."""
        folder = self.path.parent
        if not folder.exists():
            folder.mkdir(mode=0o700, parents=True)
        ignore = folder / ".gitignore"
        if not ignore.exists() and _home_of_history(folder) is not None:
            ignore.write_text(_IGNORE, encoding="utf-8")
        if self.path.parent.name == "private":
            folder.chmod(0o700)
        if self.path.exists():
            self.path.chmod(0o600)

    def _rewrite(self, askers: Iterable[Asker]) -> None:
        lines = "".join(json.dumps(asdict(one), ensure_ascii=False) + "\n" for one in askers)
        beside = self.path.with_name(f"{self.path.name}.new")
        beside.unlink(missing_ok=True)
        with os.fdopen(os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as file:
            file.write(lines.encode())
            file.flush()
            os.fsync(file.fileno())
        beside.replace(self.path)
        sync_folder(self.path.parent)


def _refuse_public(root: Path, path: Path) -> None:
    """Refuse a file in a folder that is published, reached by whatever way."""
    real = Path(os.path.realpath(path))
    for name in ("content", "site", "templates"):
        if real.is_relative_to(os.path.realpath(root / name)):
            raise PrivateFileRefused(f"{path} is inside {name}/, which goes out to everybody")
    if any((folder / "content" / "workshop.yaml").is_file() for folder in _above(real, "content")):
        raise PrivateFileRefused(f"{path} is inside the content of a tree")
    if path.is_dir():
        raise PrivateFileRefused(f"{path} is a folder")


def _above(path: Path, name: str) -> list[Path]:
    return [folder.parent for folder in path.parents if folder.name == name]


def _home_of_history(folder: Path) -> Path | None:
    """Return the folder whose version control would keep a file of ``folder``."""
    real = Path(os.path.realpath(folder))
    return next((one for one in (real, *real.parents) if (one / ".git").exists()), None)


def _refuse_tracked(path: Path) -> None:
    """Refuse a file that version control keeps already. Git is asked where it is there."""
    if not path.exists() or _home_of_history(path.parent) is None:
        return
    try:
        asked = subprocess.run(
            ["git", "ls-files", "--error-unmatch", "--", path.name],
            cwd=path.parent,
            capture_output=True,
            timeout=30,
            check=False,
        )
    except (OSError, subprocess.TimeoutExpired):
        return
    if asked.returncode == 0:
        raise PrivateFileRefused(f"{path} is kept by git, and goes wherever the repository goes")
