"""The running order of a question-and-answer recording.

Waiting questions that one note answers are one item, however many asked; so are those
that ask the same. What a note answers surely or likely is read out; what only may be
answered is to be looked at first; what nothing answers is left over, and wants a note.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import ceil

from kbgen.checks import Checked
from kbgen.content import Note, Question, answering_note, plain_text
from kbgen.content.models import QuestionStanding, RundownHabits
from kbgen.desk.matching import Asked, Candidate, Confidence, Match, Matcher
from kbgen.desk.repeats import Repeats, in_short, joined
from kbgen.desk.reply import CannotReply, Replies, Reply
from kbgen.desk.reply_screws import Screw
from kbgen.desk.rundown_lines import caution_line, screw_line
from kbgen.text import day_in_words

__all__ = ["RULE", "Item", "Rundown", "rundown_of"]

RULE = (
    "What is asked oftenest comes first, then what has waited longest, then what is answered "
    "for sure before what is likely; each is taken that still fits into the time."
)

NO_HEADING = "Other questions"
_SCREWS_SAID = 6
_NEAREST = 2


@dataclass(frozen=True, slots=True)
class NotToSay:
    """A figure that must not be said, and why."""

    figure: str
    why: str


@dataclass(frozen=True, slots=True)
class Item:
    """One subject of the running order.

    Shape: ``questions`` are those that wait, the longest first; ``times`` counts all
    that ask it, answered ones too; ``unsure`` are the numbers of those questions that the
    note answers only likely. ``say`` are the screws, ``more_screws`` how many more
    the note has; ``refused`` says why there is no answer to read out. ``candidates`` are
    notes that may answer, or that come nearest, where none answers well enough.
    """

    questions: tuple[Question, ...]
    times: int
    short: str
    heading: str
    families: tuple[str, ...]
    confidence: Confidence | None = None
    unsure: frozenset[int] = frozenset()
    note: Note | None = None
    reply: Reply | None = None
    refused: str = ""
    say: tuple[Screw, ...] = ()
    more_screws: int = 0
    not_to_say: tuple[NotToSay, ...] = ()
    candidates: tuple[Candidate, ...] = ()
    seconds: int = 0

    @property
    def oldest(self) -> datetime.date:
        """The day on which it has waited since."""
        return self.questions[0].front.date


@dataclass(frozen=True, slots=True)
class Rundown:
    """A running order.

    Shape: ``groups`` are headings with their items, in the order in which they are read;
    ``later`` did not fit into the ``minutes``; ``to_look_at`` may be answered by a note;
    ``left_over`` is answered by none.
    """

    day: datetime.date
    workshop: str
    habits: RundownHabits
    minutes: int | None
    groups: tuple[tuple[str, tuple[Item, ...]], ...]
    later: tuple[Item, ...]
    to_look_at: tuple[Item, ...]
    left_over: tuple[Item, ...]

    @property
    def items(self) -> tuple[Item, ...]:
        """The items that are read out, in order."""
        return tuple(item for _, items in self.groups for item in items)

    @property
    def seconds(self) -> int:
        """How long they take."""
        return sum(item.seconds for item in self.items)


def rundown_of(
    checked: Checked,
    matcher: Matcher,
    day: datetime.date,
    minutes: int | None = None,
    aside: Sequence[int] = (),
) -> Rundown:
    """Return the running order of the questions that wait on a day.

    Shape: ``minutes`` is what it has to fit into, None for as long as it takes;
    ``aside`` are numbers of questions to be left out. A question that came after the
    day does not wait yet.
    """
    workshop = checked.tree.workshop
    habits = workshop.rundown if workshop else RundownHabits()
    subjects = _Subjects(checked, matcher, habits, day, frozenset(aside))
    ready, look, left = subjects.gathered()
    ready.sort(key=_turn)
    chosen, later = _fitting(ready, minutes)
    return Rundown(
        day,
        workshop.name if workshop else "",
        habits,
        minutes,
        _grouped(chosen),
        tuple(later),
        tuple(sorted(look, key=_turn)),
        tuple(sorted(left, key=_turn)),
    )


def _turn(item: Item) -> tuple[int, datetime.date, bool, int]:
    sure = item.confidence is Confidence.SURE
    return -item.times, item.oldest, not sure, item.questions[0].number


def _fitting(ready: Sequence[Item], minutes: int | None) -> tuple[list[Item], list[Item]]:
    chosen: list[Item] = []
    later: list[Item] = []
    left = minutes * 60 if minutes is not None else None
    for item in ready:
        if left is not None and item.seconds > left:
            later.append(item)
            continue
        chosen.append(item)
        left = left - item.seconds if left is not None else None
    return chosen, later


def _grouped(items: Sequence[Item]) -> tuple[tuple[str, tuple[Item, ...]], ...]:
    """Return items under their headings, the heading that is asked about oftenest first."""
    groups: dict[str, list[Item]] = {}
    for item in items:
        groups.setdefault(item.heading, []).append(item)
    order = sorted(
        groups, key=lambda name: (-sum(item.times for item in groups[name]), _turn(groups[name][0]))
    )
    return tuple((name, tuple(groups[name])) for name in order)


@dataclass(frozen=True, slots=True)
class _Group:
    """Questions that ask the same, the best that was found for one of them, and how sure."""

    questions: tuple[Question, ...]
    match: Match
    confidence: Confidence | None


class _Subjects:
    """Gathers waiting questions into subjects."""

    def __init__(
        self,
        checked: Checked,
        matcher: Matcher,
        habits: RundownHabits,
        day: datetime.date,
        aside: frozenset[int],
    ) -> None:
        self._checked = checked
        self._tree = checked.tree
        self._matcher = matcher
        self._habits = habits
        self._replies = Replies(checked, matcher.registers)
        self._notes = {note.number: note for note in checked.published}
        self._repeats = Repeats(checked.tree)
        self._waiting = [
            question
            for question in checked.tree.questions.values()
            if question.front.standing is QuestionStanding.WAITING
            and question.front.date <= day
            and question.number not in aside
        ]

    def gathered(self) -> tuple[list[Item], list[Item], list[Item]]:
        """Return what is ready to be read out, what is to be looked at, what is left over."""
        answered: dict[int, list[_Group]] = {}
        rest: list[tuple[Question, ...]] = []
        for questions in self._repeats.groups(self._waiting):
            group, number = self._matched(questions)
            if number is not None:
                answered.setdefault(number, []).append(group)
            else:
                rest.append(questions)
        ready = [self._item(self._notes[number], groups) for number, groups in answered.items()]
        look = [item for item in ready if item.refused]
        left: list[Item] = []
        for questions in joined(self._checked, self._matcher.bench, rest):
            group, _ = self._matched(questions)
            (look if group.match.candidates else left).append(self._bare(group))
        return [item for item in ready if not item.refused], look, left

    def _matched(self, questions: tuple[Question, ...]) -> tuple[_Group, int | None]:
        """Return what is found for a question, and the note that answers it well enough."""
        matches = [self._matcher.match(Asked.of_question(self._tree, one)) for one in questions]
        best = max(matches, key=_strength)
        before = answering_note(self._tree, questions[0])  # what it repeats was answered
        if before in self._notes:
            return _Group(questions, best, Confidence.SURE), before
        first = best.candidates[0] if best.candidates else None
        if first is None or first.confidence is Confidence.POSSIBLE:
            return _Group(questions, best, None), None
        return _Group(questions, best, first.confidence), first.note.number

    def _bare(self, group: _Group) -> Item:
        families = _families(group.questions)
        return Item(
            group.questions,
            self._repeats.times(group.questions),
            in_short(group.questions[0]),
            self._name(families[0]) if families else NO_HEADING,
            tuple(self._name(one) for one in families),
            group.confidence,
            candidates=group.match.candidates or group.match.nearest[:_NEAREST],
        )

    def _name(self, family: str) -> str:
        return self._matcher.family_name(family)

    def _item(self, note: Note, groups: Sequence[_Group]) -> Item:
        """Return what one note answers; what it answers for sure tells what it is about."""
        first = next((one for one in groups if one.confidence is Confidence.SURE), groups[0])
        questions = sorted(
            (one for group in groups for one in group.questions),
            key=lambda one: (one.front.date, one.number),
        )
        families = [one for one in _families(questions) if one in self._tree.families]
        families = families or list(first.match.asked.families)
        item = replace(
            self._bare(first),
            questions=tuple(questions),
            times=self._repeats.times(questions),
            heading=self._heading(note),
            families=tuple(self._name(one) for one in families),
            unsure=frozenset(
                one.number
                for group in groups
                if group.confidence is not Confidence.SURE
                for one in group.questions
            ),
            note=note,
            candidates=(),
        )
        claims = [
            claim
            for question in questions
            for claim in self._matcher.registers.claims(question.words, families)
        ]
        try:
            reply = self._replies.compose(note, claims, families, self._own(questions))
        except CannotReply as refused:
            return replace(item, refused=str(refused))
        item = replace(
            item,
            reply=reply,
            say=reply.screws[:_SCREWS_SAID],
            more_screws=max(0, len(reply.screws) - _SCREWS_SAID),
            not_to_say=tuple(self._not_to_say(note, reply)),
        )
        return replace(item, seconds=self._time(item))

    def _own(self, questions: Sequence[Question]) -> Question | None:
        """Return the first question to which the workshop wrote an answer of its own."""
        return next((one for one in questions if one.front.answer), None)

    def _heading(self, note: Note) -> str:
        for name in note.front.headings:
            if name in self._tree.headings:
                return self._tree.headings[name].heading
        families = [one for one in note.front.families if one in self._tree.families]
        return self._name(families[0]) if len(families) == 1 else NO_HEADING

    def _not_to_say(self, note: Note, reply: Reply) -> Iterator[NotToSay]:
        told: set[str] = set()
        for screw in reply.screws[:_SCREWS_SAID]:
            lines = self._matcher.registers.rows[screw.row].row.corrections if screw.row else ()
            for line in lines:
                day = day_in_words(line.date)
                told.add(line.was)
                yield NotToSay(line.was, f"withdrawn on {day} for {screw.where}")
            for says, source in screw.disputed:
                yield NotToSay(says, f"disputed for {screw.where}, {plain_text(source)}")
            for other in screw.not_that:
                yield NotToSay(other.thread, f"that is {other.places}, not “{screw.where}”")
        for line in note.front.corrections:
            if line.was not in told:
                what = plain_text(line.what or "what was said")
                yield NotToSay(line.was, f"withdrawn on {day_in_words(line.date)}, {what}")

    def _time(self, item: Item) -> int:
        """Return how long an item is read aloud, the pause after it included, in seconds."""
        words = sum(len(text.split()) for text in _read_aloud(item))
        return ceil(words * 60 / self._habits.words_a_minute) + self._habits.pause


def _read_aloud(item: Item) -> Iterator[str]:
    """Yield what is read aloud: the question, the cautions, the answer, the figures."""
    yield item.short
    if item.reply is None:
        return
    yield from map(caution_line, item.reply.cautions)
    yield item.reply.fix
    yield from map(screw_line, item.say)


def _strength(match: Match) -> int:
    return match.candidates[0].evidence if match.candidates else -1


def _families(questions: Sequence[Question]) -> list[str]:
    return list(dict.fromkeys(one for question in questions for one in question.front.families))
