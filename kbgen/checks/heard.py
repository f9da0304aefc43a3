"""What a film says, held to the registers: every stated value with its time."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from kbgen.checks.agreement import agree
from kbgen.checks.apart import is_set_apart
from kbgen.checks.checked import Checked
from kbgen.checks.register import is_of_a_fastener
from kbgen.checks.rule import Material
from kbgen.checks.subjects import rows_meant
from kbgen.content import RecordingFile
from kbgen.prose import Statement
from kbgen.units import HouseThreads, Verdict

__all__ = ["Heard", "Stance", "heard"]


class Stance(StrEnum):
    """How what is said stands to the register."""

    AGREES = "agrees"
    DISAGREES = "disagrees"
    CORRECTED = "disagrees, and is corrected"
    CANNOT_BE = "cannot be"
    APART = "set apart"
    NO_FIGURE = "not in the register"
    UNSAID = "not said of which place"


@dataclass(frozen=True, slots=True)
class Heard:
    """One value that a caption states, and what the registers say to it.

    Shape: ``rows`` are the places (FAMILY/ROW) of which it is said, none where that is
    unsure; ``held`` are their registered figures of its kind.
    """

    statement: Statement
    rows: tuple[str, ...]
    held: tuple[Statement, ...]
    stance: Stance

    @property
    def stands_wrong(self) -> bool:
        """Whether it is wrong and nothing corrects it."""
        return self.stance in (Stance.DISAGREES, Stance.CANNOT_BE)


def heard(checked: Checked, recording: RecordingFile) -> tuple[Heard, ...]:
    """Return every value that the captions of a recording state, in their order."""
    house = HouseThreads.of([row.thread for row in checked.tree.house_threads])
    material = Material(checked.tree, house, checked.statements, ())
    return tuple(_heard(material, recording.captions_path))


def _heard(material: Material, path: str) -> Iterator[Heard]:
    for statement in material.by_path.get(path, ()) if path else ():
        rows = rows_meant(material, statement) if is_of_a_fastener(statement) else ()
        rows = tuple(row for row in rows if row in material.rows)
        held = tuple(
            figure
            for row in rows
            if (figure := material.registered.get((row, statement.value.kind))) is not None
        )
        yield Heard(statement, rows, held, _stance(material, statement, rows, held))


def _stance(
    material: Material, statement: Statement, rows: tuple[str, ...], held: tuple[Statement, ...]
) -> Stance:
    corrected = material.is_corrected(statement)
    if statement.value.verdict is Verdict.CONTRADICTORY:
        return Stance.CORRECTED if corrected else Stance.CANNOT_BE
    if any(agree(statement.value, figure.value) for figure in held):
        return Stance.AGREES
    if corrected:
        return Stance.CORRECTED
    if not rows:
        return Stance.UNSAID
    if is_set_apart(statement):
        return Stance.APART
    return Stance.DISAGREES if held else Stance.NO_FIGURE
