"""``kbgen inspect``: every finding of a tree, without publishing anything."""

from __future__ import annotations

import argparse
import sys

from kbgen.commands.common import Command, add_json, add_tree, tree_root

__all__ = ["COMMAND"]


def _arguments(parser: argparse.ArgumentParser) -> None:
    add_tree(parser)
    add_json(parser)
    parser.add_argument(
        "--form",
        choices=("text", "json", "sarif", "junit"),
        default="text",
        help="how the findings are printed (SARIF 2.1.0 and JUnit XML are for other programs)",
    )


def _run(arguments: argparse.Namespace) -> int:
    from kbgen.build import inspect
    from kbgen.commands.report import print_findings
    from kbgen.findings import render, stops_build

    findings = inspect(tree_root(arguments))
    form = "json" if arguments.json else arguments.form
    if form == "text":
        print_findings(findings, sys.stdout)
    else:
        sys.stdout.write(render(findings, form))
    return 1 if stops_build(findings) else 0


COMMAND = Command(
    name="inspect",
    summary="report everything that is wrong or doubtful in the content",
    example="kbgen inspect\nkbgen inspect --form sarif > findings.sarif",
    arguments=_arguments,
    run=_run,
)
