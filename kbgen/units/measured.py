"""What is typed from a caliper, a pitch gauge or a table: diameters, pitches, nut factors.

A reading between two is a range: ``3.5–3.6 mm`` is 3.55 mm and half a tenth on either side.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from kbgen.text import NotationError, Span
from kbgen.units.length import parse_length
from kbgen.units.prepared import NUMBER, figure, prepare

__all__ = [
    "LARGEST_MM",
    "NOT_ONE",
    "NO_DIAMETER",
    "NO_NUT_FACTOR",
    "NO_PITCH",
    "NUT_FACTOR",
    "PER_INCH",
    "Measured",
    "parse_diameter",
    "parse_nut_factor",
    "parse_one_length",
    "parse_pitch",
]

MM_PER_INCH = Fraction(254, 10)
LARGEST_MM = Fraction(10_000)
"""Ten metres: what is longer was never on a caliper."""

NO_DIAMETER = "expected a length above zero, found '{text}'"
NOT_ONE = "expected one length and no range, found '{text}'"
NO_PITCH = "expected a pitch such as '40 tpi' or '0.7 mm', found '{text}'"
NO_NUT_FACTOR = "expected a nut factor such as 0.15, found '{text}'"

PER_INCH = re.compile(
    rf"(?P<tpi>{NUMBER}) ?-? ?(?:tpi|t\.p\.i\.?"
    r"|(?:threads? |turns? )?(?:per|to the|to an|an) inch|/ ?in(?:ch|\.)?)"
)
NUT_FACTOR = re.compile(r"\d{1,3}(?:[.,]\d{0,9})?|[.,]\d{1,9}")


@dataclass(frozen=True, slots=True)
class Measured:
    """A reading as its middle and half its width, 0 for one figure. Units: millimetres, exact."""

    middle_mm: Fraction
    half_mm: Fraction


def parse_diameter(text: str) -> Measured:
    """Return what a caliper read, one length or a range of them.

    Raises: NotationError for what is no length with its unit, or none above zero.
    """
    length = parse_length(text)
    if not 0 < length.low_mm <= length.high_mm <= LARGEST_MM:
        raise _refused(NO_DIAMETER, text, "for example 3.55 mm or 0.140 in")
    return Measured((length.low_mm + length.high_mm) / 2, (length.high_mm - length.low_mm) / 2)


def parse_one_length(text: str) -> Fraction:
    """Return one length in millimetres.

    Raises: NotationError as ``parse_diameter``, and for a range.
    """
    measured = parse_diameter(text)
    if measured.half_mm:
        raise _refused(NOT_ONE, text, "for example 3.55 mm or 0.140 in")
    return measured.middle_mm


def parse_pitch(text: str) -> Fraction:
    """Return a pitch in millimetres.

    Shape: ``40 tpi``, ``11 1/2 threads per inch``, ``0.7 mm``.
    Raises: NotationError for what is none.
    """
    inch = PER_INCH.fullmatch(prepare(text).low.strip())
    try:
        if inch is None:
            return parse_one_length(text)
        return MM_PER_INCH / figure(inch["tpi"]).value
    except (NotationError, ZeroDivisionError):
        hint = "count the threads of one inch, or measure ten pitches and divide"
        raise _refused(NO_PITCH, text, hint) from None


def parse_nut_factor(text: str) -> float:
    """Return a nut factor, its decimal mark a point or a comma.

    Raises: NotationError for what is no plain figure.
    """
    plain = text.strip()
    if NUT_FACTOR.fullmatch(plain) is None:
        raise _refused(NO_NUT_FACTOR, text, "about 0.20 dry, 0.11 to 0.15 lubricated")
    return float(plain.replace(",", "."))


def _refused(message: str, text: str, hint: str) -> NotationError:
    return NotationError(message.format(text=text.strip()), text, Span(0, len(text)), hint)
