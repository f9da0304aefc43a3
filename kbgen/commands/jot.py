"""``kbgen jot``: a new note by answering questions, each answer checked as it is given."""

from __future__ import annotations

import argparse
import contextlib
import datetime
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kbgen.commands.common import (
    Command,
    WrongUse,
    add_day,
    add_json,
    add_tree,
    paint,
    print_json,
    today,
    tree_root,
)

if TYPE_CHECKING:
    from kbgen.content import Tree
    from kbgen.jot import Answers, Kept, Trial

__all__ = ["COMMAND"]


def _arguments(parser: argparse.ArgumentParser) -> None:
    add_tree(parser)
    parser.add_argument(
        "--answers",
        metavar="FILE",
        help="take the answers from a YAML or JSON file with a note's keys, - for standard input",
    )
    parser.add_argument(
        "--from-recording",
        metavar="ID@TIME",
        help="begin with the chapter of a recording that runs at a time",
    )
    parser.add_argument(
        "--carry-on", action="store_true", help="take up the unfinished note of last time"
    )
    add_day(parser, "of the note")
    add_json(parser)


class _Terminal:
    """Whoever sits at the terminal, or what comes through a pipe in their place."""

    def ask(self, prompt: str) -> str:
        """Return one line; the prompt is shown where somebody sees it."""
        if sys.stdin.isatty():
            with contextlib.suppress(ImportError):
                import readline  # noqa: F401 - its presence lets a line be edited
            return input(prompt)
        line = sys.stdin.readline()
        if not line:
            raise EOFError
        return line.rstrip("\n")

    def say(self, text: str, style: str = "") -> None:
        """Show a line beside the data, which alone goes to standard output."""
        print(paint(text, style, sys.stderr) if style else text, file=sys.stderr)


def _run(arguments: argparse.Namespace) -> int:
    from kbgen.build import checked_tree
    from kbgen.jot import Trial

    root = tree_root(arguments)
    day = today(arguments)
    checked = checked_tree(root)
    trial = Trial(checked, day)
    begun = (
        _from_recording(checked.tree, arguments.from_recording) if arguments.from_recording else {}
    )
    if arguments.answers:
        answers = begun | _read(arguments.answers)
        return _from_file(root, trial, answers, day, arguments.json)
    return _asked(root, trial, begun, day, arguments)


def _read(name: str) -> Answers:
    from kbgen.jot import read_answers

    if name == "-":
        data = sys.stdin.buffer.read()
    elif Path(name).is_file():
        data = Path(name).read_bytes()
    else:
        raise WrongUse(f"there is no file {name}", "name a YAML or JSON file, or - for a pipe")
    try:
        return read_answers(data.decode("utf-8-sig"))
    except ValueError as wrong:
        hint = "its keys are those of a note's front matter, and `steps` for the text"
        raise WrongUse(f"{name} holds no answers: {wrong}", hint) from wrong


def _from_recording(tree: Tree, place: str) -> dict[str, Any]:
    """Return what a chapter of a recording tells of a note. Raises: WrongUse."""
    from kbgen.links import seconds

    name, _, at = place.partition("@")
    recording = tree.recordings.get(name)
    if recording is None or not at:
        known = ", ".join(tree.recordings) or "none"
        raise WrongUse(
            f"{place} is no moment of a recording: ID@TIME, such as winder-evening@12:40",
            f"the recordings are: {known}",
        )
    begun: dict[str, Any] = {"recordings": [{"recording": name, "at": at}]}
    try:
        moment = seconds(at)
    except ValueError:
        raise WrongUse(f"{at} is no time", "a time is written 12:40 or 1:02:40") from None
    chapters = [one for one in recording.model.chapters if seconds(one.at) <= moment]
    if chapters:
        begun["title"] = chapters[-1].title
        if chapters[-1].note:
            told = f"note {chapters[-1].note} is shown in that chapter already"
            print(f"{told}: {chapters[-1].title}", file=sys.stderr)
    return begun


def _from_file(root: Path, trial: Trial, answers: Answers, day: datetime.date, json: bool) -> int:
    """Write the note that a file of answers makes, or say what is wrong with them."""
    from kbgen.findings import Severity

    said = trial.whole(answers)
    for one in said:
        severity = paint(str(one.severity), str(one.severity), sys.stderr)
        where = f"{one.key}: " if one.key else ""
        print(f"{where}{severity}: {one.message}", file=sys.stderr)
        if one.hint:
            print(f"    hint: {one.hint}", file=sys.stderr)
    if any(one.severity is Severity.ERROR for one in said):
        print("No note was written.", file=sys.stderr)
        return 1
    return _write(root, answers, day, json)


def _asked(
    root: Path, trial: Trial, begun: Answers, day: datetime.date, arguments: argparse.Namespace
) -> int:
    from kbgen.jot import Session

    kept, answers = _taken_up(root, begun, arguments.carry_on)
    session = Session(trial, _Terminal(), answers, kept.save)
    try:
        session.ask_all()
    except (EOFError, KeyboardInterrupt):
        print("\nInterrupted.", file=sys.stderr)
        if session.answers:
            kept.save(session.answers)
            many = f"{len(session.answers)} answers are kept"
            print(f"{many}; carry on with: kbgen jot --carry-on", file=sys.stderr)
        return 2
    code = _write(root, session.said(), day, arguments.json)
    kept.drop()
    return code


def _taken_up(root: Path, begun: Answers, carry_on: bool) -> tuple[Kept, Answers]:
    """Return where answers are kept, and those of an unfinished note where it is carried on."""
    from kbgen.jot import Kept

    left = Kept.unfinished(root)
    if carry_on and not left:
        raise WrongUse("there is no unfinished note here", "leave --carry-on out to begin one")
    if carry_on:
        kept, answers = left[0]
        return kept, begun | answers
    for kept, answers in left if sys.stdin.isatty() else ():
        title = answers.get("title") or "a note without a title"
        print(f"An unfinished note is kept: {title} ({len(answers)} answers).", file=sys.stderr)
        if _yes("Carry on with it? [yes/no] > "):
            return kept, begun | answers
    return Kept(root), begun


def _yes(prompt: str) -> bool:
    try:
        return input(prompt).strip().lower() in ("", "y", "yes")
    except EOFError:
        return False


def _write(root: Path, answers: Answers, day: datetime.date, json: bool) -> int:
    """Write the note and say where it is, and what is still open in it."""
    from kbgen.content import UNWRITTEN, write_started
    from kbgen.jot import note_of

    text = note_of(answers, day)
    path = write_started(root, text, str(answers["title"]), _waiting)
    lines = text.splitlines()
    still = [number for number, line in enumerate(lines, 1) if UNWRITTEN in line.lower()]
    place = path.relative_to(root).as_posix()
    if json:
        number = int(path.name.partition("-")[0])
        print_json({"note": number, "path": place, "unwritten": still})
        return 0
    print(f"{place} is written, a draft.")
    if still:
        print(f"Still to be written: {'line' if len(still) == 1 else 'lines'} ", end="")
        print(", ".join(map(str, still)))
    print("kbgen proof shows it as a page.")
    return 0


def _waiting() -> None:
    print("Another note is being written here; waiting for it.", file=sys.stderr)


COMMAND = Command(
    name="jot",
    summary="begin a new note by answering questions, each answer checked at once",
    example="kbgen jot\nkbgen jot --from-recording winder-evening@12:40",
    arguments=_arguments,
    run=_run,
)
