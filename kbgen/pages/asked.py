"""What was asked, as other pages tell of it: the words as written, and lines of questions."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping
from dataclasses import replace
from itertools import pairwise

from markupsafe import Markup, escape

from kbgen.content import Note, Question, answering_note, question_pages
from kbgen.content.models import CameBy
from kbgen.links import Reference, Scheme
from kbgen.pages.figures import day, quiet_join
from kbgen.pages.shelf import Shelf
from kbgen.pages.views import AskedOften, IndexRow

__all__ = [
    "WAYS",
    "as_written",
    "asked_often",
    "question_row",
    "questions_about",
    "shown_questions",
]

WAYS = {
    CameBy.LETTER: "by letter",
    CameBy.COMMENT: "in a comment",
    CameBy.VISIT: "on a visit",
    CameBy.TELEPHONE: "by telephone",
    CameBy.RECORDING: "in a recording",
}

_FULL = 60
"""Letters of a line that a mail program may have broken; a shorter one its writer ended."""

_ITEM = re.compile(r"[>*•–—-]|\d+[.)]\s")


def shown_questions(shelf: Shelf) -> Mapping[int, tuple[Question, ...]]:
    """Return the questions that have a page, by its number, with those that repeat them."""
    return shelf.once("questions", lambda: question_pages(shelf.tree))


def as_written(words: str) -> Markup:
    """Return words as they were written: plain text in paragraphs, its line breaks kept.

    A break at which the next word would not have fitted into the longest line is one that
    a program made, and is none to a reader with a narrower page.
    """
    width = max(map(len, words.splitlines()), default=0)
    paragraphs = []
    for paragraph in re.split(r"\n\s*\n", words.strip()):
        lines = paragraph.split("\n")
        text = escape(lines[0].strip())
        for line, following in pairwise(lines):
            text += " " if _runs_on(line, following, width) else Markup("<br>")
            text += following.strip()
        paragraphs.append(Markup("<p>{}</p>").format(text))
    return Markup("").join(paragraphs)


def _runs_on(line: str, following: str, width: int) -> bool:
    """Return whether a line goes on in the following one, which a program broke off."""
    if width < _FULL or _ITEM.match(following.lstrip()):
        return False
    return len(line.rstrip()) + 1 + len(following.split(None, 1)[0]) > width


def question_row(shelf: Shelf, number: int) -> IndexRow:
    """Return a question with a page as a line of a list: who asked it, how and when."""
    first, *again = shown_questions(shelf)[number]
    front = first.front
    says = escape(f"{first.alias}, " if first.alias else "") + WAYS[front.came_by]
    says += Markup(", {}").format(day(front.date))
    if again:
        says += f", and {len(again)} more after that"
    return IndexRow(shelf.question_link(first), says)


def questions_about(shelf: Shelf, reference: Reference) -> tuple[IndexRow, ...]:
    """Return the questions about a family or a recording, by number, of a family bare."""
    origins = (edge.origin for edge in shelf.checked.graph.leads_to_page(reference))
    numbers = {int(origin.target) for origin in origins if origin.scheme is Scheme.QUESTION}
    rows = (question_row(shelf, number) for number in sorted(numbers))
    bare = reference.scheme is Scheme.FAMILY
    return tuple(replace(row, says="") if bare else row for row in rows)


def asked_often(shelf: Shelf, note: Note) -> AskedOften:
    """Return how often people asked what a note answers, and the questions with a page."""
    numbers = shelf.once("asked of", lambda: _by_note(shelf), kept=True).get(note.number, ())
    if not numbers:
        return AskedOften(Markup(""), ())
    asked = [shelf.tree.questions[number] for number in numbers]
    ways = Counter(question.front.came_by for question in asked)
    told = quiet_join([f"{ways[way]} {words}" for way, words in WAYS.items() if ways[way]])
    days = sorted(question.front.date for question in asked)
    if len(asked) == 1:
        says = Markup("Asked once, {}, on {}.").format(WAYS[asked[0].front.came_by], day(days[0]))
    else:
        says = Markup("Asked {} times, {}: first on {}, last on {}.").format(
            len(asked), told, day(days[0]), day(days[-1])
        )
    shown = (number for number in numbers if number in shown_questions(shelf))
    return AskedOften(says, tuple(question_row(shelf, number) for number in shown))


def _by_note(shelf: Shelf) -> dict[int, list[int]]:
    """Return the questions that each note answers, all of them by number."""
    found: dict[int, list[int]] = {}
    for question in shelf.tree.questions.values():
        note = answering_note(shelf.tree, question)
        if note is not None:
            found.setdefault(note, []).append(question.number)
    return found
