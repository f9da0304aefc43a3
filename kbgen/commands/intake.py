"""``kbgen intake``: questions from mail, exports of comments and pasted text."""

from __future__ import annotations

import argparse
import datetime
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

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
    from kbgen.desk.intake import Askers, Forgotten, Incoming, Report

__all__ = ["COMMAND"]

_CAME_BY = ("letter", "comment", "visit", "telephone", "recording")


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "files",
        nargs="*",
        metavar="FILE",
        help="mailboxes (mbox), letters (.eml), exports of comments (.csv, .jsonl), texts; - for "
        "what is pasted, its messages set apart by lines of --- or by empty lines",
    )
    parser.add_argument(
        "--came-by", choices=_CAME_BY, default="letter", help="how pasted questions came"
    )
    parser.add_argument(
        "--keep-contact",
        action="store_true",
        help="keep who asked in private/askers.jsonl, outside the content and version control",
    )
    parser.add_argument(
        "--private", metavar="FILE", help="another private file than private/askers.jsonl"
    )
    parser.add_argument(
        "--forget",
        metavar="QNNNN",
        help="take a question out because its asker wishes it: by its number, by an alias, or by a "
        "name, e-mail address or telephone number in the private file",
    )
    add_day(parser, "of messages that state none")
    add_tree(parser)
    add_json(parser)


def _run(arguments: argparse.Namespace) -> int:
    if bool(arguments.files) == bool(arguments.forget):
        raise WrongUse("name what to take in, or what to --forget, one of the two")
    root = tree_root(arguments)
    private = Path(arguments.private) if arguments.private else None
    if arguments.forget:
        return _forget(root, arguments.forget, private, arguments.json)
    askers = _askers(root, private) if arguments.keep_contact else None
    report = _take_in(root, arguments, askers, today(arguments))
    if arguments.json:
        print_json(report.shape())
    else:
        _tell(report)
    return 0 if report.taken or report.known else 1


def _askers(root: Path, private: Path | None) -> Askers:
    from kbgen.desk.intake import Askers, PrivateFileRefused

    try:
        return Askers(root, private)
    except PrivateFileRefused as refused:
        hint = "keep it beside content/, in a folder that git does not follow: private/askers.jsonl"
        raise WrongUse(str(refused), hint) from refused


def _take_in(
    root: Path, arguments: argparse.Namespace, askers: Askers | None, day: datetime.date
) -> Report:
    from kbgen.commands.progress import progress_shown
    from kbgen.desk.intake import ColumnsMissing, take_in

    try:
        messages = list(_messages(root, arguments))
    except ColumnsMissing as missing:
        has = f"its columns are: {', '.join(missing.columns)}; " if missing.columns else ""
        raise WrongUse(
            str(missing),
            f"{has}say in content/workshop.yaml which is which, such as "
            "intake: {columns: {words: comment, name: author, key: id}}",
        ) from missing
    with progress_shown() as show:

        def done(number: int) -> None:
            if show:
                show("messages", number, len(messages))

        return take_in(root, messages, day, askers, _waiting, done)


def _messages(root: Path, arguments: argparse.Namespace) -> Iterator[Incoming]:
    from kbgen.content import load_whole_tree
    from kbgen.content.models import CameBy
    from kbgen.desk.intake import messages_in

    workshop = load_whole_tree(root).tree.workshop
    columns = workshop.intake.columns if workshop else None
    for name in arguments.files:
        data = _read(name)
        shown = "pasted" if name == "-" else name
        yield from messages_in(shown, data, columns, CameBy(arguments.came_by))


def _read(name: str) -> bytes:
    if name == "-":
        return sys.stdin.buffer.read()
    path = Path(name)
    if not path.is_file():
        raise WrongUse(f"there is no file {name}", "name a file, or - for what is pasted")
    return path.read_bytes()


def _waiting() -> None:
    print("Another intake is at work here; waiting for it.", file=sys.stderr)


def _tell(report: Report) -> None:
    """Print the report for a person: what was taken, and what was set aside and why."""
    for taken in report.taken:
        same = f", asks the same as Q{taken.same_as:04}" if taken.same_as else ""
        print(f"{taken.path}: {taken.alias}{same}")
        for remark in taken.remarks:
            print(paint(f"    {taken.message}: {remark}", "quiet"))
        if taken.attachments:
            print(paint(f"    not opened: {', '.join(taken.attachments)}", "quiet"))
    for aside in report.set_aside:
        print(f"{aside.message}: {paint('set aside', 'warning')}: {aside.why}")
        if aside.attachments:
            print(paint(f"    not opened: {', '.join(aside.attachments)}", "quiet"))
    counts = report.shape()["counts"]
    print(
        f"{counts['taken']} taken in, {counts['known']} known already, "
        f"{counts['set_aside']} set aside."
    )


def _forget(root: Path, named: str, private: Path | None, json: bool) -> int:
    from kbgen.desk.intake import ASKERS_PATH, NobodyMeant, forget, questions_of

    askers = _askers(root, private)
    try:
        numbers = questions_of(root, named, private or root / ASKERS_PATH)
        gone = forget(root, numbers, askers, _waiting)
    except NobodyMeant as nobody:
        raise WrongUse(str(nobody), "name a question by its number, as Q0017") from nobody
    if json:
        print_json([_shape(one) for one in gone])
        return 0
    for one in gone:
        _tell_forgotten(one)
    print(_HISTORY.format(path=gone[0].was))
    return 0


def _shape(one: Forgotten) -> dict[str, object]:
    return {
        "question": one.question,
        "path": one.path,
        "was": one.was,
        "leads_to_note": one.note,
        "private_records": one.records,
        "still_named_at": list(one.still),
    }


def _tell_forgotten(one: Forgotten) -> None:
    print(f"Question {one.question} is taken out: {one.path} keeps its number, its day and")
    print("its fingerprint, so that the same message is never taken in again.")
    leads = f"its address leads on to note {one.note}" if one.note else "it had no page"
    print(f"With the next kbgen build its words are off the site; {leads}.")
    print(f"{one.records or 'No'} private record{'' if one.records == 1 else 's'} removed.")
    for place in one.still:
        print(f"{paint('The alias still stands at', 'warning')} {place}; look at it.")


_HISTORY = """
What this command cannot reach: a version control keeps what was ever committed, and so do
copies of it, backups, and the site as it is on its server until you publish it again.
    git log --follow -- {path}
shows where the words still are. To take them out, rewrite the history of that file (git
filter-branch, or a tool of its kind), publish the new history, and tell everybody who has a
copy to fetch it anew; until then tell the asker what is still there."""


COMMAND = Command(
    name="intake",
    summary="take in questions from mail, exports of comments and pasted text",
    example="kbgen intake inbox.mbox comments.csv\n"
    "kbgen intake --keep-contact letter.eml\n"
    "kbgen intake - --came-by telephone\n"
    "kbgen intake --forget Q0017",
    arguments=_arguments,
    run=_run,
)
