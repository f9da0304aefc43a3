"""A new note by answering questions, each answer checked as it is given.

``questions`` says what is asked, ``answers`` makes a note of what was said, ``trial``
holds it to the project's own checks, ``kept`` keeps what was said of an unfinished note,
``session`` asks.
"""

from kbgen.jot.answers import Answers, note_of, read_answers
from kbgen.jot.kept import Kept
from kbgen.jot.session import Session
from kbgen.jot.trial import Trial

__all__ = ["Answers", "Kept", "Session", "Trial", "note_of", "read_answers"]
