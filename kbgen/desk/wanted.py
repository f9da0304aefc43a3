"""What to write next: questions that no note answers, those asked oftenest of late first.

The formula: every asking counts one on its day and half as much for each half-life that
has gone by since, 2^(-days / half-life); what was asked is worth the sum.
"""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from kbgen.checks import Checked
from kbgen.content import Question, answering_note
from kbgen.content.models import QuestionStanding
from kbgen.desk.matching import Asked, Candidate, Matcher
from kbgen.desk.matching_shape import candidate_shape
from kbgen.desk.repeats import Repeats, in_short, joined

__all__ = ["HALF_LIFE_DAYS", "Wanted", "wanted_of", "wanted_shape"]

HALF_LIFE_DAYS = 180


@dataclass(frozen=True, slots=True)
class Wanted:
    """Something that was asked and that no note answers.

    Shape: ``questions`` ask the same, the earliest first; ``worth`` is by the formula;
    ``nearest`` are notes that come nearest, or that may answer after all.
    """

    questions: tuple[Question, ...]
    short: str
    worth: float
    families: tuple[str, ...]
    nearest: tuple[Candidate, ...]

    @property
    def last(self) -> datetime.date:
        """The day on which it was asked last."""
        return max(one.front.date for one in self.questions)


def wanted_of(
    checked: Checked,
    matcher: Matcher,
    day: datetime.date,
    half_life_days: int = HALF_LIFE_DAYS,
) -> tuple[Wanted, ...]:
    """Return what no note answers, the most wanted first.

    Shape: a question counts that waits, that came by the day, and for which nothing
    fits, with all that ask the same, be it in other words.
    """
    tree = checked.tree
    waiting = [
        question
        for question in tree.questions.values()
        if question.front.standing is QuestionStanding.WAITING
        and question.front.date <= day
        and answering_note(tree, question) is None
    ]
    matches = {one.number: matcher.match(Asked.of_question(tree, one)) for one in waiting}
    unanswered = [
        questions
        for questions in Repeats(tree).groups(waiting)
        if not any(matches[one.number].candidates for one in questions)
    ]
    found = []
    for questions in joined(checked, matcher.bench, unanswered):
        of_these = [matches[one.number] for one in questions]
        families = dict.fromkeys(one for match in of_these for one in match.asked.families)
        found.append(
            Wanted(
                questions,
                in_short(questions[0]),
                _worth(questions, day, half_life_days),
                tuple(matcher.family_name(one) for one in families),
                of_these[0].nearest,
            )
        )
    return tuple(sorted(found, key=lambda one: (-one.worth, one.questions[0].number)))


def _worth(questions: Sequence[Question], day: datetime.date, half_life_days: int) -> float:
    ages = ((day - one.front.date).days for one in questions)
    return round(sum(2 ** (-age / half_life_days) for age in ages), 2)


def wanted_shape(
    wanted: Sequence[Wanted], day: datetime.date, half_life_days: int
) -> dict[str, Any]:
    """Return what is wanted as plain data."""
    return {
        "day": day.isoformat(),
        "half_life_days": half_life_days,
        "wanted": [
            {
                "short": one.short,
                "worth": one.worth,
                "times": len(one.questions),
                "last": one.last.isoformat(),
                "questions": [question.number for question in one.questions],
                "families": list(one.families),
                "nearest": [candidate_shape(candidate) for candidate in one.nearest],
            }
            for one in wanted
        ],
    }
