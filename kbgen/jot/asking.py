"""How each kind of answer is taken: by the line, by the list, by the number."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, Protocol

from kbgen.content import UNWRITTEN
from kbgen.jot.answers import Answers
from kbgen.jot.choices import Choices, Refused, choices_of
from kbgen.jot.questions import Form, Question
from kbgen.jot.trial import Trial
from kbgen.units import Kind

__all__ = ["BEGUN", "Asking", "Back", "Console"]

BEGUN = "begun"
"""The key under which the lines of an answer are kept that is not finished."""

_CHOSEN = (Form.HEADINGS, Form.FAMILIES, Form.PARTS, Form.SPARES, Form.HAZARDS)
_BASIS = ("measured", "quoted", "estimated")


class Console(Protocol):
    """Whoever is asked."""

    def ask(self, prompt: str) -> str:
        """Return one line that was typed. Raises: EOFError at the end of the input."""

    def say(self, text: str, style: str = "") -> None:
        """Show a line; ``style`` is one of those of findings, strong or quiet."""


class Back(Exception):
    """The question before this one is wanted again."""


class Asking:
    """Somebody being asked, with what was said so far.

    Shape: ``keep`` is called after every line of an answer that has several.
    """

    def __init__(
        self, trial: Trial, console: Console, answers: Answers, keep: Callable[[Answers], None]
    ) -> None:
        self._trial = trial
        self._console = console
        self._answers = answers
        self._keep = keep
        self._lists: dict[str, Choices] = {}

    def said(self) -> Answers:
        """Return the answers without what was left open or not finished."""
        return {
            key: value for key, value in self._answers.items() if value is not None and key != BEGUN
        }

    def has_choices(self, question: Question) -> bool:
        """Return whether there is anything to answer: a tree may have no headings yet."""
        if question.form in _CHOSEN:
            return bool(self._choices(question.form))
        return True

    def take(self, question: Question) -> Any:
        """Return what is answered, None for nothing.

        Raises: Back where the question before is wanted; EOFError, KeyboardInterrupt.
        """
        match question.form:
            case Form.LINE:
                return self._line(question)
            case Form.LINES:
                return self._lines(question)
            case Form.TEXT:
                return self._text(question)
            case Form.CAUSES:
                return self._causes(question)
            case Form.MOMENTS:
                return self._until_read(question, _moments)
            case Form.FASTENERS:
                return self._until_read(question, self._fasteners)
            case Form.HAZARDS:
                return self._hazards(question)
            case _:
                return self._until_read(question, self._choices(question.form).read)

    def _line(self, question: Question, prompt: str = "> ") -> str | None:
        """Return one line, None for an empty one.

        Raises: Back where the question before is wanted.
        """
        while True:
            line = self._console.ask(prompt).strip()
            if line == "?":
                self._console.say(f"  {question.explains}")
            elif line == "<":
                raise Back
            else:
                return line or None

    def _lines(self, question: Question) -> list[str] | str | None:
        lines: list[str] = self._so_far(question)
        while line := self._line(question):
            if question.none and not lines and line.lower() == "none":
                return "none"
            self._go_on(question, lines, line)
        return lines or None

    def _text(self, question: Question) -> str | None:
        lines: list[str] = self._so_far(question)
        line = self._console.ask("> ") if lines else self._line(question)
        while line is not None and line.strip() != ".":
            self._go_on(question, lines, line)
            line = self._console.ask("> ")
        return "\n".join(lines).strip() or None

    def _causes(self, question: Question) -> list[dict[str, str]] | None:
        causes: list[dict[str, str]] = self._so_far(question)
        while cause := self._line(question, "  cause (Enter ends) > "):
            tell = self._line(question, "  what tells it apart > ")
            fix = self._line(question, "  what mends it > ")
            row = {"cause": cause, "tell": tell or UNWRITTEN}
            self._go_on(question, causes, row | ({"fix": fix} if fix else {}))
        return causes or None

    def _until_read(self, question: Question, read: Callable[[str], Any]) -> Any:
        """Return what a line is read as; it is asked for again while it cannot be read."""
        if question.form is not Form.MOMENTS:
            for row in self._choices(question.form).shown():
                self._console.say(f"  {row}", "quiet")
        while True:
            line = self._line(question)
            if line is None:
                return None
            if question.none and line.lower() == "none":
                return "none" if question.key == "spares" else []
            try:
                return read(line)
            except Refused as refused:
                self._console.say(f"  {refused}", "error")

    def _fasteners(self, line: str) -> list[Any]:
        """Return rows of registers; a thread makes a fastener of the note's own."""
        found: list[Any] = []
        for one in _parts_of(line):
            stated = [two for two in self._trial.stated(one) if two.kind is Kind.THREAD]
            if stated and stated[0].as_written == one:
                found.append(self._own_fastener(one))
            else:
                found += self._choices(Form.FASTENERS).read(one)
        return found

    def _own_fastener(self, thread: str) -> dict[str, str]:
        """Ask for what a register's row would say of a screw that no register has."""
        row = {"where": "", "thread": thread, "basis": "", "source": ""}
        asks = {
            "where": f"  {thread}: which screw is it, and where does it sit > ",
            "basis": f"  what does it rest on: {', '.join(_BASIS)} > ",
            "source": "  measured with what, on how many machines; or which book > ",
        }
        for key, prompt in asks.items():
            while not row[key]:
                said = self._console.ask(prompt).strip()
                row[key] = said if key != "basis" or said in _BASIS else ""
        return row

    def _hazards(self, question: Question) -> list[str] | None:
        """Offer the cautions that the words call for, then ask for more."""
        carried: list[str] = []
        offered: set[tuple[str, ...]] = set()
        while calls := [
            call
            for call in self._trial.cautions({**self.said(), "hazards": carried})
            if call.hazards not in offered
        ]:
            call = calls[0]
            offered.add(call.hazards)
            name = self._offered(call.word, call.hazards)
            if name:
                carried.append(name)
        more = self._until_read(question, self._choices(Form.HAZARDS).read)
        return [*dict.fromkeys([*carried, *(more or ())])] or None

    def _offered(self, word: str, hazards: Sequence[str]) -> str | None:
        """Return the caution that is taken of those that a word calls for."""
        for name in hazards:
            hazard = self._trial.tree.hazards[name]
            self._console.say(f"  `{word}` calls for {name} ({hazard.signal}): {hazard.hazard}")
        if not hazards:
            self._console.say(f"  `{word}` calls for a caution about the mains; none is declared.")
            return None
        others = ", or another of them" if len(hazards) > 1 else ""
        while True:
            said = self._console.ask(f"  carry {hazards[0]}? [yes/no{others}] > ").strip().lower()
            if said in ("", "y", "yes"):
                return hazards[0]
            if said in ("n", "no"):
                return None
            if said in hazards:
                return said

    def _so_far(self, question: Question) -> list[Any]:
        """Return the rows of an answer that was interrupted, to be gone on with."""
        begun = (self._answers.get(BEGUN) or {}).get(question.key, [])
        rows: list[Any] = begun.split("\n") if isinstance(begun, str) else begun
        for row in rows:
            self._console.say(f"  so far: {row['cause'] if isinstance(row, dict) else row}")
        return rows

    def _go_on(self, question: Question, rows: list[Any], row: Any) -> None:
        """Add a row to an answer and keep it at once."""
        rows.append(row)
        self._answers[BEGUN] = {question.key: rows}
        self._keep(self._answers)

    def _choices(self, form: Form) -> Choices:
        if form is Form.FASTENERS:
            return choices_of(self._trial.tree, form, tuple(self._answers.get("families") or ()))
        if form not in self._lists:
            self._lists[form] = choices_of(self._trial.tree, form, ())
        return self._lists[form]


def _moments(line: str) -> list[dict[str, str]]:
    """Return recordings and times. Raises: Refused."""
    found = []
    for one in _parts_of(line):
        name, sign, at = one.partition("@")
        if not name.strip():
            raise Refused(f"{one} names no recording; write it as winder-evening@12:40")
        found.append({"recording": name.strip()} | ({"at": at.strip()} if sign else {}))
    return found


def _parts_of(line: str) -> list[str]:
    return [one.strip() for one in line.split(",") if one.strip()]
