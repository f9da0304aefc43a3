"""What a serial number says, as plain data in a stable shape, with the sentence that answers.

The words stand here once; the reader's page gets them with ``script_rules``.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from kbgen.patterns import for_script
from kbgen.serials.lots import Block, LotRow, read_lots
from kbgen.serials.serial import (
    LABEL,
    MOST_FIGURES,
    NO_SERIAL,
    OTHER,
    SERIAL,
    SIGNS,
    TOO_LONG,
    Serial,
    compact,
    parse_serial,
    sign_of,
)
from kbgen.text import MONTHS, date_in_words

__all__ = ["describe_serial", "script_rules"]

Plain = dict[str, Any]

WORDS = {
    "lot": "{first} to {last}",
    "covered": "{serial} is number {position} of {size} in the lot {lot}, allotted{to} {date}.",
    "to": " to {works}",
    "in": "in {date}",
    "on": "on {date}",
    "not_before": "Not before {date}: allotted is not made, and it may be a good deal younger.",
    "several": "{count} lots cover {serial}, and only one of them can be right: {lots}.",
    "beside": "{lot}, allotted{to} {date}",
    "none": "No lot covers {serial}.",
    "no_lots": "No lot is known.",
    "without_letters": "The numbers known here begin with {known}: look for it before the number.",
    "other_letters": "The lots known here begin with {known}.",
    "runs": "The lots that begin with {prefix} hold {runs}.",
    "ended": "Nothing is known of the {suffix} behind it.",
    "other_ends": "The lots known here end with {known}.",
    "read_as": "{written} read as {read}",
    "left_out": "without the {suffix} behind it",
    "set_off": "with {prefix} set off as what stands before the number",
}
"""Every sentence of an answer."""


def describe_serial(
    text: str, rows: Sequence[LotRow], variants: Mapping[str, str] | None = None
) -> Plain:
    """Return every lot that covers a number, and what else the number may be read as.

    Shape: ``lots`` in the order of the family's file; ``conflict`` is true where more than
    one covers the number; ``other_readings`` are only those that a lot covers. ``variants``
    are the names of variants by id.
    Raises: NotationError for what is no serial number.
    """
    serial = parse_serial(text)
    blocks, _ = read_lots(rows)
    covering = [block for block in blocks if block.covers(serial)]
    return {
        "reading": _reading(serial),
        "lots": [_lot(block, serial, rows[block.index], variants or {}) for block in covering],
        "answer": _answer(serial, blocks, covering),
        "conflict": len(covering) > 1,
        "other_readings": [
            {
                **_reading(other),
                "because": because,
                "lots": [
                    _lot(block, other, rows[block.index], variants or {})
                    for block in blocks
                    if block.covers(other)
                ],
            }
            for other, because in _others(text, serial, blocks)
        ],
    }


def _reading(serial: Serial) -> Plain:
    return {
        "canonical": str(serial),
        "prefix": serial.prefix,
        "number": serial.number,
        "suffix": serial.suffix,
    }


def _lot(block: Block, serial: Serial, row: LotRow, variants: Mapping[str, str]) -> Plain:
    variant: str | None = getattr(row, "variant", None)
    return {
        "lot": _lot_in_words(block),
        "first": block.first,
        "last": block.last,
        "position": block.position(serial),
        "size": block.size,
        "not_before": block.allotted,
        "works": block.works or None,
        "variant": variant,
        "variant_name": variants.get(variant) if variant else None,
        "basis": str(getattr(row, "basis", "")),
        "source": str(getattr(row, "source", "")),
    }


def _lot_in_words(block: Block) -> str:
    first, last = block.serial(block.first), block.serial(block.last)
    return WORDS["lot"].format(first=first, last=last)


def _to(block: Block) -> str:
    return WORDS["to"].format(works=block.works) if block.works else ""


def _when(block: Block) -> str:
    """Return the date with its preposition: "in March 1911", "on 16 March 1911"."""
    name = "on" if block.allotted.count("-") == 2 else "in"
    return WORDS[name].format(date=date_in_words(block.allotted))


def _answer(serial: Serial, blocks: Sequence[Block], covering: Sequence[Block]) -> str:
    if not covering:
        return _uncovered(serial, blocks)
    if len(covering) > 1:
        lots = "; ".join(
            WORDS["beside"].format(lot=_lot_in_words(one), to=_to(one), date=_when(one))
            for one in covering
        )
        return WORDS["several"].format(count=len(covering), serial=serial, lots=lots)
    (block,) = covering
    found = WORDS["covered"].format(
        serial=serial,
        position=f"{block.position(serial):,}",
        size=f"{block.size:,}",
        lot=_lot_in_words(block),
        to=_to(block),
        date=_when(block),
    )
    return f"{found} {WORDS['not_before'].format(date=date_in_words(block.allotted))}"


def _uncovered(serial: Serial, blocks: Sequence[Block]) -> str:
    """Return what is said where no lot covers a number: what is known, and no nearest lot."""
    said = [WORDS["none"].format(serial=serial)]
    prefixes = dict.fromkeys(block.prefix for block in blocks)
    known = ", ".join(prefix for prefix in prefixes if prefix)
    if not blocks:
        said.append(WORDS["no_lots"])
    elif serial.prefix in prefixes:
        own = [block for block in blocks if block.prefix == serial.prefix]
        ends = ", ".join(dict.fromkeys(block.suffix for block in own if block.suffix))
        if all(block.suffix != serial.suffix for block in own):
            ended = WORDS["ended"].format(suffix=serial.suffix)
            said.append(WORDS["other_ends"].format(known=ends) if ends else ended)
        elif serial.prefix:
            runs = ", ".join(f"{one.first} to {one.last}" for one in own)
            said.append(WORDS["runs"].format(prefix=serial.prefix, runs=runs))
    elif known:
        name = "other_letters" if serial.prefix else "without_letters"
        said.append(WORDS[name].format(known=known))
    return " ".join(said)


def _others(text: str, serial: Serial, blocks: Sequence[Block]) -> Iterator[tuple[Serial, str]]:
    """Yield what else the signs of a number may be, and why, where a lot covers it.

    A letter stands for the one figure that it is mistaken for; letters before the number
    are held to those of the lots. Each of the lots' letters gives one reading at most.
    """
    signs = compact(text)
    seen = {serial}
    for block in blocks:
        for typed in dict.fromkeys((signs, signs.removesuffix(serial.suffix))):
            read = _read_with(typed, block)
            if read is None or read[0] in seen:
                continue
            other, changes = read
            if any(one.covers(other) for one in blocks):
                seen.add(other)
                yield other, "; ".join(_because(serial, other, changes, typed != signs))


def _read_with(typed: str, block: Block) -> tuple[Serial, list[tuple[str, str]]] | None:
    """Return signs read with a block's letters before and behind, and the signs read anew."""
    end = len(typed) - len(block.suffix)
    body = typed[len(block.prefix) : end]
    wanted = block.prefix + "".join(sign_of(sign) for sign in body) + block.suffix
    figures = wanted[len(block.prefix) : len(block.prefix) + len(body)]
    if not figures.isdecimal() or not figures.isascii() or len(figures) > MOST_FIGURES:
        return None
    if len(wanted) != len(typed):
        return None
    if [sign_of(sign) for sign in typed] != [sign_of(sign) for sign in wanted]:
        return None
    changes = [(old, new) for old, new in zip(typed, wanted, strict=True) if old != new]
    return Serial(block.prefix, int(figures), block.suffix), changes


def _because(
    serial: Serial, other: Serial, changes: Iterable[tuple[str, str]], left_out: bool
) -> Iterator[str]:
    for written, read in dict.fromkeys(changes):
        yield WORDS["read_as"].format(written=written, read=read)
    if left_out:
        yield WORDS["left_out"].format(suffix=serial.suffix)
    elif not changes and serial.prefix != other.prefix and other.prefix:
        yield WORDS["set_off"].format(prefix=other.prefix)


def script_rules() -> Plain:
    """Return the rules as the script of the reader's page takes them."""
    return {
        "label": for_script(LABEL),
        "serial": for_script(SERIAL),
        "other": for_script(OTHER),
        "most": MOST_FIGURES,
        "signs": SIGNS,
        "months": list(MONTHS),
        "words": WORDS,
        "noSerial": NO_SERIAL,
        "tooLong": TOO_LONG,
    }
