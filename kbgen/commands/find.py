"""``kbgen find``: past repairs by symptom, in anybody's words."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from kbgen.commands.common import Command, WrongUse, add_json, add_tree, paint, tree_root

if TYPE_CHECKING:
    from kbgen.search import Results

__all__ = ["COMMAND"]


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "words", metavar="QUERY", nargs="*", help="what the machine does, or a screw"
    )
    add_tree(parser)
    parser.add_argument("--limit", type=int, default=10, metavar="N", help="how many notes (10)")
    parser.add_argument(
        "--from", dest="source", metavar="FILE", help="one query a line, answers as JSON a line"
    )
    add_json(parser)


def _run(arguments: argparse.Namespace) -> int:
    if bool(arguments.words) == bool(arguments.source):
        raise WrongUse("say what to find, or name a file of queries with --from, one of the two")
    if not 1 <= arguments.limit <= 1000:
        raise WrongUse(f"--limit is a number from 1 to 1000, got {arguments.limit}")
    root = tree_root(arguments)
    from kbgen.search import open_bench

    bench = open_bench(root)
    if arguments.source:
        for query in _queries(arguments.source):
            results = bench.find(query, arguments.limit)
            print(json.dumps(results.shape(), ensure_ascii=False))
        return 0
    results = bench.find(" ".join(arguments.words), arguments.limit)
    if arguments.json:
        print(json.dumps(results.shape(), ensure_ascii=False, indent=2))
    else:
        _print(results)
    return 0 if results.results or results.pages else 1


def _queries(name: str) -> list[str]:
    if name == "-":
        return sys.stdin.read().splitlines()
    path = Path(name)
    if not path.is_file():
        raise WrongUse(f"there is no file {name}", "name a text file with one query a line")
    return path.read_text(encoding="utf-8", errors="replace").splitlines()


def _print(results: Results) -> None:
    for widened in results.widened:
        print(paint(f"“{widened.said}” also looked for as {widened.also}", "quiet"))
    for page in results.pages:
        print(f"     {paint(page.thread, 'strong')}  {page.address}")
    if not results.results and not results.pages:
        print("Nothing found. Try the lists in the site: by symptom, machine, screw or part.")
    for rank, result in enumerate(results.results, 1):
        weak = paint("  (weak)", "warning") if result.weak else ""
        print(f"{rank:>3}  {paint(result.title, 'strong')}  {result.address}{weak}")
        for line in result.lines:
            print(f"     {line}")


COMMAND = Command(
    name="find",
    summary="find past repairs by symptom, in anybody's words, or by thread",
    example="kbgen find the little wheel at the back slips\nkbgen find 5/16 by 18",
    arguments=_arguments,
    run=_run,
)
