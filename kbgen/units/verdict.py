"""What is thought of a stated value: the verdict, and what is objected to."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from kbgen.text import Span

__all__ = ["OBJECTION_CODES", "Judgement", "Objection", "Verdict"]

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
