"""How often people asked what a note answers."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from kbgen.content.tree import Question, Tree

__all__ = ["askings"]


def askings(tree: Tree) -> Mapping[int, int]:
    """Return how many questions each note answers, by note number, sorted.

    Shape: a question counts for the note that answers it, or that answers the earlier
    question it repeats; where that note was withdrawn, for the one that stands for it.
    A note that answers none is not in it.
    """
    counted = Counter(
        note
        for question in tree.questions.values()
        if (note := _answering(tree, question)) is not None
    )
    return dict(sorted(counted.items()))


def _answering(tree: Tree, question: Question) -> int | None:
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
