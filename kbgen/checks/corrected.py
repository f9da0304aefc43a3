"""Every correction of a tree, and who was told the figure that it withdraws.

A figure that went out stays out: a film cannot be re-cut and a letter cannot be called
back. Whoever was told must be found on the day the figure turns out to be wrong.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property

from kbgen.checks.agreement import agree
from kbgen.checks.checked import Checked
from kbgen.checks.rule import Material
from kbgen.checks.subjects import families_meant, rows_meant
from kbgen.content import Question, RecordingFile, Source, answering_note
from kbgen.content.models import Correction, QuestionStanding
from kbgen.links import Reference, Scheme, seconds
from kbgen.prose import Statement, Where
from kbgen.units import HouseThreads, Kind, Stated, scan

__all__ = ["Corrected", "Corrections", "Said"]

_NEAR_S = 30
"""How far the moment that a recording's correction names may lie from the caption it means."""


@dataclass(frozen=True, slots=True)
class Corrected:
    """One correction, where it stands, and what it is about.

    Shape: ``place`` is the register row, the note or the recording that carries it;
    ``path`` and ``line`` are where it is written; ``figures`` are what was stated, none
    for a correction in words; ``now`` is what is right, as written, empty where nobody
    says. ``repeated`` are the notes and recordings that carry the same correction of the
    row, of the same day.
    """

    correction: Correction
    place: Reference
    path: str
    line: int
    figures: tuple[Stated, ...]
    now: str
    repeated: tuple[Reference, ...] = ()

    @property
    def date(self) -> datetime.date:
        """The day on which it was corrected."""
        return self.correction.date

    @property
    def row(self) -> str:
        """The register row (FAMILY/ROW) that it is about, empty where it is of no row."""
        row = self.place.scheme is Scheme.FASTENER
        return f"{self.place.target}/{self.place.detail}" if row else ""


@dataclass(frozen=True, slots=True)
class Said:
    """A moment of a recording at which a withdrawn statement is made.

    Shape: ``at_s`` is None where nobody says when; ``words`` are those of the film, or
    what its own correction says they were; ``sure`` is false where the figure is said and
    nothing says of which place; ``corrected`` says that the recording carries a
    correction of it.
    """

    recording: str
    at_s: int | None
    words: str
    sure: bool
    corrected: bool


