"""A text made ready for reading, and the notation of numbers in it."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from kbgen.text import Folded, Span, fold
from kbgen.units.spoken import figures

__all__ = ["NUMBER", "Figure", "Prepared", "figure", "prepare", "significant"]

# A number: thousands in groups, a mixed or simple fraction, a decimal with
# point or comma, a whole number. Nobody states sixty places; what has more is no figure.
NUMBER = (
    r"(?:\d{1,3}(?:,\d{3}){1,20}(?!\d)(?:\.\d{1,60})?|\d{1,3}"
    r"(?:(?<!between \d)(?<!between \d\d) and |[ -])\d{1,2}/\d{1,2}(?!\d)"
    r"|\d{1,3}/\d{1,3}(?!\d)"
    r"|\d{0,60}[.,]\d{1,60}|\d{1,60})"
)


@dataclass(frozen=True, slots=True)
class Prepared:
    """A text as written and in plain form.

    Shape: ``plain`` is folded and has its numbers in figures; ``low`` is the
    same in small letters, place for place.
    """

    written: str
    plain: str
    low: str
    folded: Folded
    spoken: Folded

    def span(self, start: int, end: int) -> Span:
        """Return the stretch as written behind ``start`` to ``end`` of the plain text.

        Shape: without blanks at its ends and without the full stop of a sentence.
        """
        while start < end - 1 and self.plain[start].isspace():
            start += 1
        while start < end - 1 and (self.plain[end - 1].isspace() or self.plain[end - 1] == "."):
            end -= 1
        inner = self.spoken.span(start, end)
        return self.folded.span(inner.start, inner.end)

    def was_spoken(self, start: int, end: int) -> bool:
        """Return whether a number between ``start`` and ``end`` was spelled out."""
        return self.spoken.rewritten(start, end)


def prepare(text: str) -> Prepared:
    """Return ``text`` ready for reading."""
    folded = fold(text)
    low = folded.text.lower()
    spoken = figures(folded.text, low)
    return Prepared(text, spoken.text, spoken.text.lower(), folded, spoken)


# A fraction is exact as far as a rule can show it.
HALF_OF_A_64TH = Fraction(1, 128)


@dataclass(frozen=True, slots=True)
class Figure:
    """A number and how precisely it was written.

    Shape: ``slack`` is half a unit of the last place written; a whole number of
    three places or more that ends in 0 may have been rounded to ten.
    """

    value: Fraction
    slack: Fraction


@lru_cache(maxsize=1024)
def figure(written: str) -> Figure:
    """Return the number that ``written`` states.

    Shape: a match of ``NUMBER``.
    Raises: ZeroDivisionError for a fraction of nothing.
    """
    if "/" in written:
        *whole, part = re.split(" and |[ -]", written)
        numerator, denominator = part.split("/")
        value = Fraction(int(numerator), int(denominator)) + sum(map(int, whole))
        return Figure(value, HALF_OF_A_64TH)
    if re.fullmatch(r"[1-9]\d{0,2}(?:,\d{3})+(?:\.\d+)?", written):
        written = written.replace(",", "")
    written = written.replace(",", ".")
    places = len(written.partition(".")[2])
    value = Fraction(written if not written.startswith(".") else "0" + written)
    rounded = not places and value >= 100 and written.endswith("0")
    return Figure(value, Fraction(5) if rounded else Fraction(1, 2 * 10**places))


def significant(value: Fraction, figures: int = 4) -> str:
    """Return ``value`` to so many figures, in plain notation, without trailing zeros."""
    over, under = abs(value.numerator), value.denominator
    if not over:
        return "0"
    exponent = len(str(over)) - len(str(under))
    if over * 10 ** max(0, -exponent) < under * 10 ** max(0, exponent):
        exponent -= 1
    places = figures - 1 - exponent
    over, under = over * 10 ** max(0, places), under * 10 ** max(0, -places)
    whole = (2 * over + under) // (2 * under)
    if places <= 0:
        return f"{'-' if value < 0 else ''}{whole * 10**-places}"
    digits = f"{whole:0{places + 1}d}"
    text = f"{digits[:-places]}.{digits[-places:]}".rstrip("0").rstrip(".")
    return f"-{text}" if value < 0 else text
