"""Which register rows a statement is about, by links and by names."""

from __future__ import annotations

from collections.abc import Mapping

from kbgen.checks.names import Names
from kbgen.checks.rule import Material, Row
from kbgen.content import answering_note
from kbgen.prose import Statement
from kbgen.units import Kind

__all__ = ["rows_meant"]

_TELLING_NAME = 4  # a shorter name of a family may be any word


def rows_meant(material: Material, statement: Statement) -> tuple[str, ...]:
    """Return the rows of which a statement must agree with one; none where that is unsure."""
    if statement.named:
        return statement.named
    shelf = material.joined("names", lambda: _Shelf(material))
    return shelf.rows_meant(statement)


Sentence = tuple[str, str, Kind]


class _Shelf:
    """The names of the rows that a file's sentences may mean: those of its families."""

    def __init__(self, material: Material) -> None:
        self._families = _families_by_path(material)
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
        families = self._families.get(statement.path, ())
        if not families or self._speaks_of_another(statement.sentence, families):
            return ()
        if families not in self._names:
            rows = [row for family in families for row in self._rows.get(family, ())]
            self._names[families] = Names(rows)
        figures_at = sorted(self._figures[_sentence(statement)])
        return self._names[families].rows_meant(statement, figures_at)

    def _speaks_of_another(self, sentence: str, families: tuple[str, ...]) -> bool:
        """Return whether a sentence names a family that its file is not about."""
        return any(
            word in sentence for name, word in self._strangers.items() if name not in families
        )


def _sentence(statement: Statement) -> Sentence:
    return statement.path, statement.sentence, statement.value.kind


def _families_by_path(material: Material) -> Mapping[str, tuple[str, ...]]:
    """Return the families that each file is about.

    A question is about those it names, else about those of the note that answers it. A
    recording is about a family where all the notes that its chapters name are about
    that one alone: what is said may belong to any of its chapters.
    """
    tree = material.tree
    found = {note.source.path: note.front.families for note in tree.notes.values()}
    found |= {family.source.path: (family.id,) for family in tree.families.values()}
    for question in tree.questions.values():
        note = tree.notes.get(answering_note(tree, question) or 0)
        of_note = note.front.families if note else ()
        found[question.source.path] = question.front.families or of_note
    for recording in tree.recordings.values():
        families = {
            family
            for chapter in recording.model.chapters
            if chapter.note is not None and chapter.note in tree.notes
            for family in tree.notes[chapter.note].front.families
        }
        if len(families) == 1:
            found[recording.source.path] = found[recording.captions_path] = tuple(families)
    return found
