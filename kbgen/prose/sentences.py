"""Where a sentence begins and ends, and which stretch of it a figure stands in."""

from __future__ import annotations

import re

from kbgen.text import Span

__all__ = ["sentence_around"]

# A sentence ends at a full stop, a question or exclamation mark that white space and
# a capital follow, or at a semicolon: what follows one may be about another place.
# "No. 8" and "approx. 4" are followed by no capital and end nothing.
_END = re.compile(r"[.!?][\"'’”)\]]*\s+(?=[\"'‘“(\[]*[^\W\d_a-z])|;\s")
_REACH = 500  # nobody reads a sentence that goes on longer than this on one side of a figure


def sentence_around(text: str, span: Span) -> Span:
    """Return the sentence of ``text`` in which ``span`` stands.

    Shape: an end inside the span itself is no end, a full stop that closes it is one;
    the white space between two sentences belongs to neither. A text without an end is
    cut off on both sides of the span, so that a long one costs no more than its length.
    """
    start, end = max(0, span.start - _REACH), min(len(text), span.end + _REACH)
    for mark in _END.finditer(text, start, end):
        if mark.end() <= span.start:
            start = mark.end()
        elif mark.end() > span.end:
            end = mark.start() + 1
            break
    return Span(start, end)
