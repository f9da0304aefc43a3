"""Which notes stand in the Whoosh index, place by place, and which segments stay as they are."""

from __future__ import annotations

from array import array
from collections.abc import Iterator, Mapping, Sequence, Set
from dataclasses import dataclass, field

from kbgen.search.documents import KEY

__all__ = ["HELD", "Held", "laid_together"]

HELD = "held"
"""The file that says which notes the index holds: without it, none."""
ROOM = 8  # a segment of so many times the notes that are written anyway is written with them


def _column() -> array[int]:
    return array("I")


@dataclass(frozen=True, slots=True)
class Held:
    """The notes of an index in the order of its places.

    Shape: ``numbers`` has 0 for a place whose note is gone; ``keys`` and ``lengths`` (in
    steps) stand beside them. ``program`` is the digest of the program that wrote them.
    """

    program: bytes = b""
    numbers: array[int] = field(default_factory=_column)
    keys: bytes = b""
    lengths: array[int] = field(default_factory=_column)

    def places(self) -> Iterator[tuple[int, int, bytes]]:
        """Give the place, the number and the key of every note."""
        for place, number in enumerate(self.numbers):
            if number:
                yield place, number, self.keys[place * KEY : place * KEY + KEY]

    def length(self) -> int:
        """Return the length of all notes, in steps."""
        return sum(self.lengths)

    def without(self, gone: Set[int], segments: Sequence[tuple[int, int]]) -> Held:
        """Return what is left in these segments when the notes at some places are gone.

        Shape: a segment is its first place and how many it has.
        """
        numbers, keys, lengths = array("I"), bytearray(), array("I")
        for first, count in segments:
            for place in range(first, first + count):
                left = place not in gone
                numbers.append(self.numbers[place] if left else 0)
                lengths.append(self.lengths[place] if left else 0)
            keys += self.keys[first * KEY : (first + count) * KEY]
        return Held(self.program, numbers, bytes(keys), lengths)

    def more(self, numbers: Sequence[int], keys: Mapping[int, bytes], lengths: array[int]) -> Held:
        """Return it with these notes behind the others."""
        return Held(
            self.program,
            self.numbers + array("I", numbers),
            self.keys + b"".join(keys[number] for number in numbers),
            self.lengths + lengths,
        )


def laid_together(
    segments: Sequence[tuple[int, int]], held: Held, gone: Set[int], fresh: int
) -> list[tuple[int, int]]:
    """Return the segments that stay as they are; the notes of the others are written anew.

    Small segments are laid together with the notes that are written anyway, so that a
    question never asks many, and that a note is seldom written again.
    """
    live = {
        (first, count): sum(
            1 for place in range(first, first + count) if held.numbers[place] and place not in gone
        )
        for first, count in segments
    }
    staying = sorted(segments, key=lambda segment: live[segment])
    together = fresh
    while staying and live[staying[0]] <= ROOM * together:
        together += live[staying.pop(0)]
    return sorted(staying)
