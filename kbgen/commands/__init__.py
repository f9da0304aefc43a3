"""The commands, one module each; heavy rooms are imported only when a command runs."""

from kbgen.commands import build, find, inspect, scan, schema
from kbgen.commands.common import Command

__all__ = ["COMMANDS"]

COMMANDS: tuple[Command, ...] = (
    build.COMMAND,
    inspect.COMMAND,
    find.COMMAND,
    scan.COMMAND,
    schema.COMMAND,
)
