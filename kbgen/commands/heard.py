"""``kbgen heard``: every value that a recording's captions state, held to the registers."""

from __future__ import annotations

import argparse
import sys
from typing import TYPE_CHECKING

from kbgen.commands.common import (
    Command,
    WrongUse,
    add_day,
    add_json,
    add_tree,
    paint,
    print_json,
    today,
    tree_root,
)

if TYPE_CHECKING:
    from pathlib import Path

    from kbgen.checks import Checked
    from kbgen.content import RecordingFile

__all__ = ["COMMAND"]


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("recording", metavar="RECORDING", help="the recording's id")
    parser.add_argument(
        "--start-note", metavar="TIME", help="begin a note from what is said from this moment on"
    )
    add_day(parser, "on which the note is begun")
    add_tree(parser)
    add_json(parser)


def _run(arguments: argparse.Namespace) -> int:
    root = tree_root(arguments)
    from kbgen.checks import checked_tree, heard
    from kbgen.commands.recordings import recording_named
    from kbgen.desk import heard_lines, heard_shape

    checked = checked_tree(root)
    recording = recording_named(checked.tree, arguments.recording)
    if not recording.captions:
        raise WrongUse(
            f"there are no captions of {recording.id}",
            f"put them into content/recordings/{recording.id}.vtt or .srt",
        )
    if arguments.start_note:
        return _start_note(root, checked, recording, arguments)
    values = heard(checked, recording)
    if arguments.json:
        print_json([heard_shape(one) for one in values])
    elif not values:
        print("No thread, torque, tightness or length is said.")
    else:
        for one in values:
            head, *lines = heard_lines(checked.tree, one)
            print(paint(head, "error" if one.stands_wrong else "strong"), *lines, sep="\n")
    return 1 if not values or any(one.stands_wrong for one in values) else 0


def _start_note(
    root: Path, checked: Checked, recording: RecordingFile, arguments: argparse.Namespace
) -> int:
    from kbgen.content import write_started
    from kbgen.desk import note_from_recording

    try:
        text, title = note_from_recording(
            checked, recording, arguments.start_note, today(arguments)
        )
    except ValueError as error:
        raise WrongUse(str(error), "times are 12:40 or 1:02:40; kbgen heard shows them") from error
    path = write_started(root, text, title)
    if arguments.json:
        print_json({"path": path.relative_to(root).as_posix()})
    else:
        print(f"{path.relative_to(root).as_posix()} is begun, as a draft.")
    print("It is published once its standing is: published.", file=sys.stderr)
    return 0


COMMAND = Command(
    name="heard",
    summary="show what a recording states and whether the registers agree; begin a note from it",
    example="kbgen heard winder-evening\nkbgen heard winder-evening --start-note 12:40",
    arguments=_arguments,
    run=_run,
)
