"""The command line: reads the words, hands over to one command, and ends with its exit code.

Exit codes: 0 fine, 1 findings or nothing found, 2 wrong use or a machine that
would not do its part. No command ends in a traceback for what a person typed.
"""

from __future__ import annotations

import argparse
import contextlib
import gc
import os
import sys
from collections.abc import Sequence
from typing import NoReturn

from kbgen import __version__
from kbgen.commands import NAMES, all_commands, command_named
from kbgen.commands.common import Command, WrongUse

__all__ = ["main", "run"]

_YOUNG, _OLDER, _OLDEST = 50_000, 20, 100
"""New objects, and rounds, between two looks of the collector. It looks for rings of objects
that nobody needs; a tree of ten thousand notes has none, and the usual looks at all of it
would take as long as reading it."""


class _Parser(argparse.ArgumentParser):
    """A parser whose errors say what to do next and end with 2."""

    def error(self, message: str) -> NoReturn:
        self.print_usage(sys.stderr)
        self.exit(2, f"{self.prog}: {message}\n    hint: {self.prog} --help shows an example\n")


def build_parser(commands_shown: Sequence[Command]) -> argparse.ArgumentParser:
    """Return the parser of a command line with these commands, each with its example."""
    parser = _Parser(
        prog="kbgen",
        description="Turns repair notes into a checked, cross-linked and searchable help site.",
    )
    parser.add_argument("--version", action="version", version=f"kbgen {__version__}")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", required=True)
    for command in commands_shown:
        example = "\n".join(f"  {line}" for line in command.example.splitlines())
        sub = commands.add_parser(
            command.name,
            help=command.summary,
            description=command.summary[0].upper() + command.summary[1:] + ".",
            epilog=f"example:\n{example}",
            formatter_class=argparse.RawDescriptionHelpFormatter,
        )
        command.arguments(sub)
        sub.set_defaults(run=command.run)
    return parser


def run() -> NoReturn:
    """Run one command as all that this process does.

    It ends at once: to take a large tree apart, value by value, would take a second.
    """
    gc.set_threshold(_YOUNG, _OLDER, _OLDEST)
    code = main()
    with contextlib.suppress(OSError, ValueError):
        sys.stderr.flush()
    os._exit(code)


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command.

    Shape: ``argv`` without the program's name; the process's own words when None.
    Returns the exit code.
    """
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(encoding="utf-8", errors="replace")
    try:
        words = sys.argv[1:] if argv is None else list(argv)
        asked = words[0] if words else ""
        known = (command_named(asked),) if asked in NAMES else all_commands()
        arguments = build_parser(known).parse_args(words)
        code: int = arguments.run(arguments)
        sys.stdout.flush()
    except SystemExit as ended:
        return ended.code if isinstance(ended.code, int) else 2
    except WrongUse as wrong:
        print(f"kbgen: {wrong}", file=sys.stderr)
        if wrong.hint:
            print(f"    hint: {wrong.hint}", file=sys.stderr)
        return 2
    except KeyboardInterrupt:
        print("kbgen: interrupted; what was published before still stands", file=sys.stderr)
        return 2
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 2
    except OSError as broken:
        where = f" ({broken.filename})" if broken.filename else ""
        print(f"kbgen: the machine would not: {broken.strerror or broken}{where}", file=sys.stderr)
        return 2
    return code
