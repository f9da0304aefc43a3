"""The table of codes: one row for everything an inspection can report, by the room it is about."""

from kbgen.findings.code import Code
from kbgen.findings.table.checks import CHECKS
from kbgen.findings.table.files import FILES
from kbgen.findings.table.links import LINKS
from kbgen.findings.table.units import UNITS

__all__ = ["CODES", "code_named"]

CODES: tuple[Code, ...] = UNITS + FILES + LINKS + CHECKS

_BY_NAME = {code.name: code for code in CODES}


def code_named(name: str) -> Code:
    """Return the row of ``name``.

    Raises: KeyError for a name that is not in the table.
    """
    return _BY_NAME[name]
