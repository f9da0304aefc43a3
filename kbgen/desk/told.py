"""Who was told a figure that was corrected since, with a line ready for each of them.

The line goes under the recording or into a letter; it says what was said, what is right,
and where that stands for ever.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from kbgen.checks import Checked, Corrected, Corrections, Said
from kbgen.content import Question, plain_text
from kbgen.links import Reference, Scheme, address_of, clock
from kbgen.text import day_in_words

__all__ = ["Telling", "Tellings", "told_lines", "told_shape"]


@dataclass(frozen=True, slots=True)
class Telling:
    """One correction, and everybody who was told otherwise before.

    Shape: ``place`` names where it stands, in words; ``address`` is that place's
    permanent one, whole; ``recordings`` and ``questions`` are with their ready lines.
    """

    corrected: Corrected
    place: str
    address: str
    recordings: tuple[tuple[Said, str], ...]
    questions: tuple[tuple[Question, str], ...]


class Tellings:
    """The corrections of one checked tree, each with who was told."""

    def __init__(self, checked: Checked) -> None:
        self._tree = checked.tree
        self._corrections = Corrections(checked)
        workshop = checked.tree.workshop
        self._base = workshop.base_address.rstrip("/") + "/" if workshop else ""

    def all(self) -> Iterator[Telling]:
        """Yield every correction, newest first, with who was told."""
        for one in self._corrections.all:
            said = self._corrections.said(one)
            asked = self._corrections.questions(one)
            yield Telling(
                one,
                self._place(one.place),
                self._base + address_of(one.place),
                tuple((moment, self._under_recording(moment, one)) for moment in said),
                tuple((question, self._letter(question, one)) for question in asked),
            )

    def _under_recording(self, said: Said, one: Corrected) -> str:
        """Return what goes under a recording: when it is said, what is right, and where."""
        at = "In this recording" if said.at_s is None else f"At {clock(said.at_s)}"
        return f"{at} I say {_quoted(said.words, one)} {self._put_right(one)}"

    def _letter(self, question: Question, one: Corrected) -> str:
        """Return what goes to somebody who was answered: what was said and what is right."""
        answered = question.front.answered or question.front.date
        return (
            f"Dear {question.alias or 'reader'}, on {day_in_words(answered)} I answered you from "
            f"a note that said {_quoted(one.correction.was, one)} {self._put_right(one)}"
        )

    def _put_right(self, one: Corrected) -> str:
        about = plain_text(one.correction.what or "") or self._place(one.place)
        right = f"it is {one.now}" if one.figures else f"right is “{one.now}”"
        right = right if one.now else "that is wrong"
        return f"({about}); {right}, see {self._base}{address_of(one.place)}"

    def _place(self, place: Reference) -> str:
        """Return where a correction stands, in words."""
        match place.scheme:
            case Scheme.FASTENER:
                family = self._tree.families[place.target].model
                row = next(row for row in family.fasteners if row.id == place.detail)
                return f"{family.name}: {plain_text(row.where)}"
            case Scheme.NOTE:
                return plain_text(self._tree.notes[int(place.target)].front.title)
            case _:
                return plain_text(self._tree.recordings[place.target].model.title)


def _quoted(words: str, one: Corrected) -> str:
    """Return what was said, in quotation marks where it is more than a figure."""
    return words if one.figures else f"“{words}”"


def told_shape(telling: Telling) -> dict[str, Any]:
    """Return a correction and who was told, as plain data of a stable shape."""
    one = telling.corrected
    return {
        "date": one.date.isoformat(),
        "place": str(one.place),
        "where": telling.place,
        "address": telling.address,
        "path": one.path,
        "line": one.line,
        "was": one.correction.was,
        "now": one.now or None,
        "told_by": one.correction.told_by,
        "recordings": [
            {
                "recording": said.recording,
                "at": None if said.at_s is None else clock(said.at_s),
                "said": said.words,
                "sure": said.sure,
                "corrected": said.corrected,
                "line": line,
            }
            for said, line in telling.recordings
        ],
        "questions": [
            {
                "question": question.number,
                "alias": question.alias or None,
                "came_by": str(question.front.came_by),
                "answered": str(question.front.answered),
                "line": line,
            }
            for question, line in telling.questions
        ],
    }


def told_lines(telling: Telling) -> Iterator[str]:
    """Yield a correction and who was told, as a person reads it, the ready lines set in."""
    one = telling.corrected
    now = f", is {one.now}" if one.now else ""
    yield f"{one.date}  {telling.place}: was {one.correction.was}{now}  ({one.path}:{one.line})"
    for said, line in telling.recordings:
        known = "corrected there already" if said.corrected else "not corrected there yet"
        known += "" if said.sure else "; listen first: nothing says of which place it is said"
        yield f"  under {said.recording} ({known})"
        yield f"    {line}"
    for question, line in telling.questions:
        yield f"  to Q{question.number:04} ({question.front.came_by})"
        yield f"    {line}"
    if not telling.recordings and not telling.questions:
        yield "  nobody is known who was told otherwise"
