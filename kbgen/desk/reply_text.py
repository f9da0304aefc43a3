"""Plain text as it is pasted into a letter: wrapped, figures whole, no line like a mail header."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable

from kbgen.units import scan

__all__ = ["COLUMNS", "listed", "one_line", "paragraph", "section", "sentence"]

COLUMNS = 72
"""As wide as a line of a plain-text letter, so that it may be quoted once or twice.

Source: RFC 3676, section 4.2 (78 at most, so that quoting does not break them).
"""

# What a mail program may take for a field of its header, or for the begin of another
# letter. Source: RFC 5322, section 2.2 (a field name and a colon); RFC 4155 ("From ").
_HEADER = re.compile(r"[!-9;-~]+:|From ")
_JOIN = "\x00"


def one_line(text: str) -> str:
    """Return a text of any origin as one line without control characters."""
    return " ".join("".join(mark if mark.isprintable() else " " for mark in text).split())


def paragraph(text: str, width: int = COLUMNS, indent: int = 0) -> str:
    """Return a text wrapped to ``width`` columns, 0 for one line of any length.

    Shape: threads, torques and addresses stand on one line each; every line is set in by
    ``indent`` blanks, and by one more where it would look like a mail header.
    """
    text = one_line(text)
    whole = list(text)
    for stated in scan(text):
        for at in range(stated.span.start, stated.span.end):
            if whole[at] == " ":
                whole[at] = _JOIN
    lines = [text]
    if width:
        lines = textwrap.wrap(
            "".join(whole),
            max(20, width - indent - 1),  # one column is kept for the blank before a header
            break_long_words=False,
            break_on_hyphens=False,
        )
    margin = " " * indent
    return "\n".join(_safe(margin + line.replace(_JOIN, " ")) for line in lines)


def section(heading: str, *parts: str) -> str:
    """Return parts below a heading, nothing where there are none."""
    shown = [part for part in parts if part]
    return "\n".join([heading, *shown]) if shown else ""


def listed(names: Iterable[str], word: str = "and") -> str:
    """Return names as a list in a sentence, each once."""
    once = list(dict.fromkeys(names))
    if len(once) < 2:
        return "".join(once)
    return f"{', '.join(once[:-1])} {word} {once[-1]}"


def sentence(text: str) -> str:
    """Return a text with a full stop at its end, where it has no mark of its own."""
    return text if text.endswith((".", "!", "?")) else f"{text}."


def _safe(line: str) -> str:
    return f" {line}" if _HEADER.match(line) else line
