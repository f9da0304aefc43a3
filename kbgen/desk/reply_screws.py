"""The screws of a note, as they are told to somebody: figures, basis, and what not to take.

Every figure is that of its register row, or of the note where no register has one.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from kbgen.checks import Checked, Registers
from kbgen.content import Note, plain_text
from kbgen.content.models import Fastener
from kbgen.text import NotationError
from kbgen.units import (
    HouseThreads,
    Kind,
    MixUp,
    Thread,
    Verdict,
    dangerous_pairs,
    judge,
    parse_thread,
)

__all__ = ["NotThat", "Screw", "Screws"]

_ASIDE = re.compile(r" \([^()]*\)")  # what the bench wants to know and a letter does not

_VERDICTS = {
    Verdict.STANDARD: "standard: {}",
    Verdict.DECLARED: "declared: {}",
    Verdict.UNSTATED: "not said in full; measure before you buy",
    Verdict.CONTRADICTORY: "contradictory",
}


@dataclass(frozen=True, slots=True)
class NotThat:
    """A screw of the same family that could be taken for another, and what that does.

    Shape: ``others`` counts the further places that have the same thread.
    """

    where: str
    others: int
    thread: str
    outcome: str

    @property
    def places(self) -> str:
        """The place, and how many others there are: ``“Lamp bracket” and 2 others``."""
        more = f" and {self.others} other{'s' if self.others > 1 else ''}" if self.others else ""
        return f"“{self.where}”{more}"


@dataclass(frozen=True, slots=True)
class Screw:
    """One fastener as it is told.

    Shape: ``row`` is FAMILY/ROW, empty for a fastener of the note's own; ``family`` is
    the family's name; ``thread`` is canonical, ``hand`` right or left; ``tightness`` is
    the torque as it stands in the register or the words, empty where neither is known;
    ``disputed`` are the figures that others hold, each with who does.
    """

    row: str
    family: str
    where: str
    thread: str
    hand: str
    verdict: str
    tightness: str
    basis: str
    source: str
    length: str = ""
    head: str = ""
    disputed: tuple[tuple[str, str], ...] = ()
    not_that: tuple[NotThat, ...] = ()


class Screws:
    """Tells the screws of one checked tree."""

    def __init__(self, checked: Checked, registers: Registers) -> None:
        self._tree = checked.tree
        self._registers = registers
        self._house = HouseThreads.of([row.thread for row in checked.tree.house_threads])
        self._pairs: dict[str, tuple[MixUp, ...]] = {}

    def of_note(self, note: Note, families: Sequence[str] = ()) -> tuple[Screw, ...]:
        """Return the screws of a note, those of the families alone where some are named."""
        told = []
        for fastener in note.front.fasteners:
            if not isinstance(fastener, str):
                told.append(self._told(fastener))
            elif fastener in self._registers.rows and (
                not families or fastener.partition("/")[0] in families
            ):
                told.append(self.of_row(fastener))
        return tuple(told)

    def of_row(self, row: str) -> Screw:
        """Return the screw of a register row."""
        held = self._registers.rows[row]
        return self._told(held.row, row, held.family.model.name)

    def _told(self, fastener: Fastener, row: str = "", family: str = "") -> Screw:
        thread = self._thread(fastener)
        return Screw(
            row=row,
            family=family,
            where=plain_text(fastener.where),
            thread=str(thread) if thread else fastener.thread,
            hand=thread.hand if thread else "",
            verdict=self._verdict(thread),
            tightness=plain_text(fastener.torque or fastener.tightness or ""),
            basis=str(fastener.basis),
            source=plain_text(fastener.source),
            length=fastener.length or "",
            head=fastener.head or "",
            disputed=tuple((one.says, one.source) for one in fastener.disputed),
            not_that=tuple(self._not_that(row)) if row else (),
        )

    def _thread(self, fastener: Fastener) -> Thread | None:
        try:
            return parse_thread(fastener.thread)
        except NotationError:
            return None

    def _verdict(self, thread: Thread | None) -> str:
        if thread is None:
            return ""
        judged = judge(thread, self._house)
        standard, series = judged.standard or "", judged.series or ""
        series = standard if series in standard else f"{standard} {series}".strip()
        return _VERDICTS[judged.verdict].format(series)

    def _not_that(self, row: str) -> list[NotThat]:
        """Return the places whose screws could be swapped with a row's, and what happens."""
        found = []
        for pair in self._mixups(row.partition("/")[0]):
            if row in pair.first_places:
                places, thread = pair.second_places, pair.second
                ways = (pair.second_in_first, pair.first_in_second)
            elif row in pair.second_places:
                places, thread = pair.first_places, pair.first
                ways = (pair.first_in_second, pair.second_in_first)
            else:
                continue
            told = next((way for way in ways if way.enters), ways[0])
            where = plain_text(self._registers.rows[places[0]].row.where)
            outcome = _ASIDE.sub("", told.in_words)
            found.append(NotThat(where, len(places) - 1, str(thread), outcome))
        return found

    def _mixups(self, family: str) -> tuple[MixUp, ...]:
        if family not in self._pairs:
            threads = [
                (row, figure.value.value)
                for row, held in self._registers.rows.items()
                if held.family.id == family
                and (figure := self._registers.figure(row, Kind.THREAD)) is not None
                and isinstance(figure.value.value, Thread)
            ]
            self._pairs[family] = dangerous_pairs(threads)
        return self._pairs[family]
