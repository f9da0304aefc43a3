"""Strikes every command that writes, at every step it takes on the disk: nothing may be lost.

    python tests/faults/thousand.py [FAULTS]

A fault is a kill before a step, a full disk, a disk that became read-only, a refusal, or
a file that vanished between listing and reading. After each one: the site is the earlier
one or the new one, whole; every content file holds what it held or what it was to hold;
no stray file stands in the content; what the command says is no traceback; and the next
run ends as a run without a fault does. Steps are told by Python itself (PEP 578).
"""

from __future__ import annotations

import contextlib
import errno
import io
import os
import shutil
import signal
import sys
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

from fault_driver import STEPS, WRITING, is_step

TREE = Path(__file__).resolve().parents[1] / "golden" / "tree"
KINDS = {
    "kill": 0,
    "full": errno.ENOSPC,
    "read-only": errno.EROFS,
    "refused": errno.EACCES,
    "vanished": errno.ENOENT,
}
PUBLISHED = ("content", "site", "out", "private")


@dataclass(frozen=True)
class Operation:
    """A command, and the tree that it is run in.

    Shape: ``prepare`` changes a copy of the small tree; ``again`` is true of a command
    that may be repeated after it has ended well.
    """

    name: str
    words: tuple[str, ...]
    prepare: Callable[[Path], None] = lambda _root: None
    again: bool = True


def run(root: Path, words: tuple[str, ...], kind: str = "none", at: int = 0) -> tuple[int, str]:
    """Run a command in a process that is forked from this one, with a fault at one step.

    Shape: the exit code, negative for a signal, and what was said; with ``count`` for
    the kind, the number of steps is the last line of what was said.
    """
    said = root.parent / "said.txt"
    child = os.fork()
    if child == 0:
        _struck(root, words, kind, at, said)
    _, status = os.waitpid(child, 0)
    return os.waitstatus_to_exitcode(status), said.read_text("utf-8", "replace")


def _struck(root: Path, words: tuple[str, ...], kind: str, at: int, said: Path) -> None:
    """Be the process that is struck. Never returns."""
    code = 70
    try:
        handle = os.open(said, os.O_WRONLY | os.O_CREAT | os.O_TRUNC)
        os.dup2(handle, 1)
        os.dup2(handle, 2)
        sys.stdout = os.fdopen(1, "w", 1, "utf-8", closefd=False)
        sys.stderr = os.fdopen(2, "w", 1, "utf-8", closefd=False)
        os.dup2(os.open(os.devnull, os.O_RDONLY), 0)
        os.chdir(root)
        sys.dont_write_bytecode = True
        seen = 0
        armed = False

        def hook(event: str, arguments: tuple[object, ...]) -> None:
            nonlocal seen, armed
            if not armed or not _counts(kind, event, arguments, root):
                return
            seen += 1
            if kind in ("count", "count-reads") or seen != at:
                return
            armed = False
            if kind == "kill":
                os.kill(os.getpid(), signal.SIGKILL)
            raise OSError(KINDS[kind], os.strerror(KINDS[kind]), str(arguments[0]))

        from kbgen.cli import main

        sys.addaudithook(hook)
        armed = kind != "none"
        code = main(list(words))
        armed = False
        if kind.startswith("count"):
            print(f"\n{seen}")
        sys.stdout.flush()
    except BaseException:
        import traceback

        traceback.print_exc()
    finally:
        sys.stderr.flush()
        os._exit(code)


def _counts(kind: str, event: str, arguments: tuple[object, ...], root: Path) -> bool:
    if kind not in ("vanished", "count-reads"):
        return event in STEPS and is_step(event, arguments) and _below(arguments[0], root)
    if event != "open":
        return False
    path, _, flags = arguments
    reads = isinstance(flags, int) and not flags & WRITING
    return reads and _below(path, root) and "/content/" in str(Path(str(path)).absolute())


def _below(path: object, root: Path) -> bool:
    if not isinstance(path, str | bytes | os.PathLike):
        return True
    return Path(os.fsdecode(path)).absolute().is_relative_to(root)


def snapshot(root: Path, folder: str) -> dict[str, bytes]:
    """Return the files below a folder: path → bytes."""
    return {
        path.relative_to(root).as_posix(): path.read_bytes()
        for path in sorted((root / folder).rglob("*"))
        if path.is_file()
    }


def snapshots(root: Path) -> dict[str, dict[str, bytes]]:
    """Return the files of everything that must never be half-written."""
    return {folder: snapshot(root, folder) for folder in PUBLISHED}


def faults_of(operation: Operation, folder: Path) -> Iterator[tuple[str, int]]:
    """Yield every fault there is: its kind, and the step it strikes at."""
    for kind in ("count", "count-reads"):
        root = laid(operation, folder / kind)
        steps = int(run(root, operation.words, kind)[1].split()[-1])
        kinds = ("vanished",) if kind == "count-reads" else tuple(KINDS)[:-1]
        yield from ((name, at) for at in range(1, steps + 1) for name in kinds)


def laid(operation: Operation, folder: Path) -> Path:
    """Lay the tree of an operation into a new folder; return its root."""
    root = folder / "tree"
    shutil.copytree(TREE / "content", root / "content")
    operation.prepare(root)
    return root


