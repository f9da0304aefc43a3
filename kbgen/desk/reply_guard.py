"""The last look at an answer: nothing that was withdrawn goes out again."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from kbgen.checks import Checked, Registers
from kbgen.content import Note
from kbgen.content.models import Correction, Recording
from kbgen.desk.matching import note_shown_at
from kbgen.desk.reply_screws import Screw
from kbgen.prose import Statement
from kbgen.units import HouseThreads, Kind, scan

__all__ = ["Guard", "about_note"]

_FIGURE = re.compile(r"\d")
_HELD = (Kind.THREAD, Kind.TORQUE)


@dataclass(frozen=True, slots=True)
class Repeated:
    """A figure that stands in an answer and was withdrawn: as it was, and where it was."""

    was: str
    path: str
    line: int


def about_note(recording: Recording, line: Correction, note: Note) -> bool:
    """Return whether a correction of a recording is about a note that it shows.

    Shape: one without a moment may be about any of them.
    """
    return line.at is None or note_shown_at(recording, line.at) == note.number


class Guard:
    """What was withdrawn of the places and recordings that an answer draws on.

    Shape: threads and torques are known by their value; other figures by their letters.
    A figure that one of the answer's screws has today, or that somebody else is said to
    hold, may stand in it.
    """

    def __init__(
        self, checked: Checked, registers: Registers, note: Note, screws: Sequence[Screw]
    ) -> None:
        tree = checked.tree
        self._house = HouseThreads.of([row.thread for row in tree.house_threads])
        self._spoken = self._canonical(" ; ".join(_said_today(screws)))
        sources = {note.source.path}
        lines = list(note.front.corrections)
        for moment in note.front.recordings:
            if (recording := tree.recordings.get(moment.recording)) is not None:
                own = recording.model.corrections
                lines += [line for line in own if about_note(recording.model, line, note)]
                sources.add(recording.source.path)
        withdrawn = [one for screw in screws for one in registers.withdrawn(screw.row)]
        wanted = {line.was for line in lines}
        withdrawn += [
            one
            for one in checked.statements
            if one.withdrawn and one.path in sources and any(one.sentence in was for was in wanted)
        ]
        self._values: dict[str, Statement] = {
            one.value.canonical: one
            for one in withdrawn
            if one.value.kind in _HELD and one.value.canonical not in self._spoken
        }
        self._letters = [
            (line.was, pattern) for line in lines if (pattern := self._pattern(line.was))
        ]
        self._path = note.source.path

    def repeated(self, text: str) -> tuple[Repeated, ...]:
        """Return the withdrawn figures that stand in a text."""
        found = [
            Repeated(one.value.as_written, one.path, one.line)
            for canonical, one in self._values.items()
            if canonical in self._canonical(text)
        ]
        plain = " ".join(text.split())
        found += [
            Repeated(was, self._path, 1) for was, pattern in self._letters if pattern.search(plain)
        ]
        return tuple(found)

    def _canonical(self, text: str) -> frozenset[str]:
        return frozenset(
            one.canonical for line in text.split("\n\n") for one in scan(line, self._house)
        )

    def _pattern(self, was: str) -> re.Pattern[str] | None:
        """Return what finds a figure that is neither a thread nor a torque, by its letters."""
        stated = scan(was, self._house)
        if not _FIGURE.search(was) or any(one.kind in _HELD for one in stated):
            return None
        if any(one.as_written == was.strip() for one in stated):
            return None  # a length alone may be that of anything
        words = r"\s+".join(map(re.escape, was.split()))
        return re.compile(rf"(?<![\w/.]){words}(?![\w/])", re.IGNORECASE)


def _said_today(screws: Sequence[Screw]) -> Iterator[str]:
    for screw in screws:
        yield from (screw.thread, screw.tightness)
        yield from (one.thread for one in screw.not_that)
        yield from (says for says, _ in screw.disputed)
