"""Figures as markup: designations stamped the same way everywhere, units small and unbroken.

The markup copies as plain text: ``5/16`` is a raised 5, a slash and a lowered 16.
"""

from __future__ import annotations

import datetime
import re

from markupsafe import Markup, escape

from kbgen.text import date_in_words, day_in_words

__all__ = ["day", "fraction", "measure", "month", "pair", "quiet_join", "stamp", "with_fractions"]

NARROW = "\N{NO-BREAK SPACE}"
_FRACTION = re.compile(r"(?<![\d/.])(?:(\d+)[ \N{NO-BREAK SPACE}])?(\d{1,2})/(\d{1,3})(?![\d/.])")
_SERIES = re.compile(
    r"^(.*?)((?: (?:UNC|UNF|UNEF|UN|UNS|UNR|BSW|BSF|BA|BSB|BSCy|NPSM|NPS|NPT|house)"
    r"(?:-\d[AB])?)?)((?: LH)?)$"
)
_NUMBER_UNIT = re.compile(r"(?<=\d) (?=[A-Za-z°%µΩ])")


def fraction(above: str, below: str) -> Markup:
    """Return a vulgar fraction set as one, that still copies as ``above/below``."""
    return Markup('<span class="fr"><i>{}</i>/<i>{}</i></span>').format(above, below)


def with_fractions(text: str) -> Markup:
    """Return ``text`` with every plain vulgar fraction in it set as one."""
    if "/" not in text:
        return escape(text)
    parts: list[Markup] = []
    end = 0
    for found in _FRACTION.finditer(text):
        parts.append(escape(text[end : found.start()]))
        if found[1]:
            parts.append(escape(found[1]) + NARROW)
        parts.append(fraction(found[2], found[3]))
        end = found.end()
    parts.append(escape(text[end:]))
    return Markup("").join(parts)


def stamp(canonical: str) -> Markup:
    """Return a thread designation in the one style it has everywhere.

    Shape: the figures large, the series small behind them, a left hand told in full
    size because it is what goes wrong.
    """
    found = _SERIES.match(canonical)
    figures, series, left = found.groups() if found else (canonical, "", "")
    inner = with_fractions(figures)
    if series:
        inner += Markup(" <small>{}</small>").format(series.strip())
    if left:
        inner += Markup(" <em>LH</em>")
    return Markup('<b class="th">{}</b>').format(inner)


def measure(text: str) -> Markup:
    """Return a stated quantity, its unit never parted from its number.

    Shape: ``1.0 N·m``, ``8..10 N·m``, ``9.525 mm`` or words such as ``snug``.
    """
    unbroken = _NUMBER_UNIT.sub(NARROW, text.replace("..", "–" if text[:1] not in ".–" else ".."))
    kind = "q w" if "(" in text else "q"  # two units may stand on two lines
    return Markup('<span class="{}">{}</span>').format(kind, with_fractions(unbroken))


def pair(number: str, unit: str) -> Markup:
    """Return a number and its unit, the unit set small."""
    return Markup('<span class="q">{}<small>{}{}</small></span>').format(number, NARROW, unit)


def day(date: datetime.date) -> Markup:
    """Return a date in words, for people and for machines."""
    words = day_in_words(date).replace(" ", NARROW, 1)
    return Markup('<time datetime="{}">{}</time>').format(date.isoformat(), words)


def month(date: str) -> str:
    """Return a date that may end with its year or month in words: ``March 1911``."""
    return date_in_words(date).replace(" ", NARROW)


def quiet_join(parts: list[Markup | str], word: str = "and") -> Markup:
    """Return parts as a plain English list."""
    if len(parts) < 2:
        return Markup("").join(parts)
    return Markup(", ").join(parts[:-1]) + f" {word} " + parts[-1]
