"""``kbgen proof``: the site as you write, on this machine alone."""

from __future__ import annotations

import argparse

from kbgen.commands.common import Command, WrongUse, add_tree, tree_root

__all__ = ["COMMAND"]


def _arguments(parser: argparse.ArgumentParser) -> None:
    add_tree(parser)
    parser.add_argument(
        "--port", type=_port, default=0, metavar="N", help="the port to answer on (else a free one)"
    )


def _port(text: str) -> int:
    if not text.isascii() or not text.isdigit() or not 1 <= int(text) <= 65_535:
        raise argparse.ArgumentTypeError(f"a port is a number from 1 to 65535, not {text!r}")
    return int(text)


def _run(arguments: argparse.Namespace) -> int:
    import asyncio

    from kbgen.findings import counts
    from kbgen.proof import Proofs, Server

    root = tree_root(arguments)
    proofs = Proofs(root)

    def told() -> None:
        reading = proofs.reading
        tally = counts(reading.findings)
        found = ", ".join(f"{number} {name}" for name, number in tally.items() if number)
        print(f"Read: {reading.trouble or found or 'nothing was found'}.", flush=True)

    try:
        server = Server(proofs, arguments.port, told)
    except OSError as taken:
        raise WrongUse(
            f"port {arguments.port} cannot be had: {taken.strerror or taken}",
            "name another with --port, or leave it out for a free one",
        ) from taken
    print(f"The proof of {root} is at {server.address}", flush=True)
    print("Findings stand beside the pages, drafts are shown. End it with Ctrl-C.", flush=True)
    try:
        asyncio.run(server.run())
    except KeyboardInterrupt:
        print("The proof has ended.")
    return 0


COMMAND = Command(
    name="proof",
    summary="show the site as you write, drafts and findings included, on this machine alone",
    example="kbgen proof --tree my-workshop --port 8017",
    arguments=_arguments,
    run=_run,
)
