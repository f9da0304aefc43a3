"""What the commands share: the error of wrong use, colour on a terminal, JSON, the tree."""

from __future__ import annotations

import argparse
import datetime
import json
import os
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TextIO

__all__ = [
    "Command",
    "WrongUse",
    "add_day",
    "add_json",
    "add_tree",
    "day",
    "paint",
    "print_json",
    "today",
    "tree_root",
]


class WrongUse(Exception):
    """The words of a command do not make sense together; ends with exit code 2."""

    def __init__(self, message: str, hint: str = "") -> None:
        super().__init__(message)
        self.hint = hint


@dataclass(frozen=True, slots=True)
class Command:
    """One command of the command line.

    Shape: ``arguments`` adds its words to a parser, ``run`` does the work and
    returns the exit code; ``example`` is shown by ``--help``.
    """

    name: str
    summary: str
    example: str
    arguments: Callable[[argparse.ArgumentParser], None]
    run: Callable[[argparse.Namespace], int]


def add_json(parser: argparse.ArgumentParser) -> None:
    """Add ``--json`` to a command that prints data."""
    parser.add_argument("--json", action="store_true", help="print JSON of a stable shape")


def add_tree(parser: argparse.ArgumentParser) -> None:
    """Add ``--tree`` to a command that works on a content tree."""
    parser.add_argument(
        "--tree",
        metavar="DIR",
        help="the folder that holds content/workshop.yaml (else the nearest one upwards)",
    )


def day(text: str) -> datetime.date:
    """Return the day that is written YYYY-MM-DD; for argparse."""
    try:
        return datetime.date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"a day is YYYY-MM-DD, not {text!r}") from None


def add_day(parser: argparse.ArgumentParser, what: str) -> None:
    """Add ``--day`` to a command that needs to know which day it is."""
    parser.add_argument(
        "--day", type=day, metavar="YYYY-MM-DD", help=f"the day {what} (else today)"
    )


def today(arguments: argparse.Namespace) -> datetime.date:
    """Return the day that a command was given, else that of the clock."""
    return arguments.day or datetime.date.today()


def tree_root(arguments: argparse.Namespace) -> Path:
    """Return the root of the tree that a command works on.

    Raises: WrongUse where there is none.
    """
    from kbgen.content import TreeMissing, find_root

    start = Path(arguments.tree) if arguments.tree else Path.cwd()
    try:
        if arguments.tree and not (start / "content" / "workshop.yaml").is_file():
            raise TreeMissing(f"no content/workshop.yaml in {start}")
        return find_root(start)
    except TreeMissing as missing:
        raise WrongUse(
            str(missing), "stand inside a tree, or name one with --tree DIR"
        ) from missing


def print_json(shape: Any) -> None:
    """Print one JSON value, indented, with every letter as it is."""
    print(json.dumps(shape, ensure_ascii=False, indent=2))


_STYLES = {"strong": "1", "quiet": "2", "error": "1;31", "warning": "33", "advice": "36"}


def paint(text: str, style: str, stream: TextIO | None = None) -> str:
    """Return ``text`` in a style where ``stream`` is a terminal, else as it is.

    Shape: ``style`` is one of strong, quiet, error, warning, advice. NO_COLOR
    and a dumb terminal are respected.
    """
    stream = stream or sys.stdout
    if not stream.isatty() or os.environ.get("NO_COLOR") or os.environ.get("TERM") == "dumb":
        return text
    return f"\x1b[{_STYLES[style]}m{text}\x1b[0m"
