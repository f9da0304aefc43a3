"""What was read of a text, and what is thought of it: values, verdicts, objections."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from kbgen.text import Span
from kbgen.units.designation import Thread
from kbgen.units.quantity import Length
from kbgen.units.tightness import Tightness
from kbgen.units.torque import Torque

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Literal

__all__ = ["OBJECTION_CODES", "Judgement", "Kind", "Objection", "Stated", "Value", "Verdict"]

# Every code that an objection may carry; each has its row in the table of codes.
OBJECTION_CODES = (
    "thread-in-no-series",
    "series-on-wrong-pair",
    "thread-not-declared",
    "thread-said-in-part",
    "torque-units-disagree",
    "length-units-disagree",
    "unit-spelling-ambiguous",
)

Value = Thread | Torque | Tightness | Length


class Kind(StrEnum):
    """What kind of value a text states."""

    THREAD = "thread"
    TORQUE = "torque"
    TIGHTNESS = "tightness"
    LENGTH = "length"


class Verdict(StrEnum):
    """What a stated value is worth.

    ``standard``: a published standard holds it. ``declared``: a house thread, an
    explicit UNS, or a recognised trade or obsolete series. ``contradictory``: it
    cannot be what it says. ``unstated``: not enough was said to tell.
    """

    STANDARD = "standard"
    DECLARED = "declared"
    CONTRADICTORY = "contradictory"
    UNSTATED = "unstated"


@dataclass(frozen=True, slots=True)
class Objection:
    """What is wrong with a stated value.

    Shape: ``code`` is a row of the table of codes; ``span`` is the smallest text
    at fault, in the text that was scanned.
    """

    code: str
    message: str
    hint: str
    span: Span


@dataclass(frozen=True, slots=True)
class Judgement:
    """The verdict on a value, the series and the standard that it rests on."""

    verdict: Verdict
    series: str | None = None
    standard: str | None = None
    objections: tuple[Objection, ...] = ()


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
