"""What is held to be right of questions and of the workshop's answers to them."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.checks.hazards import calls_in
from kbgen.checks.rule import Material
from kbgen.content import Note, Question, answering_note
from kbgen.findings import Finding, finding
from kbgen.prose import passages_of_answer

__all__ = ["answer_for_another_family", "answer_without_caution", "question_repeats_later_one"]


def question_repeats_later_one(material: Material) -> Iterator[Finding]:
    """Report a question that is said to repeat itself or one that came later."""
    for number, question in material.tree.questions.items():
        earlier = question.front.same_as
        if earlier is None or earlier < number:
            continue
        yield _finding(
            "question-repeats-later-one",
            question,
            "same_as",
            f"question {number} is said to repeat question {earlier}, which is not an earlier one",
            f"say in question {earlier} that it repeats {number}, or take this out"
            if earlier != number
            else "name the earlier question, or take this out",
        )


def answer_for_another_family(material: Material) -> Iterator[Finding]:
    """Report a question that was answered from a note for other machines than it is about."""
    for question, note in _answered(material):
        asked, held = question.front.families, note.front.families
        if asked and held and not set(asked) & set(held):
            yield _finding(
                "answer-for-another-family",
                question,
                "answered_by",
                f"the question is about {', '.join(asked)}, and note {note.number}, which "
                f"answers it, holds for {', '.join(held)}",
                "name the note for its machine, correct the families, or widen the note where "
                "it was measured",
            )


def answer_without_caution(material: Material) -> Iterator[Finding]:
    """Report an answer whose words call for a caution that its note does not carry."""
    for question, note in _answered(material):
        if question.front.answer is None:
            continue
        passages = tuple(passages_of_answer(question))
        for word, line, column, hazards in calls_in(material, passages, note.front.hazards):
            yield finding(
                "answer-without-caution",
                question.source.path,
                line,
                column,
                f"`{word}` calls for a caution, and note {note.number}, from which this is "
                "answered, does not carry it",
                f"add one of these to the hazards of {note.source.path}: {', '.join(hazards)}"
                if hazards
                else "declare a hazard of the mains in content/hazards.yaml",
            )


def _answered(material: Material) -> Iterator[tuple[Question, Note]]:
    """Yield the questions that name their note, with the note as it stands today."""
    for question in material.tree.questions.values():
        number = answering_note(material.tree, question)
        if question.front.answered_by is not None and number in material.tree.notes:
            yield question, material.tree.notes[number or 0]


def _finding(code: str, question: Question, key: str, message: str, hint: str) -> Finding:
    place = question.source.place(key)
    return finding(code, question.source.path, place.line, place.column, message, hint)
