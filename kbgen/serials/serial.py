"""A serial number: the letters before it, the number, the letters behind it.

Shape: ``HA 24001``, ``ha-24,001``, ``40-100001``, ``No. T 18 000``. Letters and figures set
off before the number are its prefix. Figures in groups of three are one number.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from kbgen.text import NotationError, Span, fold

__all__ = [
    "LABEL",
    "MOST_FIGURES",
    "NO_SERIAL",
    "OTHER",
    "SERIAL",
    "SIGNS",
    "TOO_LONG",
    "Serial",
    "compact",
    "parse_serial",
    "sign_of",
]

MOST_FIGURES = 15
"""More than any works ever stamped, and exact in every reader's arithmetic."""

_LETTER = "A-Z\u00c0-\u024f\u0370-\u03ff\u0400-\u04ff"
_APART = r" \-./,'·_:"
LABEL = re.compile(r"(?:SERIAL(?: (?:NUMBER|NO\.?))?(?= |:)|NUMBER(?![A-Z])|NO\.|NR\.|#)[ :]*(?=.)")
SERIAL = re.compile(
    rf"(?P<prefix>[{_LETTER}0-9{_APART}]*?)[{_APART}]*"
    rf"(?P<number>[0-9]{{1,3}}(?:[ ,.'][0-9]{{3}})+|[0-9]+)[{_APART}]*(?P<suffix>[{_LETTER}]*)"
)
OTHER = re.compile(rf"[^{_LETTER}0-9]")

SIGNS = {"0": "ODQ", "1": "IL", "2": "Z", "5": "S", "6": "G", "8": "B"}
"""Figures, and the letters mistaken for them: common practice, no published source."""
_SIGN_OF = {letter: figure for figure, letters in SIGNS.items() for letter in letters}

NO_SERIAL = "expected a serial number such as 'HA 24001', found '{text}'"
TOO_LONG = "a serial number has at most {most} figures, found {found}"
HINT = "letters as stamped, then the number: HA 24001"


@dataclass(frozen=True, slots=True, order=True)
class Serial:
    """A serial number.

    Shape: ``prefix`` and ``suffix`` in capitals, without blanks and stops, may be empty;
    zeros before the number say nothing.
    """

    prefix: str
    number: int
    suffix: str = ""

    def __str__(self) -> str:
        between = "-" if self.prefix[-1:].isdigit() else " " if self.prefix else ""
        return f"{self.prefix}{between}{self.number}{' ' if self.suffix else ''}{self.suffix}"


def _bare(text: str) -> str:
    """Return a text in capitals, folded, without what announces a number."""
    plain = fold(text.replace("№", "#")).text.upper()
    plain = plain.strip()
    label = LABEL.match(plain)
    return plain[label.end() :] if label else plain


def parse_serial(text: str) -> Serial:
    """Return the serial number that the whole of ``text`` is.

    Raises: NotationError for what is none.
    """
    match = SERIAL.fullmatch(_bare(text))
    if match is None:
        message = NO_SERIAL.format(text=text.strip())
        raise NotationError(message, text, Span(0, len(text)), HINT)
    figures = OTHER.sub("", match["number"])
    if len(figures) > MOST_FIGURES:
        message = TOO_LONG.format(most=MOST_FIGURES, found=len(figures))
        raise NotationError(message, text, Span(0, len(text)), HINT)
    return Serial(OTHER.sub("", match["prefix"]), int(figures), match["suffix"])


def compact(text: str) -> str:
    """Return the letters and figures of a number as typed, nothing between them."""
    return OTHER.sub("", _bare(text))


def sign_of(sign: str) -> str:
    """Return the figure that a letter may be a misread form of, any other sign as it is."""
    return _SIGN_OF.get(sign, sign)
