"""The size of an inch thread as written: a fraction, a decimal, a whole number."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from math import gcd

from kbgen.units.complete import inch_size

__all__ = ["Size", "size_at"]


@dataclass(frozen=True, slots=True)
class Size:
    """A size read in a text.

    Shape: ``text`` as a Thread has it; ``start`` to ``end`` with its inch mark;
    ``number`` for a whole number, ``places`` the decimals written; ``marked``
    where inches or a diameter were named; ``count`` is the whole number of a
    mixed size set apart by a space, which may count screws instead, and
    ``part_at`` is where the fraction behind it begins. ``digits_end`` is where
    the inch mark would begin.
    """

    text: str
    start: int
    end: int
    number: bool
    places: int
    marked: bool
    count: int | None = None
    part_at: int = 0
    digits_end: int = 0

    @property
    def part(self) -> str:
        """The fraction of a mixed size."""
        return self.text.partition(" ")[2]


@cache
def _patterns() -> dict[str, re.Pattern[str]]:
    return {
        "size": re.compile(
            r"(?:(?P<whole>[1-9]\d?)(?P<gap>[ -]| - ?))?"
            r"(?P<num>\d{1,2})/(?P<den>2|4|8|16|32|64)(?!\d)"
            r"|(?P<dec>[0-4]?\.\d{2,4})(?!\d)|(?P<int>\d{1,2})(?!\d)"
        ),
        "slashed": re.compile(r"(?P<int>\d{1,2})(?=/\d)"),
        "mark": re.compile(
            r"(?: ?(?:\"|'')|[ -]?in(?:ch(?:es)?|\.)?(?![a-z]))?"
            r"(?: (?:dia(?:meter|m)?\b\.?|od\b))?"
        ),
    }


def size_at(low: str, at: int) -> Size | None:
    """Return the size that begins at ``at``; None where none does."""
    patterns = _patterns()
    size = patterns["size"].match(low, at)
    if size is None:
        return None
    end = size.end()
    text, number = "", False
    if size["num"]:
        numerator, denominator = int(size["num"]), int(size["den"])
        if 0 < numerator < denominator and gcd(numerator, denominator) == 1:
            text = f"{numerator}/{denominator}"
        elif size["whole"] or (slashed := patterns["slashed"].match(low, at)) is None:
            return None
        else:
            # "10/32 screw": a slash for the hyphen, no fraction is written so.
            text, number, end = str(numerator), True, slashed.end()
    elif size["dec"]:
        text = inch_size(size["dec"])
    else:
        text, number = str(int(size["int"])), True
    mark = patterns["mark"].match(low, end)
    marked_end = mark.end() if mark else end
    return Size(
        f"{size['whole']} {text}" if size["whole"] else text,
        at,
        marked_end,
        number,
        len((size["dec"] or "").partition(".")[2]),
        marked_end > end,
        int(size["whole"]) if size["whole"] and size["gap"] == " " else None,
        size.start("num") if size["num"] else at,
        end,
    )
