"""The table of codes: one row for everything an inspection can report."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

__all__ = ["CODES", "Code", "Severity", "code_named"]


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


CODES: tuple[Code, ...] = (
    # --- notation: what the units check objects to
    Code(
        "thread-in-no-series",
        Severity.ERROR,
        "A diameter and a pitch that no series pairs is a slip, and a wrong thread "
        "passed on ruins a casting.",
        "M4x0.7",
        "M4x0.8",
        "ISO 261; ASME B1.1; BS 84; BS 93",
    ),
)

_BY_NAME = {code.name: code for code in CODES}


def code_named(name: str) -> Code:
    """Return the row of ``name``.

    Raises: KeyError for a name that is not in the table.
    """
    return _BY_NAME[name]
