"""The commands, one module each; heavy rooms are imported only when a command runs."""

from kbgen.commands import (
    build,
    find,
    fit,
    identify,
    inspect,
    jot,
    proof,
    reply,
    scan,
    schema,
    thread,
    torque,
)
from kbgen.commands.common import Command

__all__ = ["COMMANDS"]

COMMANDS: tuple[Command, ...] = (
    build.COMMAND,
    inspect.COMMAND,
    find.COMMAND,
    scan.COMMAND,
    thread.COMMAND,
    fit.COMMAND,
    torque.COMMAND,
    identify.COMMAND,
    proof.COMMAND,
    jot.COMMAND,
    reply.COMMAND,
    schema.COMMAND,
)
