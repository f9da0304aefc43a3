"""The questions asked one at a time, each answer held to the checks as it is given."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from kbgen.findings import Severity
from kbgen.jot.again import SEVERAL, lines_of, read_again, with_line
from kbgen.jot.answers import Answers
from kbgen.jot.asking import BEGUN, Asking, Back, Console
from kbgen.jot.questions import QUESTIONS, Question, question_of
from kbgen.jot.trial import Said, Trial
from kbgen.units import Kind

__all__ = ["Session"]


class Session:
    """One note being asked for.

    Shape: ``answers`` hold what was said so far, under ``begun`` the lines of an answer
    that is not finished; ``keep`` is called after every line that was said.
    """

    def __init__(
        self,
        trial: Trial,
        console: Console,
        answers: Answers,
        keep: Callable[[Answers], None] = lambda _: None,
    ) -> None:
        self._trial = trial
        self._console = console
        self.answers = answers
        self._keep = keep
        self._asking = Asking(trial, console, answers, keep)

    def ask_all(self) -> None:
        """Ask what was not answered yet, and once more what the whole tree objects to.

        Raises: EOFError, KeyboardInterrupt; what was said until then is kept.
        """
        self._console.say(
            "Enter alone leaves a question open, ? explains it, < goes back to the one before."
        )
        number = 0
        while number < len(QUESTIONS):
            question = QUESTIONS[number]
            if question.key in self.answers or (not self._asking.has_choices(question)):
                number += 1
                continue
            try:
                self._settle(question)
            except Back:
                number = self._back_from(number)
        self._mend()

    def _back_from(self, number: int) -> int:
        """Return the number of the question before, its answer taken back."""
        while number > 0:
            number -= 1
            if self._asking.has_choices(QUESTIONS[number]):
                self.answers.pop(QUESTIONS[number].key, None)
                return number
        self._console.say("This is the first question.")
        return 0

    def _settle(self, question: Question) -> None:
        """Ask one question until its answer stands."""
        while True:
            self._console.say("")
            self._console.say(question.asks, "strong")
            given = self._asking.take(question)
            self.answers.pop(BEGUN, None)
            if given is None:
                if question.needed:
                    self._console.say("A note needs this one.", "error")
                    continue
                self.answers[question.key] = None
            elif not self._settled(question, given):
                continue
            self._keep(self.answers)
            return

    def _settled(self, question: Question, given: Any) -> bool:
        """Take an answer if it stands, of several lines once those that are wrong do."""
        while given is not None and (given or question.form not in SEVERAL):
            self.answers[question.key] = given
            if self._stands(question, given):
                return True
            del self.answers[question.key]
            if question.form not in SEVERAL:
                return False
            given = self._again(question, given)
        return False

    def _again(self, question: Question, given: Any) -> Any:
        """Return an answer with one of its lines said again, None to begin it anew."""
        self._console.say("  Say a line again behind its number, 2: …; Enter begins anew.")
        for number, text in enumerate(lines_of(given), 1):
            self._console.say(f"{number:3}: {text}", "quiet")
        self.answers[BEGUN] = {question.key: given}
        self._keep(self.answers)
        while line := self._console.ask("> ").strip():
            said = read_again(line)
            if said is not None and 1 <= said[0] <= len(lines_of(given)):
                self.answers.pop(BEGUN)
                return with_line(given, *said)
            self._console.say("  There is no such line.", "error")
        self.answers.pop(BEGUN)
        return None

    def _stands(self, question: Question, given: Any) -> bool:
        """Show what is read in an answer and what the checks say of it; false at an error."""
        for text in _texts(given):
            for stated in self._trial.stated(text):
                if stated.kind in (Kind.THREAD, Kind.TORQUE):
                    self._console.say(f"  {stated.canonical}: {stated.verdict}", "quiet")
        said = [
            one
            for one in self._trial.quick(self.said())
            if one.key in (question.key, "") and one.severity is not Severity.ADVICE
        ]
        self._show(said)
        return not any(one.severity is Severity.ERROR for one in said)

    def said(self) -> Answers:
        """Return the answers without what was left open or not finished."""
        return self._asking.said()

    def _show(self, said: Sequence[Said]) -> None:
        for one in said:
            self._console.say(f"  {one.severity}: {one.message}", str(one.severity))
            if one.hint:
                self._console.say(f"      hint: {one.hint}")

    def _mend(self) -> None:
        """Hold the note to the whole tree, and ask again for what is objected to."""
        while True:
            wrong = [
                one for one in self._trial.whole(self.said()) if one.severity is Severity.ERROR
            ]
            if not wrong:
                return
            self._console.say("")
            self._console.say("So the note would not stand:", "strong")
            self._show(wrong)
            for key in dict.fromkeys(one.key or "steps" for one in wrong):
                self.answers.pop(key, None)
                try:
                    self._settle(question_of(key))
                except Back:
                    continue


def _texts(given: Any) -> list[str]:
    """Return every text in an answer."""
    match given:
        case str():
            return [given]
        case dict():
            return [text for value in given.values() for text in _texts(value)]
        case list():
            return [text for value in given for text in _texts(value)]
    return []
