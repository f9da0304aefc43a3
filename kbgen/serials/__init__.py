"""Serial numbers and the lots they were allotted in: reading, arithmetic, and the answer in words.

A lot says when a block of numbers was allotted to a works. Allotted is not made: what
follows from a number is "not before", never "in". Bounds are part of their lot; a number
that no lot covers is in none, never in the nearest; letters that are mistaken for figures
are offered as other readings and never assumed. The room knows no files; whatever has the
attributes of ``LotRow`` is a lot to it.
"""

from kbgen.serials.answer import describe_serial, script_rules
from kbgen.serials.lots import (
    Block,
    Gap,
    LotRow,
    Slip,
    Totals,
    gaps,
    out_of_order,
    overlaps,
    read_lots,
    totals,
)
from kbgen.serials.serial import Serial, parse_serial

__all__ = [
    "Block",
    "Gap",
    "LotRow",
    "Serial",
    "Slip",
    "Totals",
    "describe_serial",
    "gaps",
    "out_of_order",
    "overlaps",
    "parse_serial",
    "read_lots",
    "script_rules",
    "totals",
]
