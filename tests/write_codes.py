"""Writes the list of codes into the guide: ``python tests/write_codes.py``.

The table of codes is the source; a test compares what stands in the guide.
"""

from __future__ import annotations

from pathlib import Path

from kbgen.findings import CODES, Code

GUIDE = Path(__file__).parent.parent / "DEVELOPERS.md"
BEGIN = "<!-- written by tests/write_codes.py from kbgen/findings/table/ -->\n"
END = "<!-- end of what was written -->\n"


def _cell(text: str) -> str:
    return text.replace("|", "\\|").replace("\n", " ")


def _row(code: Code) -> str:
    return (
        f"| `{code.name}` | {code.severity} | {_cell(code.why)} | {_cell(code.accepts)} "
        f"| {_cell(code.reports)} | {_cell(code.source)} |\n"
    )


def code_list() -> str:
    """Return the table of codes as Markdown."""
    head = "| code | severity | why | accepted | reported | source |\n|---|---|---|---|---|---|\n"
    return head + "".join(_row(code) for code in sorted(CODES, key=lambda code: code.name))


def renewed(guide: str) -> str:
    """Return the guide with its list of codes renewed."""
    before, rest = guide.split(BEGIN)
    _, after = rest.split(END)
    return f"{before}{BEGIN}\n{code_list()}\n{END}{after}"


if __name__ == "__main__":
    GUIDE.write_text(renewed(GUIDE.read_text(encoding="utf-8")), encoding="utf-8", newline="\n")
