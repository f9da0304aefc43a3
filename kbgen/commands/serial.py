"""``kbgen serial``: the lots that a serial number stands in, and what follows from them."""

from __future__ import annotations

import argparse
from difflib import get_close_matches
from typing import TYPE_CHECKING, Any

from kbgen.commands.common import (
    Command,
    WrongUse,
    add_json,
    add_tree,
    paint,
    print_json,
    tree_root,
)

if TYPE_CHECKING:
    from kbgen.content import FamilyFile

__all__ = ["COMMAND"]


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("words", metavar="NUMBER", nargs="+", help="as stamped, letters and all")
    parser.add_argument("--family", metavar="ID", required=True, help="the family of the machine")
    add_tree(parser)
    add_json(parser)


def _run(arguments: argparse.Namespace) -> int:
    from kbgen.serials import describe_serial, read_lots
    from kbgen.text import NotationError

    family = _family(arguments)
    rows = family.model.lots
    names = {variant.id: variant.name for variant in family.model.variants}
    try:
        described = describe_serial(" ".join(arguments.words), rows, names)
    except NotationError as unreadable:
        raise WrongUse(unreadable.message, unreadable.hint) from unreadable
    if arguments.json:
        print_json(described)
    else:
        _print(described)
        for slip in read_lots(rows)[1]:
            print(paint(f"  not looked at, lot {slip.index + 1}: {slip.message}", "warning"))
    return 0 if described["lots"] else 1


def _family(arguments: argparse.Namespace) -> FamilyFile:
    """Return the family that was named.

    Raises: WrongUse where the tree has none of that id.
    """
    from kbgen.content import load_tree

    families = load_tree(tree_root(arguments)).tree.families
    if arguments.family in families:
        return families[arguments.family]
    near = get_close_matches(arguments.family, sorted(families), n=3, cutoff=0.5)
    hint = f"did you mean {' or '.join(near)}?" if near else f"known are {', '.join(families)}"
    raise WrongUse(f"there is no family {arguments.family}", hint)


def _print(described: dict[str, Any]) -> None:
    print(paint(described["answer"], "strong" if described["lots"] else "warning"))
    for lot in described["lots"]:
        print(f"  {_lot(lot)}")
        print(f"      {lot['basis']}: {lot['source']}")
    if described["conflict"]:
        print("  Look at the lots in their sources: a number was allotted once.")
    for other in described["other_readings"]:
        lots = "; ".join(_lot(lot) for lot in other["lots"])
        print(f"  {other['canonical']}, if that is meant ({other['because']}): {lots}")


def _lot(lot: dict[str, Any]) -> str:
    made = f"number {lot['position']:,} of {lot['size']:,}, not before {lot['not_before']}"
    beside = [lot["works"], lot["variant_name"] or lot["variant"]]
    return ", ".join([f"{lot['lot']}: {made}", *(words for words in beside if words)])


COMMAND = Command(
    name="serial",
    summary="name every lot that a serial number stands in, and how old the machine is at most",
    example="kbgen serial HA 24001 --family halverin-h\nkbgen serial HB-5O,OO1 --family halverin-h",
    arguments=_arguments,
    run=_run,
)
