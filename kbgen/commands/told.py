"""``kbgen told``: who was told a figure that was corrected since."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from kbgen.commands.common import (
    Command,
    WrongUse,
    add_json,
    add_tree,
    day,
    paint,
    print_json,
    tree_root,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from kbgen.desk import Telling

__all__ = ["COMMAND"]


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "place",
        metavar="PLACE",
        nargs="?",
        help="a register row (FAMILY/ROW), a note's number or a recording's id; all without it",
    )
    parser.add_argument(
        "--since", type=day, metavar="YYYY-MM-DD", help="only what was corrected from this day on"
    )
    add_tree(parser)
    add_json(parser)


def _run(arguments: argparse.Namespace) -> int:
    root = tree_root(arguments)
    from kbgen.checks import checked_tree
    from kbgen.desk import Tellings, told_lines, told_shape

    tellings = list(Tellings(checked_tree(root)).all())
    if arguments.place:
        tellings = _of_place(tellings, arguments.place)
    if arguments.since:
        tellings = [one for one in tellings if one.corrected.date >= arguments.since]
    if arguments.json:
        print_json([told_shape(one) for one in tellings])
    elif not tellings:
        print("Nothing was corrected.")
    else:
        for one in tellings:
            head, *lines = told_lines(one)
            print(paint(head, "strong"), *lines, sep="\n")
    return 0 if tellings else 1


def _of_place(tellings: Sequence[Telling], said: str) -> list[Telling]:
    """Return the corrections of one place, those told once more by others included.

    Raises: WrongUse where nothing of that name was ever corrected.
    """
    name = str(int(said)) if said.isascii() and said.isdigit() else said
    found = []
    for one in tellings:
        places = (one.corrected.place, *one.corrected.repeated)
        if any(str(place).partition(":")[2] == name for place in places):
            found.append(one)
    if not found:
        known = dict.fromkeys(str(one.corrected.place).partition(":")[2] for one in tellings)
        raise WrongUse(
            f"no correction stands at {said}",
            f"corrected were: {', '.join(known)}" if known else "nothing was ever corrected",
        )
    return found


COMMAND = Command(
    name="told",
    summary="show who was told a figure that was corrected since, with a line ready for each",
    example="kbgen told --since 2026-03-01\nkbgen told halverin-h/winder-bracket-screw",
    arguments=_arguments,
    run=_run,
)
