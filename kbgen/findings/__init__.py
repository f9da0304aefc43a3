"""What an inspection reports, the table of codes, and the forms it is printed in.

A finding is returned, never raised: wrong content yields findings, all of them;
wrong use of the program and a broken machine raise.
"""

from kbgen.findings.code import Code, Severity
from kbgen.findings.finding import Finding, counts, finding, stops_build
from kbgen.findings.forms import FORMS, render
from kbgen.findings.table import CODES, code_named

__all__ = [
    "CODES",
    "FORMS",
    "Code",
    "Finding",
    "Severity",
    "code_named",
    "counts",
    "finding",
    "render",
    "stops_build",
]
