"""Figures typed at the bench: threads, torques and readings, with the house threads of the tree."""

from __future__ import annotations

import argparse
import re
from pathlib import Path
from typing import TYPE_CHECKING

from kbgen.commands.common import WrongUse

if TYPE_CHECKING:
    from kbgen.text import NotationError
    from kbgen.units import HouseThreads, Objection, Thread, Torque

__all__ = ["house_of", "read_diameter_mm", "read_pitch_mm", "read_thread", "read_torque"]


def house_of(start: Path) -> HouseThreads:
    """Return the house threads of the tree that ``start`` lies in, none outside a tree."""
    from kbgen.units import NO_HOUSE

    for folder in (start, *start.parents):
        if (folder / "content" / "workshop.yaml").is_file():
            from kbgen.content import load_house_threads

            return load_house_threads(folder)
    return NO_HOUSE


def tree_of(arguments: argparse.Namespace) -> Path:
    """Return the folder at which the search for a tree begins."""
    return Path(arguments.tree) if arguments.tree else Path.cwd()


def read_thread(text: str) -> Thread:
    """Return the thread that was typed.

    Raises: WrongUse that shows where the text cannot be read.
    """
    from kbgen.text import NotationError
    from kbgen.units import parse_thread

    try:
        return parse_thread(text)
    except NotationError as unreadable:
        raise _shown(unreadable) from unreadable


def read_torque(text: str) -> tuple[Torque, tuple[Objection, ...]]:
    """Return the torque that was typed, and what stands against a second figure beside it.

    Shape: ``12 N·m (9 lbf·ft)`` is one torque; the first figure counts.
    Raises: WrongUse that shows where the text cannot be read.
    """
    from kbgen.text import NotationError
    from kbgen.units import Torque, parse_torque, scan

    try:
        return parse_torque(text), ()
    except NotationError as unreadable:
        for stated in scan(text):
            if stated.dual and isinstance(stated.value, Torque) and stated.as_written == text:
                return stated.value, stated.objections
        raise _shown(unreadable) from unreadable


def read_diameter_mm(text: str, option: str) -> float:
    """Return a reading of a caliper in millimetres.

    Shape: ``3.55mm``, ``0.140in``, ``0.140"``; a fraction of an inch; the unit is demanded.
    Raises: WrongUse for what is not one positive length with its unit.
    """
    from kbgen.text import NotationError
    from kbgen.units import parse_length

    try:
        length = parse_length(text)
    except NotationError as unreadable:
        raise _shown(unreadable) from unreadable
    if length.low_mm is None or length.low_mm != length.high_mm or length.low_mm <= 0:
        raise WrongUse(f"{option} takes one length, got {text}", "for example 3.55mm or 0.140in")
    return float(length.low_mm)


_TPI = re.compile(r"\s*(\d{1,3}(?:\.\d{1,3})?)\s*-?(?:tpi|t\.p\.i\.|per inch|threads per inch)\s*")


def read_pitch_mm(text: str) -> float:
    """Return a pitch in millimetres from ``40tpi`` or ``0.7mm``.

    Raises: WrongUse for what is neither.
    """
    inch = _TPI.fullmatch(text.lower())
    if inch and float(inch[1]) > 0:
        return 25.4 / float(inch[1])
    return read_diameter_mm(text, "--pitch")


def _shown(unreadable: NotationError) -> WrongUse:
    """Return the error with the place marked under the text."""
    mark = " " * unreadable.span.start + "^" * max(1, unreadable.span.end - unreadable.span.start)
    line = unreadable.text.replace("\n", " ").replace("\t", " ")
    return WrongUse(f"{unreadable.message}\n    {line}\n    {mark}", unreadable.hint)
