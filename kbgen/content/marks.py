"""The places of all values of a file, packed: a shelf of 50,000 notes holds millions.

A mapping from key path to ``Mark`` that keeps four numbers a value and shares the
paths that files have in common.
"""

from __future__ import annotations

from array import array
from collections.abc import ItemsView, Iterator, Mapping
from functools import lru_cache
from typing import NamedTuple

__all__ = ["KeyPath", "Mark", "Marks"]

KeyPath = tuple[str | int, ...]
"""The way to a value from the top of its file: ``("fasteners", 2, "torque")``."""


class Mark(NamedTuple):
    """Where one value stands in the text of its file.

    Shape: ``start`` and ``end`` are code points of the file's text, the quotation
    marks or the block's header included; for a list or a mapping both are its start.
    ``style`` is the first character of a quoted or block scalar (``'``, ``"``, ``|``,
    ``>``), else empty. ``value`` is the value where it differs from the text between
    start and end, else None. ``key`` is where the key stands that the value belongs to.
    """

    start: int
    end: int
    style: str = ""
    value: str | None = None
    key: int = 0


_LOOKED_THROUGH = 200
"""Up to this many paths are looked through one by one: an index would take more memory."""


class Marks(Mapping[KeyPath, Mark]):
    """The marks of one file by key path, in the order of the file."""

    __slots__ = ("_index", "_numbers", "_paths", "_values")

    def __init__(self, marks: Mapping[KeyPath, Mark]) -> None:
        self._paths = tuple(map(_shared, marks))
        self._index: dict[KeyPath, int] = {}
        self._numbers = array("I")
        self._values: dict[int, str] = {}
        for index, mark in enumerate(marks.values()):
            self._numbers.extend((mark.start, mark.end, ord(mark.style or "\0"), mark.key))
            if mark.value is not None:
                self._values[index] = mark.value

    def __getitem__(self, path: KeyPath) -> Mark:
        if len(self._paths) > _LOOKED_THROUGH:
            return self.at(self._indexed()[path])
        try:
            return self.at(self._paths.index(path))
        except ValueError:
            raise KeyError(path) from None

    def __contains__(self, path: object) -> bool:
        return path in (self._indexed() if len(self._paths) > _LOOKED_THROUGH else self._paths)

    def __iter__(self) -> Iterator[KeyPath]:
        return iter(self._paths)

    def __len__(self) -> int:
        return len(self._paths)

    def items(self) -> ItemsView[KeyPath, Mark]:
        """Return every path with its mark, in the order of the file."""
        return _Items(self)

    def _indexed(self) -> dict[KeyPath, int]:
        """Return where each path stands; only a file of many values needs that."""
        if not self._index:
            self._index = {path: number for number, path in enumerate(self._paths)}
        return self._index

    def at(self, index: int) -> Mark:
        """Return the mark of one value by its number in the file."""
        start, end, style, key = self._numbers[4 * index : 4 * index + 4]
        return Mark(start, end, chr(style) if style else "", self._values.get(index), key)


class _Items(ItemsView[KeyPath, Mark]):
    """The paths of a file with their marks, walked through without looking any up."""

    _mapping: Marks

    def __iter__(self) -> Iterator[tuple[KeyPath, Mark]]:
        marks = self._mapping
        for index, path in enumerate(marks):
            yield path, marks.at(index)


@lru_cache(maxsize=65_536)
def _shared(path: KeyPath) -> KeyPath:
    """Return the one copy of a path that many files have."""
    return path
