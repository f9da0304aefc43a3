"""Ground floor: places in a text, folding that keeps them, and the error of a notation.

Folding gives every typographic way of writing a figure one plain form: vulgar
fractions, fraction slashes, dashes, multiplication signs, primes, full-width
forms and the Cyrillic and Greek letters that look like Latin ones. What was
folded remembers where each stretch stood in the text as written.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

TYPE_CHECKING = False  # as type checkers know it
if TYPE_CHECKING:
    import datetime

__all__ = [
    "MONTHS",
    "Folded",
    "NotationError",
    "Span",
    "date_in_words",
    "day_in_words",
    "fold",
    "rewrite",
]

_FIRST_HALF = ("January", "February", "March", "April", "May", "June")
_SECOND_HALF = ("July", "August", "September", "October", "November", "December")
MONTHS = _FIRST_HALF + _SECOND_HALF


def day_in_words(day: datetime.date) -> str:
    """Return a day as it is written in a letter, ``6 March 2026``, whatever the locale."""
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"


def date_in_words(date: str) -> str:
    """Return a date that may end with its year or its month in words.

    Shape: ``1911``, ``1911-03``, ``1911-03-16`` → ``1911``, ``March 1911``, ``16 March 1911``.
    """
    year, *rest = date.split("-")
    words = [MONTHS[int(rest[0]) - 1]] if rest else []
    words = [str(int(rest[1])), *words] if len(rest) > 1 else words
    return " ".join([*words, year])


@dataclass(frozen=True, slots=True, order=True)
class Span:
    """A stretch of a text.

    Shape: ``start`` and ``end`` are 0-based code points, ``end`` exclusive.
    """

    start: int
    end: int

    def __post_init__(self) -> None:
        if not 0 <= self.start <= self.end:
            raise ValueError(f"a span runs forward from 0, got {self.start}..{self.end}")

    def of(self, text: str) -> str:
        """Return the stretch of ``text`` that this span covers."""
        return text[self.start : self.end]

    def shifted(self, by: int) -> Span:
        """Return the same stretch ``by`` code points further on."""
        return Span(self.start + by, self.end + by)


class NotationError(ValueError):
    """A text that does not follow the notation it is read in.

    Shape: ``message`` says what was found and what was expected, ``span`` lies
    inside ``text``, ``hint`` says what to do (may be empty).
    """

    def __init__(self, message: str, text: str, span: Span, hint: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.text = text
        self.span = span
        self.hint = hint

    def __reduce__(self) -> tuple[type[NotationError], tuple[str, str, Span, str]]:
        return type(self), (self.message, self.text, self.span, self.hint)


@dataclass(frozen=True, slots=True)
class Folded:
    """A text in plain form, and where each stretch of it stood as written.

    Shape: ``edits`` are the rewritten stretches in order, each as start and end
    in ``text`` and start and end in the text as written; what lies between
    them was only moved.
    """

    text: str
    edits: tuple[tuple[int, int, int, int], ...] = ()

    def span(self, start: int, end: int) -> Span:
        """Return the stretch as written that ``start`` to ``end`` of the plain text stands for."""
        if not self.edits:
            return Span(start, end)
        return Span(self._start(start), max(self._start(start), self._end(end)))

    def rewritten(self, start: int, end: int) -> bool:
        """Return whether anything between ``start`` and ``end`` was rewritten."""
        edit = self._before(end - 1) if end > start else None
        return edit is not None and edit[1] > start

    def _start(self, at: int) -> int:
        edit = self._before(at)
        if edit is None:
            return at
        _, end, was_start, was_end = edit
        return was_start if at < end else was_end + at - end

    def _end(self, at: int) -> int:
        if at == 0:
            return 0
        edit = self._before(at - 1)
        if edit is None:
            return at
        _, end, _, was_end = edit
        return was_end if at <= end else was_end + at - end

    def _before(self, at: int) -> tuple[int, int, int, int] | None:
        place = bisect_right(self.edits, at, key=lambda edit: edit[0])
        return self.edits[place - 1] if place else None


def rewrite(
    text: str, pattern: re.Pattern[str], replacement: Callable[[re.Match[str]], str | None]
) -> Folded:
    """Return ``text`` with every match replaced; a replacement of None leaves it as it is."""
    pieces: list[str] = []
    edits: list[tuple[int, int, int, int]] = []
    done = length = 0
    for match in pattern.finditer(text):
        new = replacement(match)
        if new is None:
            continue
        start, end = match.span()
        pieces += (text[done:start], new)
        length += start - done
        edits.append((length, length + len(new), start, end))
        length += len(new)
        done = end
    if not edits:
        return Folded(text)
    pieces.append(text[done:])
    return Folded("".join(pieces), tuple(edits))


def fold(text: str) -> Folded:
    """Return ``text`` in plain form, places kept.

    Shape: letters keep their case; a vulgar fraction becomes ``1/2``, set off
    from a whole number by a space; marks of no width vanish.
    Source: the Unicode Character Database (compatibility mappings, confusables).
    """
    if text.isascii():
        return Folded(text)
    table, pattern = folding()
    plain = text.translate(table)
    return rewrite(plain, pattern, _expanded)


_ONE_FOR_ONE = (
    ("-", "\u2010\u2011\u2012\u2013\u2014\u2015\u2212\ufe58\ufe63\uff0d"),
    (" ", "\t\u00a0\u1680\u2000\u2001\u2002\u2003\u2004\u2005\u2006\u2007\u2008\u2009\u200a"),
    (" ", "\u202f\u205f\u3000"),
    ("x", "\u00d7\u2715\u2716\u2a09\u2a2f\u2573\u0445\u0425"),
    ("·", "\u22c5\u2219\u2022\u2027\u30fb\u00b7\u0387\u2024"),
    ("/", "\u2044\u2215\u29f8\uff0f"),
    ('"', "\u2033\u201d\u3003\u02ba\uff02"),
    ("'", "\u2032\u2019\u02b9\u02bc\u2018\uff07"),
    ("°", "\u00ba\u02da"),
    ("I", "\u0130"),
    ("µ", "\u03bc"),
    # Letters of other scripts that look like Latin ones.
    ("A", "\u0410\u0391"),
    ("B", "\u0412\u0392"),
    ("C", "\u0421"),
    ("E", "\u0415\u0395"),
    ("F", "\u03dc"),
    ("G", "\u050c"),
    ("H", "\u041d\u0397"),
    ("K", "\u041a\u039a"),
    ("M", "\u041c\u039c"),
    ("N", "\u039d"),
    ("O", "\u041e\u039f"),
    ("P", "\u0420\u03a1"),
    ("S", "\u0405"),
    ("T", "\u0422\u03a4"),
    ("W", "\u051c"),
    ("a", "\u0430"),
    ("c", "\u0441"),
    ("e", "\u0435"),
    ("m", "\u043c"),
    ("o", "\u043e"),
    ("p", "\u0440"),
)

VULGAR = {
    "\u00bc": "1/4",
    "\u00bd": "1/2",
    "\u00be": "3/4",
    "\u2153": "1/3",
    "\u2154": "2/3",
    "\u2155": "1/5",
    "\u2156": "2/5",
    "\u2157": "3/5",
    "\u2158": "4/5",
    "\u2159": "1/6",
    "\u215a": "5/6",
    "\u215b": "1/8",
    "\u215c": "3/8",
    "\u215d": "5/8",
    "\u215e": "7/8",
    "\u2150": "1/7",
    "\u2151": "1/9",
    "\u2152": "1/10",
}
MARKS = {"\u339c": "mm", "\u339d": "cm", "\u2116": "No ", "\u338f": "kg"}
RAISED = dict(zip("⁰¹²³⁴⁵⁶⁷⁸⁹₀₁₂₃₄₅₆₇₈₉", "0123456789" * 2, strict=True))


@cache
def folding() -> tuple[dict[int, str], re.Pattern[str]]:
    table = {ord(mark): plain for plain, marks in _ONE_FOR_ONE for mark in marks}
    table |= {code: chr(code - 0xFEE0) for code in range(0xFF01, 0xFF5F) if code not in table}
    raised = "".join(RAISED)
    # A hand-set fraction; a Russian newton before its metre; single marks.
    pattern = (
        rf"(?<=\d)[{''.join(VULGAR)}]|[{''.join(VULGAR)}]|(?:\d|(?<![{raised}]))[{raised}]+/[{raised}]+"
        r"|H(?=[ ·.*-]?m(?![A-Za-z]))"
        rf"|[{''.join(MARKS)}]|[\u00ad\u200b-\u200f\u2060\ufeff\u180e]"
    )
    return table, re.compile(pattern)


def _expanded(match: re.Match[str]) -> str | None:
    found = match[0]
    if len(found) > 1:
        whole = found[0] + " " if found[0].isascii() else ""
        return whole + "".join(RAISED.get(mark, mark) for mark in found[len(whole) // 2 :])
    if found in VULGAR:
        start = match.start()
        return (" " if start and match.string[start - 1].isdigit() else "") + VULGAR[found]
    if found == "H":
        return "N" if match.start() and match.string[match.start() - 1] in " 0123456789" else None
    return MARKS.get(found, "")