class Corrections:
    """The corrections of a checked tree, and who was told what they withdraw."""

    def __init__(self, checked: Checked) -> None:
        self._checked = checked
        self._tree = checked.tree
        self._house = HouseThreads.of([row.thread for row in checked.tree.house_threads])
        self._material = Material(checked.tree, self._house, checked.correctable, ())

    @cached_property
    def all(self) -> tuple[Corrected, ...]:
        """Every correction, newest first.

        What a note or a recording corrects on the same day and of the same statement as a
        register row that it is about is the row's correction, told where it was read; so
        is a recording's that of a note.
        """
        found: list[Corrected] = []
        for one in (*self._of_rows(), *self._of_notes(), *self._of_recordings()):
            at = next((at for at, home in enumerate(found) if self._repeats(one, home)), None)
            if at is None:
                found.append(one)
            else:
                found[at] = replace(found[at], repeated=(*found[at].repeated, one.place))
        by_place = sorted(found, key=lambda one: (one.path, one.line))
        return tuple(sorted(by_place, key=lambda one: one.date, reverse=True))

    def _of_rows(self) -> Iterator[Corrected]:
        for row in self._material.rows.values():
            place = Reference(Scheme.FASTENER, row.family.id, row.row.id)
            path = ("fasteners", row.number)
            yield from self._written(place, row.family.source, path, row.row.corrections)

    def _of_notes(self) -> Iterator[Corrected]:
        for note in self._tree.notes.values():
            place = Reference(Scheme.NOTE, str(note.number))
            yield from self._written(place, note.source, (), note.front.corrections)
            for at, own in enumerate(note.front.fasteners):
                if not isinstance(own, str):
                    path = ("fasteners", at)
                    yield from self._written(place, note.source, path, own.corrections)

    def _of_recordings(self) -> Iterator[Corrected]:
        for recording in self._tree.recordings.values():
            place = Reference(Scheme.RECORDING, recording.id)
            yield from self._written(place, recording.source, (), recording.model.corrections)

    def _written(
        self,
        place: Reference,
        source: Source,
        path: tuple[str | int, ...],
        corrections: Iterable[Correction],
    ) -> Iterator[Corrected]:
        for number, correction in enumerate(corrections):
            figures = self._figures(correction)
            line = source.place(*path, "corrections", number).line
            now = correction.now or self._stands(source, path, figures)
            yield Corrected(correction, place, source.path, line, figures, now)

    def _figures(self, correction: Correction) -> tuple[Stated, ...]:
        return tuple(scan(correction.was, self._house))

    def _stands(
        self, source: Source, path: tuple[str | int, ...], figures: Iterable[Stated]
    ) -> str:
        """Return the figure of a fastener that took the place of a withdrawn one, as written."""
        for stated in figures:
            keys = ("torque", "tightness") if stated.kind in _TIGHT else (str(stated.kind),)
            for key in keys:
                place = source.place_in((*path, key), 0)
                figure = self._material.at_place.get((source.path, place.line, place.column))
                if path and figure is not None:
                    return figure.value.as_written
        return ""

    def _repeats(self, one: Corrected, home: Corrected) -> bool:
        """Return whether a correction is that of a register row, or a recording's of a note."""
        schemes = (home.place.scheme, one.place.scheme)
        if one.date != home.date or schemes not in _HOMES or not _same(one, home):
            return False
        if home.place.scheme is Scheme.NOTE:
            note = self._tree.notes[int(home.place.target)]
            recording = self._tree.recordings[one.place.target]
            chapters = [chapter.note for chapter in recording.model.chapters]
            shown = [moment.recording for moment in note.front.recordings]
            return note.number in chapters or recording.id in shown
        if one.place.scheme is Scheme.NOTE:
            families = self._tree.notes[int(one.place.target)].front.families
        else:
            families = self._shown_families(self._tree.recordings[one.place.target])
        return not families or home.place.target in families

    def _shown_families(self, recording: RecordingFile) -> tuple[str, ...]:
        notes = [self._tree.notes.get(one.note or 0) for one in recording.model.chapters]
        found = (family for note in notes if note for family in note.front.families)
        return tuple(dict.fromkeys(found))

    # --- who was told

    def questions(self, one: Corrected) -> tuple[Question, ...]:
        """Return the questions that were answered from what it withdraws before its day.

        Shape: by the day of the answer; those that are kept back are among them, since
        their answers went out too.
        """
        notes = self._notes_told(one)
        told = [
            question
            for question in self._tree.questions.values()
            if question.front.standing is QuestionStanding.ANSWERED
            and question.front.answered is not None
            and question.front.answered < one.date
            and self._was_told(question, one, notes)
        ]
        return tuple(sorted(told, key=lambda question: (question.front.answered, question.number)))

    def _was_told(self, question: Question, one: Corrected, notes: frozenset[int]) -> bool:
        families = question.front.families
        if one.row and families and one.place.target not in families:
            return False
        answered_by = (question.front.answered_by, answering_note(self._tree, question))
        if not notes.isdisjoint(answered_by):
            return True
        return one.row != "" and question.source.path in self._paths_stating(one.row)

    def _notes_told(self, one: Corrected) -> frozenset[int]:
        """Return the notes that carry a correction, or state the figures of its row."""
        places = (one.place, *one.repeated)
        notes = {int(place.target) for place in places if place.scheme is Scheme.NOTE}
        if one.row:
            paths = self._paths_stating(one.row)
            for number, note in self._tree.notes.items():
                if one.row in note.front.fasteners or note.source.path in paths:
                    notes.add(number)
        return frozenset(notes)

    def _paths_stating(self, row: str) -> frozenset[str]:
        """Return the files that link to a register row in words or state its figures."""
        return self._stating.get(row, frozenset())

    @cached_property
    def _stating(self) -> dict[str, frozenset[str]]:
        found: dict[str, set[str]] = {}
        for edge in self._checked.graph.edges:
            if edge.target.scheme is Scheme.FASTENER:
                row = f"{edge.target.target}/{edge.target.detail}"
                found.setdefault(row, set()).add(edge.path)
        whole = Material(self._tree, self._house, self._checked.statements, ())
        for statement in whole.statements:
            if statement.where in (Where.FRONT, Where.PROSE, Where.TABLE):
                for row in rows_meant(whole, statement):
                    found.setdefault(row, set()).add(statement.path)
        return {row: frozenset(paths) for row, paths in found.items()}

    def said(self, one: Corrected) -> tuple[Said, ...]:
        """Return the moments of recordings at which what it withdraws is said."""
        found = [
            moment
            for recording in self._tree.recordings.values()
            for moment in self._said_in(recording, one)
        ]
        return tuple(sorted(found, key=lambda said: (said.recording, said.at_s or 0, said.words)))

    def _said_in(self, recording: RecordingFile, one: Corrected) -> Iterator[Said]:
        own = [
            correction
            for correction in recording.model.corrections
            if self._withdraws_the_same(recording, correction, one)
        ]
        captions = list(self._captions_saying(recording, one))
        for statement, sure in captions:
            second = int(statement.said_at_s or 0)
            words = statement.value.as_written
            yield Said(recording.id, second, words, sure or bool(own), bool(own))
        for correction in own:
            at_s = seconds(correction.at) if correction.at else None
            if not any(_is_near(statement, at_s) for statement, _ in captions):
                yield Said(recording.id, at_s, correction.was, sure=True, corrected=True)

    def _withdraws_the_same(
        self, recording: RecordingFile, correction: Correction, one: Corrected
    ) -> bool:
        """Return whether a recording's own correction is of the statement that is withdrawn."""
        place = Reference(Scheme.RECORDING, recording.id)
        if place == one.place:
            return correction == one.correction
        if place not in one.repeated or correction.date != one.date:
            return False
        return _same(replace(one, correction=correction, figures=self._figures(correction)), one)

    def _captions_saying(
        self, recording: RecordingFile, one: Corrected
    ) -> Iterator[tuple[Statement, bool]]:
        """Yield what captions state of a withdrawn figure, and whether it is surely said of it."""
        for statement in self._material.by_path.get(recording.captions_path, ()):
            if not any(_agree(statement.value, old) for old in one.figures):
                continue
            if any(_agree(statement.value, new) for new in scan(one.now, self._house)):
                continue
            rows = rows_meant(self._material, statement)
            if one.row in rows:
                yield statement, True
            elif not rows and self._may_be_said_of(statement, one):
                yield statement, False

    def _may_be_said_of(self, statement: Statement, one: Corrected) -> bool:
        """Return whether a figure that is said of no certain place may be the withdrawn one.

        It is not where the chapter is about other machines, or where it is what a register
        of its machines holds of another place.
        """
        families = families_meant(self._material, statement)
        if one.row and families and one.place.target not in families:
            return False
        held = (
            figure
            for (row, kind), figure in self._material.registered.items()
            if kind is statement.value.kind and row.partition("/")[0] in families
        )
        return not any(agree(statement.value, figure.value) for figure in held)


_HOMES = (
    (Scheme.FASTENER, Scheme.NOTE),
    (Scheme.FASTENER, Scheme.RECORDING),
    (Scheme.NOTE, Scheme.RECORDING),
)
_TIGHT = (Kind.TORQUE, Kind.TIGHTNESS)


def _is_near(statement: Statement, at_s: int | None) -> bool:
    """Return whether a caption is the one that a correction means, which may name no moment."""
    return at_s is None or abs((statement.said_at_s or 0) - at_s) <= _NEAR_S


def _agree(said: Stated, held: Stated) -> bool:
    return said.kind is held.kind and agree(said, held)


def _same(one: Corrected, other: Corrected) -> bool:
    """Return whether two corrections withdraw the same figure, or the same words."""
    if one.figures and other.figures:
        return any(_agree(old, held) for old in one.figures for held in other.figures)
    return _same_words(one.correction.was, other.correction.was)


def _same_words(one: str, other: str) -> bool:
    return re.findall(r"\w+", one.casefold()) == re.findall(r"\w+", other.casefold())
