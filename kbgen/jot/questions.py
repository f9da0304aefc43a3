"""What is asked of a new note, in the order in which a repairer thinks of it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

__all__ = ["QUESTIONS", "Form", "Question", "question_of"]


class Form(StrEnum):
    """How an answer is given."""

    LINE = "line"
    LINES = "lines"
    FAMILIES = "families"
    HEADINGS = "headings"
    PARTS = "parts"
    SPARES = "spares"
    CAUSES = "causes"
    FASTENERS = "fasteners"
    MOMENTS = "moments"
    TEXT = "text"
    HAZARDS = "hazards"


@dataclass(frozen=True, slots=True)
class Question:
    """One question.

    Shape: ``key`` is the key of the front matter, of what stands under ``before`` the
    inner key, and ``steps`` for the text below; ``none`` is true where "none" is an
    answer.
    """

    key: str
    asks: str
    explains: str
    form: Form
    needed: bool = False
    none: bool = False


QUESTIONS: tuple[Question, ...] = (
    Question(
        "title",
        "What is the note about, in a few words?",
        "The title names the thing and what is wrong with it: Bobbin winder tyre slips.",
        Form.LINE,
        needed=True,
    ),
    Question(
        "symptom",
        "What does a customer say? One sentence a line.",
        "In their own words, as they would look for it: The little wheel turns but the spool "
        "never fills.",
        Form.LINES,
        needed=True,
    ),
    Question(
        "families",
        "Which machine families does it hold for?",
        "Numbers, ids or words of their names, with commas between; none for a skill that holds "
        "for any machine.",
        Form.FAMILIES,
        none=True,
    ),
    Question(
        "headings",
        "Under which complaints is it listed?",
        "Numbers, ids or words, with commas between.",
        Form.HEADINGS,
    ),
    Question(
        "causes",
        "What can be behind it? The cheapest to test first.",
        "Each cause with what tells it apart from the others, and what mends it.",
        Form.CAUSES,
    ),
    Question(
        "fix",
        "What mends it, in one or two sentences?",
        "What somebody reads who has a minute.",
        Form.LINE,
    ),
    Question(
        "people",
        "How many hands: how many people does it take?",
        "In words: one; two to lift the head.",
        Form.LINE,
    ),
    Question(
        "tools",
        "Which tools have to be at hand? One a line.",
        "With their size, as you would call for them: 5 mm driver.",
        Form.LINES,
        none=True,
    ),
    Question(
        "supplies",
        "Which supplies? One a line.",
        "Oil, grease, cleaner, abrasive: what is used up.",
        Form.LINES,
        none=True,
    ),
    Question(
        "parts",
        "Which parts does it take?",
        "Numbers, ids or words, with commas between; a number before it for more than one: "
        "2 x felt.",
        Form.PARTS,
        none=True,
    ),
    Question(
        "spares",
        "Which spares have to be at hand before the first step?",
        "Numbers, ids or words, with commas between.",
        Form.SPARES,
        none=True,
    ),
    Question(
        "fasteners",
        "Which screws does one meet?",
        "Numbers or ids of places in the registers, with commas between; or a thread, such as "
        "M4x0.7, for a screw that no register has.",
        Form.FASTENERS,
        none=True,
    ),
    Question(
        "works_when",
        "What proves that it worked?",
        "Something that can be seen or measured: A spool fills at full speed and the winder stops "
        "by itself.",
        Form.LINE,
    ),
    Question(
        "recordings",
        "Which recording shows it, and when?",
        "The recording's id, @, and the time: winder-evening@12:40.",
        Form.MOMENTS,
        none=True,
    ),
    Question(
        "steps",
        "The steps, in Markdown. A line with nothing but a full stop ends them.",
        "One action a step; links as in [the tyre](part:winder-tyre), [hook timing](note:17).",
        Form.TEXT,
    ),
    Question(
        "hazards",
        "Which cautions does it carry?",
        "Numbers or ids, with commas between. What the words of the note call for is offered.",
        Form.HAZARDS,
        none=True,
    ),
)


def question_of(key: str) -> Question:
    """Return the question that asks for a key. Raises: KeyError."""
    for question in QUESTIONS:
        if question.key == key:
            return question
    raise KeyError(key)
