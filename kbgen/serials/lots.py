"""The arithmetic of lots: which cover a number, what they share, leave out, and add up to."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Protocol

from kbgen.serials.serial import Serial, parse_serial
from kbgen.text import NotationError

__all__ = [
    "Block",
    "Gap",
    "LotRow",
    "Slip",
    "Totals",
    "gaps",
    "out_of_order",
    "overlaps",
    "read_lots",
    "totals",
]


class LotRow(Protocol):
    """A lot as it was written down; ``allotted`` is YYYY, YYYY-MM or YYYY-MM-DD."""

    @property
    def first(self) -> str:
        """The first number."""

    @property
    def last(self) -> str:
        """The last number, which is part of the lot."""

    @property
    def allotted(self) -> str:
        """When the block was allotted."""

    @property
    def works(self) -> str | None:
        """The works it was allotted to."""


@dataclass(frozen=True, slots=True)
class Block:
    """A lot as numbers.

    Shape: ``index`` is the lot's place among its family's; ``last`` is part of the block.
    """

    index: int
    prefix: str
    first: int
    last: int
    suffix: str
    allotted: str
    works: str

    @property
    def size(self) -> int:
        """How many numbers the block holds, both bounds counted."""
        return self.last - self.first + 1

    @property
    def letters(self) -> tuple[str, str]:
        """The letters before and behind every number of the block."""
        return self.prefix, self.suffix

    def covers(self, serial: Serial) -> bool:
        """Return whether a number is one of the block's."""
        same = (serial.prefix, serial.suffix) == self.letters
        return same and self.first <= serial.number <= self.last

    def position(self, serial: Serial) -> int:
        """Return the place of a covered number in the block, the first being 1."""
        return serial.number - self.first + 1

    def serial(self, number: int) -> Serial:
        """Return a number with the block's letters."""
        return Serial(self.prefix, number, self.suffix)


@dataclass(frozen=True, slots=True)
class Slip:
    """A lot that is no block of numbers, and why."""

    index: int
    message: str


@dataclass(frozen=True, slots=True)
class Gap:
    """Numbers between two lots of the same letters that belong to none."""

    before: Block
    after: Block

    @property
    def first(self) -> int:
        """The first number in no lot."""
        return self.before.last + 1

    @property
    def last(self) -> int:
        """The last number in no lot."""
        return self.after.first - 1


@dataclass(frozen=True, slots=True)
class Totals:
    """What the lots of a family add up to.

    Shape: ``numbers`` counts each number once; ``works`` holds the works, each with its
    numbers, most first; dates as written, empty without a lot.
    """

    lots: int
    numbers: int
    earliest: str
    latest: str
    works: tuple[tuple[str, int], ...]


def read_lots(rows: Iterable[LotRow]) -> tuple[tuple[Block, ...], tuple[Slip, ...]]:
    """Return the lots that are blocks of numbers, and those that are none."""
    read = [_read(index, row) for index, row in enumerate(rows)]
    return (
        tuple(one for one in read if isinstance(one, Block)),
        tuple(one for one in read if isinstance(one, Slip)),
    )


def _read(index: int, row: LotRow) -> Block | Slip:
    bounds = []
    for written in (row.first, row.last):
        try:
            bounds.append(parse_serial(written))
        except NotationError as unreadable:
            return Slip(index, unreadable.message)
    first, last = bounds
    if (first.prefix, first.suffix) != (last.prefix, last.suffix):
        return Slip(
            index, f"the lot begins with {row.first} and ends with {row.last}: unlike letters"
        )
    if first.number > last.number:
        return Slip(index, f"the lot runs backwards, from {row.first} to {row.last}")
    return Block(
        *(index, first.prefix, first.number, last.number, first.suffix),
        *(row.allotted, row.works or ""),
    )


def _runs(blocks: Iterable[Block]) -> Iterator[list[Block]]:
    """Yield the blocks of the same letters together, in the order of their numbers."""
    of_letters: dict[tuple[str, str], list[Block]] = {}
    for block in blocks:
        of_letters.setdefault(block.letters, []).append(block)
    for run in of_letters.values():
        yield sorted(run, key=lambda block: (block.first, block.last, block.index))


def overlaps(blocks: Iterable[Block]) -> Iterator[tuple[Block, Block]]:
    """Yield pairs of blocks that share numbers: each with the one before it that reaches it."""
    for run in _runs(blocks):
        before = run[0]
        for block in run[1:]:
            if block.first <= before.last:
                yield before, block
            if block.last > before.last:
                before = block


def gaps(blocks: Iterable[Block]) -> Iterator[Gap]:
    """Yield the numbers between blocks of the same letters that are in none."""
    for run in _runs(blocks):
        before = run[0]
        for block in run[1:]:
            if block.first > before.last + 1:
                yield Gap(before, block)
            if block.last > before.last:
                before = block


def out_of_order(blocks: Iterable[Block]) -> Iterator[tuple[Block, Block]]:
    """Yield blocks of higher numbers that were allotted before the block next below them.

    Shape: dates are held to each other as far as both go: 1931 is not before 1931-05.
    """
    for run in _runs(blocks):
        for before, block in pairwise(run):
            far = min(len(before.allotted), len(block.allotted))
            if block.allotted[:far] < before.allotted[:far]:
                yield before, block


def totals(blocks: Sequence[Block]) -> Totals:
    """Return what blocks add up to; a number in two blocks counts once."""
    numbers = 0
    works: dict[str, int] = {}
    for run in _runs(blocks):
        reached = -1
        for block in run:
            fresh = max(0, block.last - max(block.first - 1, reached))
            reached = max(reached, block.last)
            numbers += fresh
            works[block.works] = works.get(block.works, 0) + fresh
    dates = sorted(block.allotted for block in blocks)
    return Totals(
        len(blocks),
        numbers,
        dates[0] if dates else "",
        dates[-1] if dates else "",
        tuple(sorted(works.items(), key=lambda row: (-row[1], row[0]))),
    )
