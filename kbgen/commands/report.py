"""Findings as a person reads them on a terminal."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TextIO

from kbgen.commands.common import paint
from kbgen.findings import Finding, Severity, render

__all__ = ["print_findings"]


def print_findings(findings: Sequence[Finding], stream: TextIO) -> None:
    """Print findings in the text form, severities in colour where there is a terminal."""
    text = render(findings, "text")
    for severity in Severity:
        text = text.replace(f": {severity}: ", f": {paint(str(severity), severity, stream)}: ")
    stream.write(text)
