"""``kbgen build``: check everything, then publish it, or change nothing."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from kbgen.commands.common import Command, WrongUse, add_tree, tree_root
from kbgen.commands.progress import progress_shown

__all__ = ["COMMAND"]


def _arguments(parser: argparse.ArgumentParser) -> None:
    add_tree(parser)
    parser.add_argument("--into", metavar="DIR", help="the folder to publish into (else site/)")
    parser.add_argument(
        "--read-all",
        action="store_true",
        help="read every file, also those whose size and times are the ones from before",
    )


def _run(arguments: argparse.Namespace) -> int:
    from kbgen.build import build
    from kbgen.commands.report import print_findings
    from kbgen.publish import PublishError

    root = tree_root(arguments)
    into = Path(arguments.into) if arguments.into else None
    try:
        with progress_shown() as progress:
            built = build(root, into, progress, _waiting, trusting=not arguments.read_all)
    except PublishError as broken:
        raise WrongUse(broken.message, broken.hint) from broken
    print_findings(built.findings, sys.stderr, advice=False)
    if not built.published:
        print("Nothing was published; the site is as it was before.", file=sys.stderr)
        return 1
    print(f"{built.pages} pages are published. Open {built.index} in a browser.")
    return 0


def _waiting() -> None:
    print("Another build is running here; waiting for it to end.", file=sys.stderr)


COMMAND = Command(
    name="build",
    summary="check the content, then publish the whole site, or change nothing",
    example="kbgen build --tree my-workshop",
    arguments=_arguments,
    run=_run,
)
