"""``kbgen identify``: every thread that a caliper and a pitch gauge may have met."""

from __future__ import annotations

import argparse
from typing import Any

from kbgen.commands.common import Command, WrongUse, add_json, add_tree, paint, print_json
from kbgen.commands.reading import (
    house_of,
    read_diameter,
    read_length_mm,
    read_pitch_mm,
    tree_of,
)

__all__ = ["COMMAND"]


def _arguments(parser: argparse.ArgumentParser) -> None:
    measured = parser.add_mutually_exclusive_group(required=True)
    measured.add_argument("--major", metavar="LENGTH", help="diameter over the crests of a screw")
    measured.add_argument("--bore", metavar="LENGTH", help="diameter between the crests of a hole")
    parser.add_argument("--pitch", required=True, metavar="PITCH", help="40tpi or 0.7mm")
    parser.add_argument(
        "--within", metavar="LENGTH", default="0.02mm", help="how far off a reading may be (0.02mm)"
    )
    add_tree(parser)
    add_json(parser)


def _run(arguments: argparse.Namespace) -> int:
    from kbgen.units import describe_identify

    option = "--bore" if arguments.bore else "--major"
    read = read_diameter(arguments.bore or arguments.major, option)
    within = read_length_mm(arguments.within, "--within")
    try:
        described = describe_identify(
            float(read.middle_mm),
            read_pitch_mm(arguments.pitch),
            float(within + read.half_mm),
            bore=bool(arguments.bore),
            house=sorted(house_of(tree_of(arguments)).threads),
        )
    except ValueError as wrong:
        raise WrongUse(str(wrong)) from wrong
    if arguments.json:
        print_json(described)
    else:
        _print(described)
    return 0 if described["candidates"] else 1


def _print(described: dict[str, Any]) -> None:
    candidates = described["candidates"]
    if not candidates:
        print("No thread of any series fits these readings. Measure again before you guess.")
        return
    print(f"{len(candidates)} may be meant" if len(candidates) > 1 else "One thread fits")
    for found in candidates:
        low, high = found["expected_mm"]
        memory = "  (figures from memory)" if found["from_memory"] else ""
        print(
            f"  {paint(found['canonical'], 'strong')}  expected {low:.3f} to {high:.3f} mm{memory}"
        )
        if found["settled_by"]:
            print(f"      {found['settled_by']}")


COMMAND = Command(
    name="identify",
    summary="name every thread that fits a measured diameter and pitch",
    example="kbgen identify --major 3.55mm --pitch 40tpi\n"
    'kbgen identify --major "3.5-3.6 mm" --pitch "40 per inch"\n'
    "kbgen identify --bore 5.1mm --pitch 20tpi --within 0.05mm",
    arguments=_arguments,
    run=_run,
)
