"""What the header of a table column says about the figures beneath it."""

from __future__ import annotations

import re
from dataclasses import replace

from kbgen.prose.figures import moved, read_figure
from kbgen.text import NotationError, Span
from kbgen.units import HouseThreads, Kind, Stated

__all__ = ["read_under"]

# Trade words of a header, closed. "Thread" alone is also a word of needlework, but a
# reel's size reads as no designation and so stays unread.
_HEADERS = (
    (re.compile(r"\b(?:torques?)\b", re.IGNORECASE), Kind.TORQUE),
    (re.compile(r"\b(?:tightness|how tight)\b", re.IGNORECASE), Kind.TIGHTNESS),
    (re.compile(r"\b(?:screw |bolt |nut )?threads?\b", re.IGNORECASE), Kind.THREAD),
    (re.compile(r"\blengths?\b", re.IGNORECASE), Kind.LENGTH),
)
_UNIT = re.compile(r"[(\[]([^()\[\]]+)[)\]]\s*$|,\s*([^,]+)$")


def read_under(header: str, text: str, house: HouseThreads) -> Stated | None:
    """Return the one figure that a cell is, by what its header says, None where it is none.

    Shape: ``header`` such as ``Thread`` or ``Torque (N·m)``; the unit of the header
    holds for a cell that states none. The span covers the cell's text.
    """
    for words, kind in _HEADERS:
        if not words.search(header):
            continue
        unit = _UNIT.search(header)
        tries = [text]
        if unit and kind in (Kind.TORQUE, Kind.LENGTH):
            tries.append(f"{text.strip()} {(unit[1] or unit[2]).strip()}")
        for attempt in tries:
            try:
                stated = read_figure(attempt, kind, house)
            except NotationError:
                continue
            start = len(text) - len(text.lstrip())
            span = Span(start, start + len(text.strip()))
            return replace(moved(stated, span), as_written=text.strip())
    return None
