"""``kbgen shownotes``: the text block that goes under a recording."""

from __future__ import annotations

import argparse
import sys

from kbgen.commands.common import Command, add_json, add_tree, print_json, tree_root

__all__ = ["COMMAND", "LEFT_OUT"]

LEFT_OUT = ("summary", "notes", "parts")


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("recording", metavar="RECORDING", help="the recording's id")
    parser.add_argument(
        "--leave-out",
        action="append",
        default=[],
        choices=LEFT_OUT,
        help="leave this part out, where the block is too long; may be given several times",
    )
    add_tree(parser)
    add_json(parser)


def _run(arguments: argparse.Namespace) -> int:
    root = tree_root(arguments)
    from kbgen.checks import checked_tree
    from kbgen.commands.recordings import recording_named
    from kbgen.commands.report import print_findings
    from kbgen.desk import show_notes, show_notes_shape

    checked = checked_tree(root)
    recording = recording_named(checked.tree, arguments.recording)
    block = show_notes(checked, recording, arguments.leave_out)
    if arguments.json:
        print_json(show_notes_shape(block))
    elif block.refused:
        print_findings(block.refused, sys.stderr)
        print("No show notes are given: they would be passed over, or cut.", file=sys.stderr)
    else:
        print(block.text, end="")
    return 1 if block.refused else 0


COMMAND = Command(
    name="shownotes",
    summary="print the text that goes under a recording: chapters, notes, parts, cautions",
    example="kbgen shownotes winder-evening\nkbgen shownotes winder-evening --leave-out parts",
    arguments=_arguments,
    run=_run,
)
