"""Lots of serial numbers: each runs upwards, and no number is in two of them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from kbgen.checks.rule import Material
from kbgen.content import FamilyFile
from kbgen.findings import Finding, finding

__all__ = ["lots_overlap"]

_SERIAL = re.compile(r"(?P<prefix>.*?)[\s\-]*(?P<number>\d+)\D*")


@dataclass(frozen=True, slots=True)
class _Block:
    index: int
    prefix: str
    first: int
    last: int


def lots_overlap(material: Material) -> Iterator[Finding]:
    """Report lots that run backwards, change their letters, or share numbers."""
    for family in material.tree.families.values():
        blocks: list[_Block] = []
        for index, lot in enumerate(family.model.lots):
            first, last = _SERIAL.fullmatch(lot.first), _SERIAL.fullmatch(lot.last)
            if first is None or last is None:
                slip = f"no number in {(lot.first if first is None else lot.last)!r}"
            elif first["prefix"].casefold() != last["prefix"].casefold():
                slip = f"the lot begins with {lot.first} and ends with {lot.last}: unlike letters"
            elif int(first["number"]) > int(last["number"]):
                slip = f"the lot runs backwards, from {lot.first} to {lot.last}"
            else:
                prefix = first["prefix"].casefold().strip()
                blocks.append(_Block(index, prefix, int(first["number"]), int(last["number"])))
                continue
            yield _finding(family, index, slip, "a lot is first and last number of one block")
        yield from _shared(family, blocks)


def _shared(family: FamilyFile, blocks: list[_Block]) -> Iterator[Finding]:
    before: _Block | None = None
    for block in sorted(blocks, key=lambda one: (one.prefix, one.first, one.index)):
        if before and before.prefix == block.prefix and block.first <= before.last:
            later, earlier = max(before, block, key=_index), min(before, block, key=_index)
            lots = family.model.lots
            line = family.source.place("lots", earlier.index, "first").line
            yield _finding(
                family,
                later.index,
                f"{lots[later.index].first} to {lots[later.index].last} shares numbers with "
                f"{lots[earlier.index].first} to {lots[earlier.index].last} (line {line})",
                "a number was allotted once; look at both lots in their source",
            )
        if before is None or before.prefix != block.prefix or block.last > before.last:
            before = block


def _index(block: _Block) -> int:
    return block.index


def _finding(family: FamilyFile, index: int, message: str, hint: str) -> Finding:
    place = family.source.place("lots", index, "first")
    return finding("lots-overlap", family.source.path, place.line, place.column, message, hint)
