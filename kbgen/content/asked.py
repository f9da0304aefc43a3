"""What was asked: how often a note's subject was, and which questions have a page."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from typing import TYPE_CHECKING

from kbgen.content.models import QuestionPage, QuestionStanding, Standing

if TYPE_CHECKING:
    from kbgen.content.tree import Question, Tree

__all__ = ["answering_note", "askings", "first_asked", "is_shown", "question_pages"]


def askings(tree: Tree) -> Mapping[int, int]:
    """Return how many questions each note answers, by note number, sorted.

    Shape: a question counts for the note that answers it, or that answers the earlier
    question it repeats; where that note was withdrawn, for the one that stands for it.
    A note that answers none is not in it.
    """
    counted = Counter(
        note
        for question in tree.questions.values()
        if (note := answering_note(tree, question)) is not None
    )
    return dict(sorted(counted.items()))


def is_shown(question: Question) -> bool:
    """Return whether a question is meant for readers: answered, and not kept back."""
    front = question.front
    return front.standing is QuestionStanding.ANSWERED and front.page is QuestionPage.SHOWN


def question_pages(tree: Tree) -> Mapping[int, tuple[Question, ...]]:
    """Return the questions that have a page, by its number, each with those that stand on it.

    Shape: the one whose page it is comes first, those that ask the same follow by number.
    It is the question that the others repeat, or the earliest of them that is shown. One
    is shown if it is answered, not kept back, and its note is published.
    """
    groups: dict[int, list[Question]] = {}
    for question in tree.questions.values():
        note = tree.notes.get(answering_note(tree, question) or 0)
        if is_shown(question) and note and note.front.standing is Standing.PUBLISHED:
            groups.setdefault(first_asked(tree, question), []).append(question)
    return dict(sorted((group[0].number, tuple(group)) for group in groups.values()))


def first_asked(tree: Tree, question: Question) -> int:
    """Return the number of the question that one repeats in the end, else its own."""
    seen = {question.number}
    while (earlier := tree.questions.get(question.front.same_as or 0)) is not None:
        if earlier.number in seen:  # a circle, which no checked tree has
            return min(seen)
        seen.add(earlier.number)
        question = earlier
    return question.number


def answering_note(tree: Tree, question: Question) -> int | None:
    """Return the number of the note that answers a question, as it stands today."""
    asked = {question.number}
    while question.front.answered_by is None:
        earlier = tree.questions.get(question.front.same_as or 0)
        if earlier is None or earlier.number in asked:
            return None
        asked.add(earlier.number)
        question = earlier
    number = question.front.answered_by
    seen = {number}
    while number in tree.notes:
        successor = tree.notes[number].front.successor
        if successor is None or successor in seen:
            break
        seen.add(successor)
        number = successor
    return number
