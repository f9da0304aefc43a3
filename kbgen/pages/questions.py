"""Question pages: what somebody asked in their own words, and what was answered."""

from __future__ import annotations

import datetime
from collections.abc import Iterator

from kbgen.content import Note, Question, answering_note
from kbgen.content.models import QuestionStanding
from kbgen.links import Reference, Scheme, address_of
from kbgen.pages.asked import WAYS, as_written, question_row, shown_questions
from kbgen.pages.notes import most_severe_first
from kbgen.pages.readable import plain
from kbgen.pages.shelf import Shelf, question_title
from kbgen.pages.views import (
    AskedView,
    CorrectionLine,
    IndexGroup,
    IndexRow,
    LinkView,
    Page,
    QuestionView,
)

__all__ = ["question_page", "questions_page"]


def question_page(shelf: Shelf, number: int) -> Page:
    """Return the page of a question, with those that asked the same."""
    question, *repeated = shown_questions(shelf)[number]
    front = question.front
    note = _note_of(shelf, question)
    corrections = tuple(_corrected_since(shelf, question, note))
    answer = shelf.blocks(front.answer) if front.answer else shelf.blocks(note.front.fix)
    view = QuestionView(
        number=f"{number:04}",
        asked=_asked(shelf, question),
        about=tuple(_about(shelf, question)),
        cautions=most_severe_first(
            shelf, (shelf.tree.hazards[hazard] for hazard in note.front.hazards)
        ),
        answer=answer,
        own=front.answer is not None,
        note=shelf.note_link(note),
        corrections=corrections,
        again=tuple(_asked(shelf, again) for again in repeated),
    )
    days = [view.asked.answered, *(again.answered for again in view.again)]
    days += [line.date for line in corrections]
    return Page(
        path=address_of(Reference(Scheme.QUESTION, str(number))),
        kind="question",
        title=question_title(question),
        purpose=plain(answer),
        families=tuple(shelf.family_link(family) for family in front.families),
        revised=max(days),
        body=view,
        source=question.source.path,
    )


def _note_of(shelf: Shelf, question: Question) -> Note:
    """Return the published note that answers a question which has a page."""
    return shelf.notes[answering_note(shelf.tree, question) or 0]


def _asked(shelf: Shelf, question: Question) -> AskedView:
    front = question.front
    return AskedView(
        question.alias,
        WAYS[front.came_by],
        front.date,
        as_written(question.words),
        shelf.blocks(front.answer or ""),
        front.answered or front.date,
    )


def _about(shelf: Shelf, question: Question) -> Iterator[LinkView]:
    about = question.front.about
    if about.recording:
        yield shelf.recording_link(about.recording, about.at)
    if about.note in shelf.notes:
        yield shelf.note_link(shelf.notes[about.note or 0])


def _corrected_since(shelf: Shelf, question: Question, note: Note) -> Iterator[CorrectionLine]:
    """Yield what was corrected in the note and its screws after the question was answered."""
    day = question.front.answered or datetime.date.max
    lines = [shelf.correction(line) for line in note.front.corrections]
    for fastener in note.front.fasteners:
        if not isinstance(fastener, str):
            lines += [shelf.correction(line, None, fastener) for line in fastener.corrections]
        elif _concerns(question, fastener):
            place, row = shelf.row_link(fastener), shelf.rows[fastener][1]
            lines += [shelf.correction(line, place, row) for line in row.corrections]
    yield from (line for line in lines if line.date > day)


def _concerns(question: Question, row: str) -> bool:
    """Return whether a register row is one of a machine that the question is about."""
    families = question.front.families
    return not families or row.partition("/")[0] in families


# --- the list


def questions_page(shelf: Shelf) -> Page:
    """Return the list of answered questions by subject, A to Z, and how many wait."""
    groups: dict[tuple[str, str, str], list[IndexRow]] = {}
    days: list[datetime.date] = []
    for number, (question, *_) in shown_questions(shelf).items():
        headings = _note_of(shelf, question).front.headings
        subject = ("", "Other questions", "other")
        if headings:
            words = shelf.tree.headings[headings[0]].heading
            subject = (words.casefold(), words, headings[0])
        groups.setdefault(subject, []).append(question_row(shelf, number))
        days.append(question.front.answered or question.front.date)
    ordered = sorted(groups.items(), key=lambda group: (not group[0][0], group[0]))
    waiting = sum(
        question.front.standing is QuestionStanding.WAITING
        for question in shelf.tree.questions.values()
    )
    return Page(
        path="questions.html",
        kind="list",
        title="Questions",
        purpose=f"What people asked, in their own words, with our answers. {_waiting(waiting)}",
        body=tuple(IndexGroup(words, tuple(rows), anchor) for (_, words, anchor), rows in ordered),
        revised=max(days, default=None),
        source="content/questions/" if shelf.tree.questions else "content/",
    )


def _waiting(count: int) -> str:
    if not count:
        return "None waits for one."
    return f"{count} {'waits' if count == 1 else 'wait'} for one."
