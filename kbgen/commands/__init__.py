"""The commands, one module each; heavy rooms are imported only when a command runs."""

from kbgen.commands import (
    bag,
    build,
    find,
    fit,
    heard,
    identify,
    inspect,
    intake,
    jot,
    proof,
    reply,
    rundown,
    scan,
    schema,
    serial,
    shownotes,
    thread,
    told,
    torque,
    wanted,
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
    serial.COMMAND,
    proof.COMMAND,
    jot.COMMAND,
    intake.COMMAND,
    reply.COMMAND,
    shownotes.COMMAND,
    heard.COMMAND,
    told.COMMAND,
    rundown.COMMAND,
    wanted.COMMAND,
    bag.COMMAND,
    schema.COMMAND,
)