def struck(operation: Operation, kind: str, at: int, folder: Path) -> list[str]:
    """Strike once; return what was lost or left behind, in words, nothing where all is well."""
    before_root = folder.parent / "before" / "tree"
    before, after = snapshots(before_root), snapshots(folder.parent / "after" / "tree")
    root = folder / "tree"
    shutil.copytree(before_root, root, symlinks=True)
    code, said = run(root, operation.words, kind, at)
    wrong = []
    if "Traceback" in said:
        wrong.append(f"a traceback: {said[-400:]}")
    if (kind == "kill") != (code == -signal.SIGKILL) or code not in (-signal.SIGKILL, 0, 1, 2):
        wrong.append(f"it ended with {code}: {said[-300:]}")
    if kind != "kill" and code and not said.strip():
        wrong.append("it ended without a word")
    now = snapshots(root)
    for path in sorted(now["content"].keys() | before["content"].keys()):
        held = now["content"].get(path)
        if held not in (before["content"].get(path), after["content"].get(path)):
            wrong.append(f"{path} is {'gone' if held is None else 'neither old nor new'}")
    wrong += [
        f"{whole} is neither the old one nor the new one"
        for whole in ("site", "out")
        if now[whole] not in (before[whole], after[whole])
    ]
    if operation.again or now != after:
        code, said = run(root, operation.words)
        if code not in (0, 1) or "Traceback" in said:
            wrong.append(f"the next run ended with {code}: {said[-300:]}")
        for name, files in snapshots(root).items():
            if files != after[name]:
                paths = [path for path, data in files.items() if after[name].get(path) != data]
                lost = sorted(after[name].keys() - files.keys())
                wrong.append(f"the next run left another {name}: {paths[:3]} {lost[:3]}")
    shutil.rmtree(folder)
    return wrong


def _change(root: Path) -> None:
    """Publish, then change a note, so that the next build has something to do."""
    code, said = run(root, ("build",))
    assert code == 0, said
    note = next((root / "content" / "notes").glob("0001-*.md"))
    note.write_text(note.read_text("utf-8") + "\nAnother sentence.\n", encoding="utf-8")


def _answers(root: Path) -> None:
    """Lay the answers for a new note beside the content."""
    answers = "title: The lamp flickers\nsymptom: [The lamp goes on and off]\nfamilies: []\n"
    (root / "answers.yaml").write_text(answers, encoding="utf-8")


def _letters(root: Path) -> None:
    """Lay a mailbox with three letters beside the content."""
    letters = "".join(
        f"From a@example.org Thu Apr  2 10:00:00 2026\n"
        f"From: Hazel Brightwater <hazel{number}@example.org>\n"
        f"Subject: {subject}\nMessage-ID: <{number}@example.org>\n"
        f"Date: Thu, 2 Apr 2026 10:00:0{number} +0000\n\n{words}\n\n"
        for number, (subject, words) in enumerate(
            (
                ("Lamp", "Why does the lamp of my machine flicker when I press the pedal?"),
                ("Needle", "My needle strikes the plate at every tenth stitch. What is bent?"),
                ("Belt", "How tight should the motor belt be? It squeals on starting."),
            ),
            1,
        )
    )
    (root / "letters.mbox").write_text(letters, encoding="utf-8")


_DAY = ("--day", "2026-04-01")
OPERATIONS = (
    Operation("the first build", ("build",)),
    Operation("a build after an edit", ("build",), _change),
    Operation("the first search", ("find", "winder")),
    Operation(
        "an answer", ("reply", "Q0003", "--note", "1", "--answered", "2026-04-01"), again=False
    ),
    Operation("a new note", ("jot", "--answers", "answers.yaml", *_DAY), _answers, again=False),
    Operation("notes begun", ("rundown", "--start-notes", *_DAY), again=False),
    Operation("letters taken in", ("intake", "letters.mbox", "--keep-contact"), _letters),
    Operation("a bag", ("bag", "out", *_DAY), again=False),
)


def _import_all(folder: Path) -> None:
    """Run what is going to be struck once in this process, so that no child imports anything."""
    from kbgen.cli import main

    for number, operation in enumerate(OPERATIONS):
        root = laid(operation, folder / str(number))
        quiet = io.StringIO()
        with (
            contextlib.chdir(root),
            contextlib.redirect_stdout(quiet),
            contextlib.redirect_stderr(quiet),
        ):
            main(list(operation.words))


def prepared(operation: Operation, place: Path) -> list[tuple[str, int]]:
    """Lay the trees before and after a run without a fault; return every fault there is."""
    before = laid(operation, place / "before")
    shutil.copytree(before, place / "after" / "tree", symlinks=True)
    code, said = run(place / "after" / "tree", operation.words)
    assert code == 0, f"{operation.name}: {said}"
    return list(faults_of(operation, place))


def _how_many(ready: tuple[Operation, Path, list[tuple[str, int]]]) -> int:
    return len(ready[2])


def strike(most: int, tell: Callable[[str], None] = print) -> tuple[int, list[str]]:
    """Strike ``most`` times, spread evenly over all faults; return how often, and what was lost."""
    lost: list[str] = []
    done = 0
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        _import_all(folder / "warm")
        ready = [
            (operation, folder / str(number), prepared(operation, folder / str(number)))
            for number, operation in enumerate(OPERATIONS)
        ]
        left = most
        for number, (operation, place, faults) in enumerate(sorted(ready, key=_how_many)):
            share = min(len(faults), max(1, left // (len(ready) - number)))
            left -= share
            step = max(1.0, len(faults) / share)
            chosen = [faults[int(one * step)] for one in range(share)]
            for kind, at in chosen:
                wrong = struck(operation, kind, at, place / "struck")
                lost += [f"{operation.name}, {kind} at step {at}: {one}" for one in wrong]
                done += 1
            tell(f"{operation.name}: {len(chosen)} of {len(faults)} faults, {len(lost)} losses")
    return done, lost


def main() -> int:
    """Strike, and say what came of it."""
    done, lost = strike(int(sys.argv[1]) if len(sys.argv) > 1 else 1000)
    print("\n".join(lost[:40]))
    print(f"{done} faults, {len(lost)} losses")
    return bool(lost)


if __name__ == "__main__":
    sys.exit(main())
