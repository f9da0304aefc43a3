"""Lots of serial numbers: each runs upwards, no number is in two, and what is left out is told."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.checks.rule import Material
from kbgen.content import FamilyFile
from kbgen.findings import Finding, finding
from kbgen.serials import Block, Slip, gaps, out_of_order, overlaps, read_lots

__all__ = ["lot_count_wrong", "lots_gap", "lots_out_of_order", "lots_overlap"]


def _read(material: Material) -> Iterator[tuple[FamilyFile, tuple[Block, ...], tuple[Slip, ...]]]:
    """Yield every family with its lots as blocks of numbers."""
    families = material.tree.families.values()
    read = material.joined("lots", lambda: [read_lots(one.model.lots) for one in families])
    for family, (blocks, slips) in zip(families, read, strict=True):
        yield family, blocks, slips


def lots_overlap(material: Material) -> Iterator[Finding]:
    """Report lots that run backwards, change their letters, or share numbers."""
    for family, blocks, slips in _read(material):
        for slip in slips:
            hint = "a lot is first and last number of one block"
            yield _finding("lots-overlap", family, slip.index, "first", slip.message, hint)
        for one, other in overlaps(blocks):
            earlier, later = sorted((one, other), key=lambda block: block.index)
            yield _finding(
                *("lots-overlap", family, later.index, "first"),
                f"{_lot(family, later)} shares numbers with {_at(family, earlier)}",
                "a number was allotted once; look at both lots in their source",
            )


def lot_count_wrong(material: Material) -> Iterator[Finding]:
    """Report lots whose stated count is not what their bounds hold."""
    for family, blocks, _ in _read(material):
        for block in blocks:
            stated = family.model.lots[block.index].count
            if stated is not None and stated != block.size:
                yield _finding(
                    *("lot-count-wrong", family, block.index, "count"),
                    f"{_lot(family, block)} holds {block.size:,} numbers, both bounds counted, "
                    f"not {stated:,}",
                    "look at the first number, the last and the count in the source",
                )


def lots_out_of_order(material: Material) -> Iterator[Finding]:
    """Report lots of higher numbers that were allotted before the lot below them."""
    for family, blocks, _ in _read(material):
        for below, block in out_of_order(blocks):
            yield _finding(
                *("lots-out-of-order", family, block.index, "allotted"),
                f"{_lot(family, block)} is dated {block.allotted}, before the lower numbers of "
                f"{_at(family, below)}, dated {below.allotted}",
                "look at both dates in their source; if they stand, say so under the source",
            )


def lots_gap(material: Material) -> Iterator[Finding]:
    """Report numbers between two lots of the same letters that are in none."""
    for family, blocks, _ in _read(material):
        for gap in gaps(blocks):
            first, last = gap.after.serial(gap.first), gap.after.serial(gap.last)
            count = gap.last - gap.first + 1
            yield _finding(
                *("lots-gap", family, gap.after.index, "first"),
                f"{first} to {last}, {count:,} {'number' if count == 1 else 'numbers'}, are in no "
                f"lot: the lot below is {_at(family, gap.before)}",
                "nothing is guessed for them; a lot that is found closes the gap",
            )


def _lot(family: FamilyFile, block: Block) -> str:
    lot = family.model.lots[block.index]
    return f"{lot.first} to {lot.last}"


def _at(family: FamilyFile, block: Block) -> str:
    line = family.source.place("lots", block.index, "first").line
    return f"{_lot(family, block)} (line {line})"


def _finding(
    code: str, family: FamilyFile, index: int, key: str, message: str, hint: str
) -> Finding:
    place = family.source.place("lots", index, key)
    return finding(code, family.source.path, place.line, place.column, message, hint)
