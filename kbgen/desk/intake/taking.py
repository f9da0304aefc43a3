"""Messages → question files, each under the next free number, none of them twice.

One intake at a time works on a tree. A file appears whole or not at all; what a killed
intake has not written yet, the next one writes, and knows the rest by its fingerprints.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path

from pydantic import ValidationError

from kbgen.checks import Checked, check
from kbgen.content import (
    Tree,
    add_numbered,
    first_asked,
    front_matter,
    load_whole_tree,
)
from kbgen.content.models import QuestionFront, QuestionStanding
from kbgen.desk.alike import SAME, Alike
from kbgen.desk.intake.incoming import Incoming
from kbgen.desk.intake.prepared import NoQuestion, Prepared, mark_of, prepared
from kbgen.desk.intake.private import Asker, Askers
from kbgen.desk.intake.report import Known, Report, SetAside, Taken
from kbgen.desk.matching import Asked
from kbgen.disk import locked_file
from kbgen.search import open_bench

__all__ = ["take_in"]

_MARK = re.compile(rb"^mark: *[\"']?([0-9a-f]{16,64})", re.MULTILINE)
_NUMBER = re.compile(r"Q0*([1-9]\d{0,5})-", re.ASCII)


def take_in(
    root: Path,
    messages: Iterable[Incoming],
    day: datetime.date,
    askers: Askers | None = None,
    waiting: Callable[[], None] = lambda: None,
    done: Callable[[int], None] = lambda _: None,
) -> Report:
    """Make a question of every message that asks one and is not known yet.

    Shape: ``day`` is the day of the intake; ``askers`` keeps who asked, where that is
    wanted; ``waiting`` is called once if another intake is at work; ``done`` is told how
    many messages are dealt with.
    Raises: TreeMissing; OSError; ValueError where no number is left.
    """
    with locked_file(root / ".kbgen" / "intake.lock", waiting):
        desk = _Desk(root, day, askers)
        for number, message in enumerate(messages, 1):
            desk.take(message)
            done(number)
    return Report(tuple(desk.taken), tuple(desk.known), tuple(desk.aside))


class _Desk:
    """The tree while messages are taken in, and the three lists as they grow."""

    def __init__(self, root: Path, day: datetime.date, askers: Askers | None) -> None:
        self._root = root
        self._day = day
        self._askers = askers
        self._checked: Checked = check(load_whole_tree(root))
        self._marks = dict(_marks(root))
        self._alike: Alike | None = None
        self._same: dict[int, int] = {}
        self.taken: list[Taken] = []
        self.known: list[Known] = []
        self.aside: list[SetAside] = []

    @property
    def _tree(self) -> Tree:
        return self._checked.tree

    def take(self, message: Incoming) -> None:
        """Put one message into the list that it belongs to."""
        mark = mark_of(message)
        try:
            if mark in self._marks and not message.automatic:
                self._recall(message, self._marks[mark])
            else:
                self._add(message, mark)
        except (NoQuestion, ValidationError) as reason:
            why = str(reason) if isinstance(reason, NoQuestion) else _misshapen(reason)
            self.aside.append(SetAside(message.label, why, message.attachments, message.remarks))

    def _recall(self, message: Incoming, number: int) -> None:
        """List a message as known; who sent it is kept where an earlier intake could not."""
        self.known.append(Known(message.label, number))
        question = self._tree.questions.get(number)
        waits = question is not None and question.front.standing is QuestionStanding.WAITING
        if self._askers is not None and waits and number not in self._askers:
            self._keep(number, message, prepared(message, self._tree, self._day))

    def _add(self, message: Incoming, mark: str) -> None:
        kept = prepared(message, self._tree, self._day)
        asked = kept.asked()
        alike = self._comparing()
        nearest = alike.nearest(asked)
        same_as = None
        if nearest is not None and nearest.likeness >= SAME:
            same_as = self._same.get(nearest.number, nearest.number)
        text = _text(message, kept, mark, same_as)
        path = add_numbered(self._root, "question", text, kept.slug_words)
        number = _number_of(path.name)
        self._marks[mark] = number
        alike.add(number, asked)
        if same_as is not None:
            self._same[number] = same_as
        self._keep(number, message, kept)
        place = path.relative_to(self._root).as_posix()
        self.taken.append(
            Taken(
                message.label, number, place, kept.alias, same_as, message.attachments, kept.remarks
            )
        )

    def _keep(self, number: int, message: Incoming, kept: Prepared) -> None:
        if self._askers is not None:
            who = Asker(number, message.name, message.e_mail, kept.telephones, kept.addresses)
            self._askers.keep(who)

    def _comparing(self) -> Alike:
        """Return what compares questions, with those of the tree in it, made when needed."""
        if self._alike is None:
            self._alike = Alike(self._checked, open_bench(self._root, self._checked, still=True))
            for question in self._tree.questions.values():
                self._alike.add(question.number, Asked.of_question(self._tree, question))
                first = first_asked(self._tree, question)
                if first != question.number:
                    self._same[question.number] = first
        return self._alike


def _text(message: Incoming, kept: Prepared, mark: str, same_as: int | None) -> str:
    """Return the text of a question's file. Raises: ValidationError."""
    values = {
        "date": kept.date,
        "alias": kept.alias,
        "came_by": str(message.came_by),
        "subject": kept.subject or None,
        "about": kept.about or None,
        "families": list(kept.families) or None,
        "standing": "waiting",
        "same_as": same_as,
        "mark": mark,
    }
    given = {key: value for key, value in values.items() if value is not None}
    QuestionFront.model_validate(given)
    return f"{front_matter(given)}{kept.words}\n"


def _misshapen(error: ValidationError) -> str:
    first = error.errors(include_url=False, include_input=False)[0]
    return f"`{first['loc'][0]}` cannot be made of it: {first['msg']}"


def _marks(root: Path) -> Iterator[tuple[str, int]]:
    """Yield the fingerprint and the number of every question file, broken ones too."""
    folder = root / "content" / "questions"
    for path in sorted(folder.glob("*.md")) if folder.is_dir() else ():
        found = _MARK.search(path.read_bytes()) if path.is_file() else None
        if found:
            yield found[1].decode(), _number_of(path.name)


def _number_of(name: str) -> int:
    found = _NUMBER.match(name)
    return int(found[1]) if found else 0
