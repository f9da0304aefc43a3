"""What a row of the table of codes says."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

__all__ = ["Code", "Severity"]


class Severity(StrEnum):
    """How much a finding weighs; only an error stops a build."""

    ERROR = "error"
    WARNING = "warning"
    ADVICE = "advice"


@dataclass(frozen=True, slots=True)
class Code:
    """One row of the table.

    Shape: ``name`` is a few plain words; ``why`` says why the rule exists;
    ``accepts`` and ``reports`` are the shortest example of each; ``source`` is
    the authority it rests on. Full cases stand in ``tests/cases/NAME.md``.
    """

    name: str
    severity: Severity
    why: str
    accepts: str
    reports: str
    source: str
