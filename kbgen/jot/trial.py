"""A note on trial: the project's own checks over it, before it is written."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from kbgen.checks import Checked, Material, cautions_called_for, check
from kbgen.content import Loaded, Note, load_note, next_number
from kbgen.content.models import Signal
from kbgen.findings import Finding, Severity
from kbgen.jot.answers import note_of
from kbgen.jot.questions import QUESTIONS
from kbgen.units import HouseThreads, Stated, scan

__all__ = ["Call", "Said", "Trial"]

_CAUTIONS = ("hazard-missing", "mains-work-without-caution")


@dataclass(frozen=True, slots=True)
class Said:
    """What the checks say of one answer. Shape: ``key`` is that of its question."""

    key: str
    severity: Severity
    message: str
    hint: str = ""


@dataclass(frozen=True, slots=True)
class Call:
    """A word of the answers that calls for a caution.

    Shape: one of ``hazards`` (ids) would do, the most severe first.
    """

    word: str
    hazards: tuple[str, ...]


class Trial:
    """The checks of one tree, held ready for a note that does not stand in it yet."""

    def __init__(self, checked: Checked, day: datetime.date) -> None:
        self.tree = checked.tree
        self._checked = checked
        self._day = day
        self._house = HouseThreads.of([row.thread for row in self.tree.house_threads])
        self._path = f"content/notes/{next_number(self.tree.root, 'note'):04}-jot.md"

    def quick(self, answers: Mapping[str, Any]) -> list[Said]:
        """Return what is wrong with the answers so far, but for cautions that are missing.

        The other notes count as being there and are not looked at.
        """
        note, wrong = self._note(answers)
        if note is None:
            return wrong
        others = {f"note:{number}" for number in self.tree.notes}
        tree = replace(
            self.tree,
            notes={note.number: note},
            questions={},
            fragments=(),
            broken=self.tree.broken | others,
        )
        found = check(Loaded(tree, ())).findings
        own = (one for one in found if one.path == note.source.path)
        return [*wrong, *_about(note, own)]

    def whole(self, answers: Mapping[str, Any]) -> list[Said]:
        """Return what the note would add to the findings of the whole tree, cautions included."""
        note, wrong = self._note(answers)
        for question in QUESTIONS:
            if question.needed and not answers.get(question.key):
                wrong.append(Said(question.key, Severity.ERROR, "a note needs it", question.asks))
        if note is None:
            return wrong
        notes = {**self.tree.notes, note.number: note}
        loaded = Loaded(replace(self.tree, notes=notes), self._checked.loading)
        before = frozenset(self._checked.findings)
        after = [one for one in check(loaded).findings if one not in before]
        return [*wrong, *_about(note, after, cautions=True)]

    def cautions(self, answers: Mapping[str, Any]) -> list[Call]:
        """Return the cautions that the words call for and that are not carried."""
        note, _ = self._note(answers)
        if note is None:
            return []
        tree = replace(self.tree, notes={note.number: note})
        called = cautions_called_for(Material(tree, self._house, (), ()))
        return [Call(one.word, self._most_severe_first(one.hazards)) for one in called]

    def _most_severe_first(self, hazards: Sequence[str]) -> tuple[str, ...]:
        signals, order = self.tree.hazards, list(Signal)
        return tuple(sorted(hazards, key=lambda name: (order.index(signals[name].signal), name)))

    def stated(self, text: str) -> list[Stated]:
        """Return the threads, torques, tightnesses and lengths that a text states, judged."""
        return list(scan(text, self._house))

    def _note(self, answers: Mapping[str, Any]) -> tuple[Note | None, list[Said]]:
        try:
            text = note_of(answers, self._day)
        except (ValueError, TypeError) as wrong:
            return None, [Said("", Severity.ERROR, str(wrong))]
        note, findings = load_note(self._path, text.encode())
        assert note is not None  # a note that was begun loads
        return note, list(_about(note, findings))


def _about(note: Note, findings: Iterable[Finding], cautions: bool = False) -> Iterator[Said]:
    """Yield findings by the key that they are about; of other files only errors."""
    for one in findings:
        if not cautions and one.code in _CAUTIONS:
            continue
        if one.path == note.source.path:
            yield Said(_key_at(note, one), one.severity, one.message, one.hint)
        elif one.severity is Severity.ERROR:
            place = f"{one.path}:{one.line}:{one.column}"
            yield Said("", one.severity, f"{place}: {one.message}", one.hint)


def _key_at(note: Note, found: Finding) -> str:
    """Return the key of the question whose answer a finding stands in."""
    if found.code in _CAUTIONS:
        return "hazards"
    if found.line >= note.source.body_line:
        return "steps"
    key = ""
    for path, place in note.source.places.items():
        if (place.line, place.column) > (found.line, found.column):
            break
        name = path[1] if len(path) > 1 and path[0] == "before" else (path[0] if path else "")
        key = str(name)
    return key
