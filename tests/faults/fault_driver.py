"""Publishes once, with one fault at one of its steps on the disk.

    fault_driver.py publish ROOT VERSION [kill|full] [STEP]
    fault_driver.py renames ROOT VERSION [kill|full] [STEP]

``renames`` publishes as a system does that cannot exchange two folders in one call.
A step is anything that touches the disk: a file opened for writing, a folder made, a
link, a rename, a removal, a flush. With ``count`` for the fault the number of steps is
printed. ``kill`` ends the process by SIGKILL just before the step; ``full`` makes the
step fail as a full disk does.
"""

from __future__ import annotations

import errno
import os
import signal
import sys
from collections.abc import Callable
from pathlib import Path

STEPS = frozenset(
    {"open", "os.mkdir", "os.link", "os.rename", "os.remove", "os.rmdir", "os.symlink", "os.chmod"}
)
WRITING = os.O_WRONLY | os.O_RDWR | os.O_CREAT | os.O_DIRECTORY


def is_step(event: str, arguments: tuple[object, ...]) -> bool:
    """Return whether an audit event is a step on the disk below the tree or its site."""
    if event not in STEPS:
        return False
    if event != "open":
        return True
    path, mode, flags = arguments
    if "kbgen" in str(path) and "__pycache__" in str(path):
        return False
    if mode is None:  # os.open: locks and flushes
        return isinstance(path, str | os.PathLike)
    return isinstance(flags, int) and bool(flags & WRITING)


class Fault:
    """Counts steps, and strikes at one of them."""

    def __init__(self, kind: str, at: int) -> None:
        self.kind = kind
        self.at = at
        self.seen = 0
        self.armed = False

    def hook(self, event: str, arguments: tuple[object, ...]) -> None:
        """Be told of every audit event of the process."""
        if not self.armed or not is_step(event, arguments):
            return
        self.seen += 1
        if self.kind == "count" or self.seen != self.at:
            return
        self.armed = False
        if self.kind == "kill":
            os.kill(os.getpid(), signal.SIGKILL)
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC), str(arguments[0]))


def files_of(version: str) -> dict[str, bytes]:
    """Return a small site of which the two versions differ in every way there is."""
    files = {"index.html": version.encode(), "n/0001.html": b"same in both"}
    files |= {f"n/{number:04}.html": version.encode() * number for number in range(2, 5)}
    files[f"m/{version}.html"] = b"only in this one"
    return files


def publish(root: Path, version: str) -> int:
    """Publish one version of the small site."""
    from kbgen.publish import PublishError, publishing

    ledger = "# head\n" + "".join(f"{name}\t{name}\n" for name in sorted(files_of(version)))
    try:
        with publishing(root, None, lambda: None) as place:
            if place.pending is not None:
                place.write_ledger(place.pending)
            place.write_site(files_of(version).items(), ledger.encode())
    except PublishError as error:
        print(error.message, "|", error.hint)
        return 2
    return 0


def renames(root: Path, version: str) -> int:
    """Publish with two renames in turn."""
    from kbgen.disk import swap

    swap._swap_call = lambda: None
    return publish(root, version)


def spared(root: Path, version: str) -> int:
    """Publish into the site before the last, as is done with large ones."""
    from kbgen.publish import publication

    publication._WORTH_SPARING = 1
    return publish(root, version)


def main() -> int:
    """Run one of the three with the fault that was asked for."""
    what, root, version, kind, at = (*sys.argv[1:], "none", "0")[:5]
    run: Callable[[Path, str], int] = {"publish": publish, "renames": renames, "spared": spared}[
        what
    ]
    fault = Fault(kind, int(at))
    sys.addaudithook(fault.hook)
    sys.dont_write_bytecode = True
    fault.armed = kind != "none"
    code = run(Path(root), version)
    fault.armed = False
    if kind == "count":
        print("steps:", fault.seen)
    return code


if __name__ == "__main__":
    sys.exit(main())
