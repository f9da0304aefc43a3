"""Which questions ask the same, and how a question is said in one line."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence

from kbgen.checks import Checked
from kbgen.content import Question, Tree, first_asked
from kbgen.content.models import QuestionStanding
from kbgen.desk.alike import SAME, Alike
from kbgen.desk.matching import Asked
from kbgen.desk.matching_words import without_courtesies, without_greeting
from kbgen.search import Bench, analyse

__all__ = ["Repeats", "in_short", "joined", "numbers"]

_SHORT = 110  # letters of a question in one line
_READ = 5_000  # letters of a letter among which it is looked for
_SENTENCE = re.compile(r"(?<=[.!?])\s+")


class Repeats:
    """The questions of a tree by what they ask: those linked by ``same_as`` ask one thing."""

    def __init__(self, tree: Tree) -> None:
        self._first = {
            number: first_asked(tree, question) for number, question in tree.questions.items()
        }
        self._times: dict[int, int] = {}
        for number, first in self._first.items():
            if tree.questions[number].front.standing is not QuestionStanding.SET_ASIDE:
                self._times[first] = self._times.get(first, 0) + 1

    def groups(self, questions: Iterable[Question]) -> list[tuple[Question, ...]]:
        """Return the questions that ask one thing together, each group the oldest first."""
        found: dict[int, list[Question]] = {}
        for question in questions:
            found.setdefault(self._first[question.number], []).append(question)
        return [
            tuple(sorted(group, key=lambda one: (one.front.date, one.number)))
            for _, group in sorted(found.items())
        ]

    def times(self, questions: Iterable[Question]) -> int:
        """Return how often questions were asked: all that ask the same, but for those set aside."""
        firsts = {self._first[question.number] for question in questions}
        return sum(self._times.get(first, 1) for first in firsts)


def joined(
    checked: Checked, bench: Bench, groups: Sequence[tuple[Question, ...]]
) -> list[tuple[Question, ...]]:
    """Return groups of questions with those joined that ask the same in other words.

    Shape: each group the oldest first, the groups in the order of their first ones.
    """
    if len(groups) < 2:
        return list(groups)
    alike = Alike(checked, bench)
    found: dict[int, list[Question]] = {}
    for group in groups:
        asked = Asked.of_question(checked.tree, group[0])
        near = alike.nearest(asked)
        alike.add(group[0].number, asked)
        home = near.number if near is not None and near.likeness >= SAME else group[0].number
        found[group[0].number] = found.get(home, [])
        found[group[0].number] += group
    once = {id(members): members for members in found.values()}
    return [
        tuple(sorted(members, key=lambda one: (one.front.date, one.number)))
        for members in once.values()
    ]


def in_short(question: Question) -> str:
    """Return a question in one line: its short form, its subject, or its telling sentence.

    Shape: of a letter the passage of one line that says most, of several alike the shortest.
    """
    front = question.front
    if front.in_short or front.subject:
        return " ".join((front.in_short or front.subject or "").split())
    sentences = _SENTENCE.split(" ".join(without_greeting(question.words[:_READ]).split()))
    return _cut(max(_passages(sentences), key=_says))


def _passages(sentences: Sequence[str]) -> Iterator[str]:
    """Yield every passage of whole sentences that fits one line, single ones always."""
    for start in range(len(sentences)):
        passage = ""
        for sentence in sentences[start:]:
            longer = f"{passage} {sentence}".strip()
            if passage and len(longer) > _SHORT:
                break
            passage = longer
            yield passage


def _says(passage: str) -> tuple[int, int]:
    """Return how much a passage says: its telling words, courtesies left out, then brevity."""
    return len(set(analyse(without_courtesies(passage)))), -len(passage)


def _cut(text: str) -> str:
    if len(text) <= _SHORT:
        return text
    return f"{text[:_SHORT].rpartition(' ')[0].rstrip(',;: ')} …"


def numbers(questions: Sequence[Question]) -> str:
    """Return the numbers of questions as they are named: ``Q0007, Q0012``."""
    return ", ".join(f"Q{one.number:04}" for one in questions)
