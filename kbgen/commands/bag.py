"""``kbgen bag``: the whole knowledge base for handing on, and whether a bag is whole."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from kbgen.commands.common import (
    Command,
    WrongUse,
    add_day,
    add_json,
    add_tree,
    print_json,
    today,
    tree_root,
)
from kbgen.commands.progress import progress_shown

__all__ = ["COMMAND"]


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("folder", metavar="DIR", help="the folder of the bag")
    parser.add_argument(
        "--verify", action="store_true", help="say what is wrong with a bag instead of making one"
    )
    add_tree(parser)
    add_day(parser, "that is written into the bag")
    add_json(parser)


def _run(arguments: argparse.Namespace) -> int:
    folder = Path(arguments.folder)
    return _verify(folder, arguments.json) if arguments.verify else _make(folder, arguments)


def _verify(folder: Path, json: bool) -> int:
    from kbgen.bag import check_bag

    if not folder.is_dir():
        raise WrongUse(f"there is no folder {folder}", "name the folder of a bag")
    slips = check_bag(folder)
    if json:
        found = [{"path": slip.path, "what": slip.what} for slip in slips]
        print_json({"bag": str(folder), "whole": not slips, "slips": found})
    elif slips:
        for slip in slips:
            print(slip)
        many = "one thing is" if len(slips) == 1 else f"{len(slips)} things are"
        print(f"The bag is not whole: {many} wrong.")
    else:
        print("The bag is whole: every file is there, and is what it was.")
    return 1 if slips else 0


def _make(folder: Path, arguments: argparse.Namespace) -> int:
    from kbgen.bag import BagRefused, pack
    from kbgen.build import checked_tree
    from kbgen.commands.report import print_findings

    root = tree_root(arguments)
    checked = checked_tree(root)
    if not checked.publishable:
        print_findings(checked.findings, sys.stderr, advice=False)
        print("No bag was made: what is wrong would be handed on.", file=sys.stderr)
        return 1
    try:
        with progress_shown() as progress:
            packed = pack(root, checked, folder, today(arguments), _waiting, progress)
    except BagRefused as refused:
        raise WrongUse(str(refused), refused.hint) from refused
    if arguments.json:
        print_json({"bag": str(folder), "files": packed.files, "bytes": packed.bytes})
    else:
        print(f"{packed.files} files are in the bag {folder}. Begin with data/READ-ME.txt in it.")
    return 0


def _waiting() -> None:
    print("Another bag is being made there; waiting for it.", file=sys.stderr)


COMMAND = Command(
    name="bag",
    summary="put the whole knowledge base into one folder for handing on, or verify one",
    example="kbgen bag ../larch-row-2026\nkbgen bag --verify ../larch-row-2026",
    arguments=_arguments,
    run=_run,
)
