"""What was read of a text: values, each with its verdict and what is objected to."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from kbgen.text import Span
from kbgen.units.designation import Thread
from kbgen.units.quantity import Length
from kbgen.units.tightness import Tightness
from kbgen.units.torque import Torque
from kbgen.units.verdict import Objection, Verdict

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Literal

__all__ = ["Kind", "Stated", "Value"]

Value = Thread | Torque | Tightness | Length


class Kind(StrEnum):
    """What kind of value a text states."""

    THREAD = "thread"
    TORQUE = "torque"
    TIGHTNESS = "tightness"
    LENGTH = "length"


@dataclass(frozen=True, slots=True)
class Stated:
    """A value that a text states.

    Shape: ``span`` is in code points of the text, ``as_written`` that stretch of
    it; ``canonical`` is the value's own form; ``dual`` says whether a statement
    in two units agrees with itself (None for a statement in one).
    """

    kind: Kind
    span: Span
    as_written: str
    value: Value
    canonical: str
    verdict: Verdict
    objections: tuple[Objection, ...] = ()
    dual: Literal["agrees", "conflicts"] | None = None
