"""``kbgen rundown``: the running order of a question-and-answer recording."""

from __future__ import annotations

import argparse
import re
import sys
from pathlib import Path
from typing import TYPE_CHECKING

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

if TYPE_CHECKING:
    import datetime

    from kbgen.content import Tree
    from kbgen.desk import Rundown

__all__ = ["COMMAND"]

_LONGEST = 1440  # minutes of a day
_NUMBER = re.compile(r"[Qq]?0*([1-9][0-9]{0,5})", re.ASCII)


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--minutes", type=int, metavar="N", help="fit it into so many minutes (else all of it)"
    )
    parser.add_argument(
        "--without",
        action="append",
        default=[],
        metavar="QNNNN",
        help="leave a question out this time",
    )
    parser.add_argument("--into", metavar="FILE.md", help="write the Markdown into a file")
    parser.add_argument("--page", metavar="FILE.html", help="write a page to open and print")
    parser.add_argument(
        "--start-notes",
        action="store_true",
        help="begin a draft for every question that no note answers",
    )
    add_day(parser, "of the recording")
    add_tree(parser)
    add_json(parser)


def _run(arguments: argparse.Namespace) -> int:
    minutes = arguments.minutes
    if minutes is not None and not 1 <= minutes <= _LONGEST:
        raise WrongUse(f"--minutes is a number from 1 to {_LONGEST}, got {minutes}")
    aside = [_number(one) for one in arguments.without]
    root = tree_root(arguments)
    from kbgen.checks import check
    from kbgen.content import load_tree, load_whole_tree
    from kbgen.desk import Matcher, render_rundown, render_rundown_page, rundown_of, rundown_shape

    checked = check((load_whole_tree if arguments.start_notes else load_tree)(root))
    day = today(arguments)
    rundown = rundown_of(checked, Matcher(checked), day, minutes, aside)
    if arguments.page:
        try:
            page = render_rundown_page(checked, rundown, root / "templates")
        except ValueError as error:
            raise WrongUse(f"no page can be made: {error}") from error
        _write(arguments.page, page)
    if arguments.into:
        _write(arguments.into, render_rundown(rundown).encode())
    if arguments.start_notes:
        _start(checked.tree, root, rundown, day)
    if arguments.json:
        print_json(rundown_shape(rundown))
    elif not arguments.into and not arguments.page:
        print(render_rundown(rundown), end="")
    return 0 if rundown.items or rundown.to_look_at or rundown.left_over else 1


def _number(named: str) -> int:
    found = _NUMBER.fullmatch(named)
    if found is None:
        raise WrongUse(f"a question is named by its number, as Q0017, not {named!r}")
    return int(found[1])


def _write(name: str, data: bytes) -> None:
    """Write a paper into a file, whole or not at all, and say so."""
    from kbgen.disk import replace_file

    path = Path(name)
    try:
        replace_file(path, data, path.parent / f".{path.name}.new")
    except OSError as error:
        raise WrongUse(f"{name} cannot be written: {error.strerror or error}") from error
    print(name, file=sys.stderr)


def _start(tree: Tree, root: Path, rundown: Rundown, day: datetime.date) -> None:
    from kbgen.desk import start_notes

    try:
        started = start_notes(tree, root, rundown.left_over, day)
    except (OSError, ValueError) as error:
        raise WrongUse(f"a note could not be begun: {error}") from error
    for item, path in started:
        print(f"{path.relative_to(root).as_posix()}: {item.short}", file=sys.stderr)
    if not started:
        print("no note was begun: nothing is left over that has none", file=sys.stderr)


COMMAND = Command(
    name="rundown",
    summary="write the running order of a question-and-answer recording",
    example="kbgen rundown --minutes 45 --page tonight.html\n"
    "kbgen rundown --into tonight.md --start-notes",
    arguments=_arguments,
    run=_run,
)
