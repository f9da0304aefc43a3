"""Findings as a person reads them on a terminal."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TextIO

from kbgen.commands.common import paint
from kbgen.findings import Finding, Severity, render

__all__ = ["print_findings"]


def print_findings(findings: Sequence[Finding], stream: TextIO, *, advice: bool = True) -> None:
    """Print findings in the text form, severities in colour where there is a terminal.

    Shape: without ``advice`` only its number is printed, and where to read it.
    """
    shown = [found for found in findings if advice or found.severity is not Severity.ADVICE]
    text = render(shown, "text")
    if len(shown) < len(findings):
        *lines, tally = text.splitlines(keepends=True)
        held = len(findings) - len(shown)
        tally = f"{tally.rpartition(', ')[0]}; kbgen inspect shows the advice ({held})\n"
        text = "".join([*lines, tally])
    for severity in Severity:
        text = text.replace(f": {severity}: ", f": {paint(str(severity), severity, stream)}: ")
    stream.write(text)
