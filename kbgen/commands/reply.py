"""``kbgen reply``: the answer to a question, ready to be pasted or sent."""

from __future__ import annotations

import argparse
import re
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kbgen.commands.common import (
    Command,
    WrongUse,
    add_json,
    add_tree,
    day,
    print_json,
    today,
    tree_root,
)

if TYPE_CHECKING:
    import datetime

    from kbgen.checks import Checked
    from kbgen.content import Note, Question, Tree
    from kbgen.desk import Asked, Match

__all__ = ["COMMAND"]

_NUMBER = re.compile(r"[Qq]?0*([1-9][0-9]{0,5})", re.ASCII)
_TODAY = "today"


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("question", metavar="QNNNN", nargs="?", help="the question's number")
    parser.add_argument(
        "--words", metavar="FILE", help="answer a text instead: a file, or - for standard input"
    )
    parser.add_argument(
        "--family",
        action="append",
        default=[],
        metavar="ID",
        help="the machine it is about, where the question does not say",
    )
    parser.add_argument("--alias", default="", metavar="NAME", help="whom to greet, with --words")
    parser.add_argument(
        "--note", type=int, metavar="N", help="answer with this note, whatever else fits"
    )
    parser.add_argument(
        "--answered",
        nargs="?",
        const=_TODAY,
        metavar="YYYY-MM-DD",
        help="mark the question as answered on a day (today where none is given)",
    )
    parser.add_argument(
        "--no-wrap", action="store_true", help="one line for each paragraph, however long"
    )
    add_tree(parser)
    add_json(parser)


def _run(arguments: argparse.Namespace) -> int:
    if bool(arguments.question) == bool(arguments.words):
        raise WrongUse("name a question, or a text with --words, one of the two")
    if arguments.words and arguments.answered:
        raise WrongUse("only a question that was taken in can be marked as answered")
    answered = _answered(arguments)
    root = tree_root(arguments)
    from kbgen.checks import checked_tree
    from kbgen.content import answering_note
    from kbgen.desk import Matcher

    checked = checked_tree(root)
    question = _question(checked.tree, arguments.question) if arguments.question else None
    if question and answered:
        _require_unanswered(question, answered)
    asked = _asked(checked.tree, question, arguments)
    matcher = Matcher(checked)
    match = matcher.match(asked)
    chosen = match.sure.note if match.sure else None
    number = arguments.note
    if number is None and question:
        number = answering_note(checked.tree, question)  # what answered it before answers again
    if number is not None:
        chosen = _named(checked, number)
    if chosen is None:
        return _choose(match, question, arguments.json)
    return _reply(root, checked, matcher, match, chosen, question, answered, arguments)


def _reply(
    root: Path,
    checked: Checked,
    matcher: Any,
    match: Match,
    note: Note,
    question: Question | None,
    answered: datetime.date | None,
    arguments: argparse.Namespace,
) -> int:
    from kbgen.commands.report import print_findings
    from kbgen.desk import CannotReply, Replies, match_shape, render_reply, reply_shape

    replies = Replies(checked, matcher.registers)
    try:
        reply = replies.compose(note, match.claims, match.asked.families, question, arguments.alias)
    except CannotReply as refused:
        print_findings(refused.findings, sys.stderr)
        print(f"kbgen: no answer is given: {refused}", file=sys.stderr)
        return 1
    for other in match.beside(note) if match.sure and match.sure.note is note else ():
        title = other.note.front.title
        print(f"kbgen: it may ask more; see note {other.note.number}: {title}", file=sys.stderr)
    text = render_reply(reply, 0) if arguments.no_wrap else render_reply(reply)
    if question and answered:
        _mark(root, question, note, answered)
    if arguments.json:
        shape = {"question": question.number if question else None}
        marked = answered.isoformat() if question and answered else None
        shape |= reply_shape(reply, text) | {"answered": marked} | match_shape(match)
        print_json(shape)
    else:
        print(text, end="")
    return 0


