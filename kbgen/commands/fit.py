"""``kbgen fit``: what happens when this screw is offered to that hole."""

from __future__ import annotations

import argparse

from kbgen.commands.common import Command, WrongUse, add_json, paint, print_json
from kbgen.commands.reading import read_thread

__all__ = ["COMMAND"]


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--screw", required=True, metavar="THREAD", help="the thread of the screw")
    parser.add_argument("--hole", required=True, metavar="THREAD", help="the thread of the hole")
    add_json(parser)


def _run(arguments: argparse.Namespace) -> int:
    from kbgen.units import describe_fit

    screw, hole = read_thread(arguments.screw), read_thread(arguments.hole)
    try:
        described = describe_fit(screw, hole)
    except ValueError as unsaid:
        raise WrongUse(str(unsaid), "say diameter and pitch of both") from unsaid
    if arguments.json:
        print_json(described)
        return 0
    print(f"{described['screw']} into {described['hole']}: {paint(described['outcome'], 'strong')}")
    print(f"  {described['in_words']}")
    for name, unit in (("turns", "turns before it binds"), ("hold_percent", "% of full thread")):
        three = described[name]
        if three is not None:
            print(
                f"  {unit:<22} tight {three['tight']:g}, middle {three['middle']:g}, "
                f"loose {three['loose']:g}"
            )
    print("  Never force it to find out: a casting does not mend.")
    return 0


COMMAND = Command(
    name="fit",
    summary="say what happens when a screw is offered to a hole of another thread",
    example='kbgen fit --screw "3/8-24 UNF" --hole "3/8-28 UN"',
    arguments=_arguments,
    run=_run,
)
