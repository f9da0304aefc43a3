"""When two statements of one place can both be true."""

from __future__ import annotations

import pytest

from kbgen.checks.agreement import agree
from kbgen.prose.figures import read_figure
from kbgen.units import NO_HOUSE, HouseThreads, Kind

HOUSE = HouseThreads.of(["3/16-30 house"])


@pytest.mark.parametrize(
    ("kind", "said", "held", "expected"),
    [
        (Kind.THREAD, "SM11/64-40", "SM11/64-40", True),
        (Kind.THREAD, "11/64-40", "SM11/64-40", True),
        (Kind.THREAD, "9/64-40", "SM11/64-40", False),
        (Kind.THREAD, "40 TPI", "SM11/64-40", True),
        (Kind.THREAD, "32 TPI", "SM11/64-40", False),
        (Kind.THREAD, "1/4-20", "1/4-20 BSW", True),
        (Kind.THREAD, "1/4-20 UNC", "1/4-20 BSW", False),
        (Kind.THREAD, "1/4-20 UNC-2A", "1/4-20 UNC", True),
        (Kind.THREAD, "M6", "M6x1", True),
        (Kind.THREAD, "M6x0.75", "M6x1", False),
        (Kind.THREAD, "M5", "M6x1", False),
        (Kind.THREAD, "4 BA", "4 BA", True),
        (Kind.THREAD, "2 BA", "4 BA", False),
        (Kind.THREAD, "10-32 UNF", "SM3/16-32", False),
        (Kind.THREAD, "3/16-30", "3/16-30 house", True),
        # the hand is held only where it is said
        (Kind.THREAD, "1/4-28 UNF", "1/4-28 UNF LH", True),
        (Kind.THREAD, "1/4-28 UNF LH", "1/4-28 UNF", False),
        # NIST SP 811, appendix B.8: 1 lbf·in = 0.112 984 8 N·m, 1 lbf·ft = 1.355 818 N·m
        (Kind.TORQUE, "4 N·m", "4.0 N·m", True),
        (Kind.TORQUE, "4.2 N·m", "4 N·m", False),
        (Kind.TORQUE, "35 lbf·in", "4 N·m", True),
        (Kind.TORQUE, "35 lbf·ft", "4 N·m", False),
        (Kind.TORQUE, "3 lbf·ft", "4 N·m", True),
        (Kind.TORQUE, "400 cN·m", "4 N·m", True),
        (Kind.TORQUE, "5 N·m", "4..6 N·m", True),
        (Kind.TORQUE, "7 N·m", "4..6 N·m", False),
        (Kind.TORQUE, "max 3 N·m", "4 N·m", False),
        (Kind.TORQUE, "4 N·m + 90 deg", "4 N·m + 60 deg", False),
        (Kind.LENGTH, "8 mm", "8 mm", True),
        (Kind.LENGTH, "8 mm", "9 mm", False),
        (Kind.LENGTH, "5/16 in", "8 mm", True),
        (Kind.TIGHTNESS, "snug, then a quarter of a turn", "snug, then an eighth of a turn", False),
        (Kind.TIGHTNESS, "snug", "snug, then an eighth of a turn", True),
        (Kind.TIGHTNESS, "finger-tight", "snug", True),
    ],
)
def test_agree(kind: Kind, said: str, held: str, expected: bool) -> None:
    house = HOUSE if "house" in held else NO_HOUSE
    assert agree(read_figure(said, kind, house), read_figure(held, kind, house)) is expected


def test_unlike_kinds_say_nothing_of_each_other() -> None:
    torque = read_figure("4 N·m", Kind.TORQUE, NO_HOUSE)
    assert agree(torque, read_figure("M6x1", Kind.THREAD, NO_HOUSE))
