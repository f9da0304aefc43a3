"""Figures typed at the bench: threads, torques and readings, with the house threads of the tree."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from kbgen.commands.common import WrongUse

if TYPE_CHECKING:
    from collections.abc import Callable
    from fractions import Fraction

    from kbgen.text import NotationError
    from kbgen.units import HouseThreads, Measured, Objection, Thread, Torque

__all__ = [
    "house_of",
    "read_diameter",
    "read_length_mm",
    "read_nut_factor",
    "read_pitch_mm",
    "read_thread",
    "read_torque",
]

T = TypeVar("T")


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
    from kbgen.units import parse_thread

    return _typed(parse_thread, text)


def read_torque(text: str) -> tuple[Torque, tuple[Objection, ...]]:
    """Return the torque that was typed, and what stands against a second figure beside it.

    Shape: ``12 N·m (9 lbf·ft)`` is one torque; the first figure counts.
    Raises: WrongUse that shows where the text cannot be read.
    """
    from kbgen.units import parse_torque_stated

    return _typed(parse_torque_stated, text)


def read_diameter(text: str, option: str) -> Measured:
    """Return a reading of a caliper.

    Shape: ``3.55mm``, ``0.140in``, ``0.140"``, a fraction of an inch, a range of them; the
    unit is demanded.
    Raises: WrongUse, with the option named, for what is none.
    """
    from kbgen.units import parse_diameter

    return _typed(parse_diameter, text, option)


def read_length_mm(text: str, option: str) -> Fraction:
    """Return one length in millimetres.

    Raises: WrongUse, with the option named, for what is none, or for a range.
    """
    from kbgen.units import parse_one_length

    return _typed(parse_one_length, text, option)


def read_pitch_mm(text: str) -> float:
    """Return a pitch in millimetres from ``40tpi`` or ``0.7mm``.

    Raises: WrongUse for what is neither.
    """
    from kbgen.units import parse_pitch

    return float(_typed(parse_pitch, text, "--pitch"))


def read_nut_factor(text: str) -> float:
    """Return a nut factor.

    Raises: WrongUse for what is no plain figure.
    """
    from kbgen.units import parse_nut_factor

    return _typed(parse_nut_factor, text, "--nut-factor")


def _typed(parse: Callable[[str], T], text: str, option: str = "") -> T:
    from kbgen.text import NotationError

    try:
        return parse(text)
    except NotationError as unreadable:
        raise _shown(unreadable, option) from unreadable


def _shown(unreadable: NotationError, option: str = "") -> WrongUse:
    """Return the error with the place marked under the text."""
    mark = " " * unreadable.span.start + "^" * max(1, unreadable.span.end - unreadable.span.start)
    line = unreadable.text.replace("\n", " ").replace("\t", " ")
    where = f"{option}: " if option else ""
    return WrongUse(f"{where}{unreadable.message}\n    {line}\n    {mark}", unreadable.hint)
