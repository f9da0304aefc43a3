"""The permanent numbers of notes and questions: the next one that nothing ever had."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Literal

from kbgen.content.names import slug_of
from kbgen.disk import add_file, locked_folder

__all__ = ["Numbered", "add_numbered", "next_number"]

Numbered = Literal["note", "question"]

_FOLDER = {"note": "notes", "question": "questions"}
_SIGN = {"note": "", "question": "Q"}
_PAGE = {"note": b"n", "question": b"q"}
_LARGEST = 999_999
_NAMED = re.compile(r"[Qq]?0*([1-9][0-9]{0,5})(?![0-9]).*\.md", re.ASCII | re.DOTALL)
_CITED = {
    "note": re.compile(rb"\b(?:answered_by|note) *: *[\"']?0*([1-9][0-9]{0,5})(?![0-9])"),
    "question": re.compile(rb"\bsame_as *: *[\"']?0*([1-9][0-9]{0,5})(?![0-9])"),
}


def next_number(root: Path, kind: Numbered) -> int:
    """Return the number after the largest that a note or question of the tree ever had.

    The files of its kind count, and so do the addresses in the ledger and what
    questions and recordings refer to: a file may be gone, and its number is not free.

    Raises: OSError; ValueError where no number is left.
    """
    number = max((0, *_named(root, kind), *_published(root, kind), *_cited(root, kind))) + 1
    if number > _LARGEST:
        raise ValueError(f"there is no {kind} number after {_LARGEST:,}")
    return number


def add_numbered(
    root: Path,
    kind: Numbered,
    text: str,
    words: str,
    waiting: Callable[[], None] = lambda: None,
) -> Path:
    """Write a new note or question under the next number and return its path.

    Shape: ``words`` make the file's name, ``waiting`` is called once if another process
    is writing one. The file appears whole; none is ever written over.
    Raises: OSError; ValueError where no number is left.
    """
    folder = root / "content" / _FOLDER[kind]
    folder.mkdir(exist_ok=True)
    working = root / ".kbgen"
    try:
        with locked_folder(folder, working, waiting):
            name = f"{_SIGN[kind]}{next_number(root, kind):04}-{slug_of(words) or kind}.md"
            add_file(folder / name, text.encode(), working / f"{kind}.new")
    finally:
        _remove_if_empty(working)
    return folder / name


def _remove_if_empty(folder: Path) -> None:
    try:
        folder.rmdir()
    except OSError:
        return


def _named(root: Path, kind: Numbered) -> Iterator[int]:
    folder = root / "content" / _FOLDER[kind]
    if folder.is_dir():
        for path in folder.iterdir():
            if found := _NAMED.fullmatch(path.name):
                yield int(found[1])


def _published(root: Path, kind: Numbered) -> Iterator[int]:
    """Yield the numbers in the ledger, read as bytes: a damaged one still tells them."""
    ledger = root / "content" / "addresses.tsv"
    address = re.compile(rb"(?:^|\t)" + _PAGE[kind] + rb"/0*([1-9][0-9]{0,5})\.html", re.MULTILINE)
    if ledger.is_file():
        yield from (int(found[1]) for found in address.finditer(ledger.read_bytes()))


def _cited(root: Path, kind: Numbered) -> Iterator[int]:
    for folder, ending in (("questions", "*.md"), ("recordings", "*.yaml")):
        for path in (root / "content" / folder).glob(ending):
            if path.is_file():
                yield from (int(found[1]) for found in _CITED[kind].finditer(path.read_bytes()))