def _choose(match: Match, question: Question | None, json: bool) -> int:
    """Show what may answer; nothing is marked. Return the exit code."""
    from kbgen.desk import candidate_lines, match_shape

    if json:
        shape: dict[str, Any] = {"question": question.number if question else None, "note": None}
        print_json(shape | {"text": None, "answered": None} | match_shape(match))
    else:
        print("\n".join(candidate_lines(match)))
        if match.candidates:
            print("Read them, then answer with --note N.")
    return 1


def _mark(root: Path, question: Question, note: Note, answered: datetime.date) -> None:
    from kbgen.content import set_keys

    path = question.source.path
    try:
        set_keys(
            root,
            path,
            {"standing": "answered", "answered_by": note.number, "answered": answered},
        )
    except (OSError, ValueError) as error:
        raise WrongUse(
            f"{path} could not be marked: {error}", "mark it by hand; nothing was changed"
        ) from error
    print(f"{path}: answered by note {note.number} on {answered}", file=sys.stderr)


def _answered(arguments: argparse.Namespace) -> datetime.date | None:
    if arguments.answered is None:
        return None
    if arguments.answered == _TODAY:
        return today(argparse.Namespace(day=None))
    try:
        return day(arguments.answered)
    except argparse.ArgumentTypeError as error:
        raise WrongUse(f"--answered: {error}", "put the question's number before it") from error


def _question(tree: Tree, named: str) -> Question:
    found = _NUMBER.fullmatch(named)
    if found is None:
        raise WrongUse(f"a question is named by its number, as Q0017, not {named!r}")
    question = tree.questions.get(int(found[1]))
    if question is None:
        hint = (
            "kbgen inspect says what is wrong with it"
            if tree.holds("question", int(found[1]))
            else "look into content/questions for its number"
        )
        raise WrongUse(f"there is no question {int(found[1])} that can be read", hint)
    return question


def _require_unanswered(question: Question, answered: datetime.date) -> None:
    front = question.front
    if front.answered_by is not None:
        raise WrongUse(
            f"question {question.number} was answered by note {front.answered_by} on "
            f"{front.answered}",
            "leave --answered out to read the answer again",
        )
    if answered < front.date:
        raise WrongUse(f"question {question.number} came on {front.date}, after {answered}")


def _asked(tree: Tree, question: Question | None, arguments: argparse.Namespace) -> Asked:
    from dataclasses import replace

    from kbgen.desk import Asked

    unknown = [one for one in arguments.family if one not in tree.families]
    if unknown:
        raise WrongUse(
            f"there is no family {unknown[0]}", f"one of {', '.join(sorted(tree.families))}"
        )
    if question is not None:
        asked = Asked.of_question(tree, question)
    else:
        asked = Asked.of_text(tree, _read(arguments.words))
    return replace(asked, families=tuple(arguments.family) or asked.families)


def _read(name: str) -> str:
    if name == "-":
        return sys.stdin.buffer.read().decode("utf-8-sig", errors="replace")
    path = Path(name)
    if not path.is_file():
        raise WrongUse(f"there is no file {name}", "name a text file, or - for standard input")
    return path.read_bytes().decode("utf-8-sig", errors="replace")


def _named(checked: Checked, number: int) -> Note:
    """Return the published note of a number."""
    for note in checked.published:
        if note.number == number:
            return note
    other = checked.tree.notes.get(number)
    if other is None:
        raise WrongUse(f"there is no note {number} that can be read")
    successor = other.front.successor
    hint = f"note {successor} stands for it" if successor else "publish it first"
    raise WrongUse(f"note {number} is {other.front.standing}, not published", hint)


COMMAND = Command(
    name="reply",
    summary="write the answer to a question, ready to be pasted or sent",
    example="kbgen reply Q0017\n"
    "kbgen reply Q0017 --note 39 --answered 2026-03-27\n"
    "kbgen reply --words letter.txt --family halverin-h",
    arguments=_arguments,
    run=_run,
)
