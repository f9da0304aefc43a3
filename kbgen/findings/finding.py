"""One finding: what was found, where, and what to do."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from kbgen.findings.code import Severity
from kbgen.findings.table import code_named

__all__ = ["Finding", "counts", "finding", "stops_build"]


@dataclass(frozen=True, slots=True, order=True)
class Finding:
    """What an inspection reports about one place.

    Shape: ``path`` is relative to the tree with forward slashes; ``line`` and
    ``column`` are 1-based, the column in code points; ``code`` is a row of the
    table of codes. Sorted by path, line, column, code.
    """

    path: str
    line: int
    column: int
    code: str
    severity: Severity
    message: str
    hint: str = ""


def finding(code: str, path: str, line: int, column: int, message: str, hint: str = "") -> Finding:
    """Return a finding with the severity that the table gives its code.

    Raises: KeyError for a code that is not in the table.
    """
    return Finding(path, line, column, code, code_named(code).severity, message, hint)


def counts(findings: Iterable[Finding]) -> dict[str, int]:
    """Return how many findings there are of each severity, every severity named."""
    seen = Counter(found.severity for found in findings)
    return {str(severity): seen[severity] for severity in Severity}


def stops_build(findings: Iterable[Finding]) -> bool:
    """Return whether any finding is an error; only errors stop a build."""
    return any(found.severity is Severity.ERROR for found in findings)
