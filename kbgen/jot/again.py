"""An answer of several lines of which one is wrong: that line alone is said again."""

from __future__ import annotations

import copy
import re
from typing import Any

from kbgen.jot.questions import Form

__all__ = ["SEVERAL", "lines_of", "read_again", "with_line"]

SEVERAL = (Form.LINES, Form.TEXT, Form.CAUSES)
"""The forms of answers that have lines."""

_AGAIN = re.compile(r"([0-9]{1,4})\s*:\s*(.*)")


def lines_of(given: Any) -> list[str]:
    """Return the lines of an answer in the order in which they were said."""
    if isinstance(given, str):
        return given.split("\n")
    return [text for row in given for text in (row.values() if isinstance(row, dict) else [row])]


def read_again(line: str) -> tuple[int, str] | None:
    """Return the number and the new text of a line that is said again, else None."""
    match = _AGAIN.fullmatch(line.strip())
    return (int(match[1]), match[2]) if match else None


def with_line(given: Any, number: int, text: str) -> Any:
    """Return an answer with another line; a line without text is taken out, of a text emptied.

    Shape: ``number`` counts from 1. Raises: IndexError where there is no such line.
    """
    if not 1 <= number <= len(lines_of(given)):
        raise IndexError(number)
    if isinstance(given, str):
        lines = given.split("\n")
        lines[number - 1] = text
        return "\n".join(lines)
    changed = copy.deepcopy(given)
    at = number - 1
    for index, row in enumerate(changed):
        keys = list(row) if isinstance(row, dict) else [None]
        if at < len(keys):
            if isinstance(row, dict):
                row[keys[at]] = text
            elif text:
                changed[index] = text
            else:
                del changed[index]
            break
        at -= len(keys)
    return changed
