"""Which register rows a statement is about, by links and by names."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping
from dataclasses import replace

from kbgen.checks.names import Names
from kbgen.checks.rule import Material, Row
from kbgen.content import RecordingFile, Tree, answering_note
from kbgen.content.models import FitVerdict
from kbgen.links import seconds
from kbgen.prose import Statement
from kbgen.units import Kind

__all__ = ["families_meant", "rows_meant"]

_TELLING_NAME = 4  # a shorter name of a family may be any word


def rows_meant(material: Material, statement: Statement) -> tuple[str, ...]:
    """Return the rows of which a statement must agree with one; none where that is unsure."""
    return statement.named or _shelf(material).rows_meant(statement)


def families_meant(material: Material, statement: Statement) -> tuple[str, ...]:
    """Return the families that a statement is about, by its file or its chapter of a film."""
    return _shelf(material).families_of(statement)


def _shelf(material: Material) -> _Shelf:
    return material.joined("names", lambda: _Shelf(material))


Sentence = tuple[str, str, Kind]


class _Shelf:
    """The names of the rows that a file's sentences may mean: those of its families."""

    def __init__(self, material: Material) -> None:
        self._families = _families_by_path(material)
        self._films = {
            recording.captions_path: _Film(material.tree, recording)
            for recording in material.tree.recordings.values()
            if recording.captions_path
        }
        self._rows: dict[str, list[Row]] = {}
        for row in material.rows.values():
            self._rows.setdefault(row.family.id, []).append(row)
        self._names: dict[tuple[str, ...], Names] = {}
        self._strangers = {
            family.id: word
            for family in material.tree.families.values()
            if len(word := family.model.name.split()[0]) >= _TELLING_NAME
        }
        self._figures: dict[Sentence, set[int]] = {}
        for statement in material.statements:
            self._figures.setdefault(_sentence(statement), set()).add(statement.at)

    def rows_meant(self, statement: Statement) -> tuple[str, ...]:
        families = self.families_of(statement)
        if not families or self._speaks_of_another(statement.sentence, families):
            return ()
        if families not in self._names:
            rows = [row for family in families for row in self._rows.get(family, ())]
            self._names[families] = Names(rows)
        figures_at = sorted(self._figures[_sentence(statement)])
        meant = self._names[families].rows_meant(statement, figures_at)
        if meant or not statement.before or self._speaks_of_another(statement.before, families):
            return meant
        joined = f"{statement.before} {statement.sentence}"
        ahead = len(statement.before) + 1
        joint = replace(statement, sentence=joined, at=statement.at + ahead)
        return self._names[families].rows_meant(joint, [at + ahead for at in figures_at])

    def families_of(self, statement: Statement) -> tuple[str, ...]:
        """Return the families that a statement is about: those of its chapter, else of its file."""
        film = self._films.get(statement.path)
        shown = film.families_at(statement.said_at_s) if film else ()
        return shown or self._families.get(statement.path, ())

    def _speaks_of_another(self, sentence: str, families: tuple[str, ...]) -> bool:
        """Return whether a sentence names a family that its file is not about."""
        return any(
            word in sentence for name, word in self._strangers.items() if name not in families
        )


class _Film:
    """The families that each chapter of a recording is about: those of the note it shows."""

    def __init__(self, tree: Tree, recording: RecordingFile) -> None:
        chapters = sorted((seconds(one.at), one.note or 0) for one in recording.model.chapters)
        self._starts = [start for start, _ in chapters]
        notes = [tree.notes.get(note) for _, note in chapters]
        self._families = [note.front.families if note else () for note in notes]

    def families_at(self, second: float | None) -> tuple[str, ...]:
        """Return the families of the chapter that runs at a moment, none where none is named."""
        at = bisect_right(self._starts, second) if second is not None else 0
        return self._families[at - 1] if at else ()


def _sentence(statement: Statement) -> Sentence:
    return statement.path, statement.sentence, statement.value.kind


def _families_by_path(material: Material) -> Mapping[str, tuple[str, ...]]:
    """Return the families that each file is about.

    A part is about those it goes on; a question about those it names, else about those of
    the note that answers it. A recording's file is about all that its chapters show; what
    is said in it, about those of the chapter that runs then, and of a chapter without a
    note about a family only where the whole recording is about that one.
    """
    tree = material.tree
    found = {note.source.path: note.front.families for note in tree.notes.values()}
    found |= {family.source.path: (family.id,) for family in tree.families.values()}
    for question in tree.questions.values():
        note = tree.notes.get(answering_note(tree, question) or 0)
        of_note = note.front.families if note else ()
        found[question.source.path] = question.front.families or of_note
    for part in tree.parts.values():
        goes_on = (fit.family for fit in part.model.fits if fit.verdict is not FitVerdict.NOT)
        found[part.source.path] = tuple(dict.fromkeys(goes_on))
    for recording in tree.recordings.values():
        notes = (tree.notes.get(chapter.note or 0) for chapter in recording.model.chapters)
        shown = (family for note in notes if note for family in note.front.families)
        families = tuple(dict.fromkeys(shown))
        found[recording.source.path] = families
        if len(families) == 1:
            found[recording.captions_path] = families
    return found
