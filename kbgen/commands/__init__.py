"""The commands, one module each, loaded when they are asked for.

A command's module and the heavy rooms that it needs are imported for that command alone,
so that a word at the bench does not wait for all the others.
"""

from __future__ import annotations

from importlib import import_module

from kbgen.commands.common import Command

__all__ = ["NAMES", "all_commands", "command_named"]

NAMES: tuple[str, ...] = (
    "build",
    "inspect",
    "find",
    "scan",
    "thread",
    "fit",
    "torque",
    "identify",
    "serial",
    "proof",
    "jot",
    "intake",
    "reply",
    "shownotes",
    "heard",
    "told",
    "rundown",
    "wanted",
    "bag",
    "schema",
)
"""The names of all commands, in the order in which the help shows them."""


def command_named(name: str) -> Command:
    """Return one command. Raises: KeyError where there is none of that name."""
    if name not in NAMES:
        raise KeyError(name)
    command: Command = import_module(f"{__name__}.{name}").COMMAND
    return command


def all_commands() -> tuple[Command, ...]:
    """Return every command, in the order of ``NAMES``."""
    return tuple(map(command_named, NAMES))
