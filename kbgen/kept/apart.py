"""A value of ours without the places in it: what it says, however far down it says it."""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import fields, is_dataclass
from typing import Any, NamedTuple

from kbgen.kept.packed import Packer, pack

__all__ = ["Apart", "apart"]

_Place = tuple[int, int]


class Apart(NamedTuple):
    """The two parts of a value, each as bytes to be compared.

    Shape: ``said`` are the same for two values that say the same at places in the same
    order, those on one line on one line again; ``places`` are the lines and columns.
    """

    said: bytes
    places: bytes


def apart(value: Any) -> Apart:
    """Return what a value says, and where.

    Shape: whatever in it has both a ``line`` and a ``column`` has a place, which are those
    two; all else is said.
    """
    whole = io.BytesIO()
    packer = _Placeless(whole)
    packer.dump(value)
    return Apart(whole.getvalue() + pack(_in_order(packer.places)), pack(packer.places))


def _in_order(places: Sequence[_Place]) -> list[int]:
    """Return which place is before which, and which lines are the same."""
    lines = _ranks([line for line, _ in places])
    return [*lines, *_ranks(places)]


def _ranks(keys: Sequence[Any]) -> list[int]:
    rank = {key: number for number, key in enumerate(sorted(set(keys)))}
    return [rank[key] for key in keys]


class _Placeless(Packer):
    """A packer that takes the places out of what it packs."""

    def __init__(self, whole: io.BytesIO) -> None:
        super().__init__(whole, protocol=5)
        self.places: list[_Place] = []

    def reducer_override(self, value: Any) -> Any:
        """Return what has a place as its type and its other fields; leave all else alone."""
        kind = type(value)
        if kind not in _RESTS:
            _RESTS[kind] = _rest_of(kind)
        rest = _RESTS[kind]
        if rest is None:
            return super().reducer_override(value)
        self.places.append((value.line, value.column))
        return kind, tuple(map(value.__getattribute__, rest))


_RESTS: dict[type, tuple[str, ...] | None] = {}


def _rest_of(kind: type) -> tuple[str, ...] | None:
    """Return the other fields of what has a place, None for what has none."""
    if is_dataclass(kind):
        names = [one.name for one in fields(kind)]
    else:
        names = list(getattr(kind, "_fields", ()))
    if not {"line", "column"} <= set(names):
        return None
    return tuple(name for name in names if name not in ("line", "column"))
