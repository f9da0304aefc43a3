"""Figures as markup: designations stamped the same way everywhere, units small and unbroken.

The markup copies as plain text: ``5/16`` is a raised 5, a slash and a lowered 16.
"""

from __future__ import annotations

import datetime
import re
from functools import lru_cache

from markupsafe import Markup, escape

from kbgen.text import date_in_words, day_in_words

__all__ = ["day", "measure", "month", "pair", "quiet_join", "stamp", "with_fractions"]

NARROW = "\N{NO-BREAK SPACE}"
_FRACTION = re.compile(r"(?<![\d/.])(?:(\d+)[ \N{NO-BREAK SPACE}])?(\d{1,2})/(\d{1,3})(?![\d/.])")
_SERIES = re.compile(
    r"^(.*?)((?: (?:UNC|UNF|UNEF|UN|UNS|UNR|BSW|BSF|BA|BSB|BSCy|NPSM|NPS|NPT|house)"
    r"(?:-\d[AB])?)?)((?: LH)?)$"
)
_NUMBER_UNIT = re.compile(r"(?<=\d) (?=[A-Za-z°%µΩ])")


def with_fractions(text: str) -> Markup:
    """Return ``text`` with every plain vulgar fraction in it set as one."""
    if "/" not in text:
        return escape(text)
    # No sign of HTML stands in a fraction or next to what makes one: it may be escaped before.
    return Markup(_FRACTION.sub(_as_one, str(escape(text))))


def _as_one(found: re.Match[str]) -> str:
    whole = found[1] + NARROW if found[1] else ""
    return f'{whole}<span class="fr"><i>{found[2]}</i>/<i>{found[3]}</i></span>'


@lru_cache(maxsize=4096)
def stamp(canonical: str) -> Markup:
    """Return a thread designation in the one style it has everywhere.

    Shape: the figures large, the series small behind them, a left hand told in full
    size because it is what goes wrong.
    """
    found = _SERIES.match(canonical)
    figures, series, left = found.groups() if found else (canonical, "", "")
    small = f" <small>{escape(series.strip())}</small>" if series else ""
    hand = " <em>LH</em>" if left else ""
    return Markup(f'<b class="th">{with_fractions(figures)}{small}{hand}</b>')


@lru_cache(maxsize=4096)
def measure(text: str) -> Markup:
    """Return a stated quantity, its unit never parted from its number.

    Shape: ``1.0 N·m``, ``8..10 N·m``, ``9.525 mm`` or words such as ``snug``.
    """
    unbroken = _NUMBER_UNIT.sub(NARROW, text.replace("..", "–" if text[:1] not in ".–" else ".."))
    kind = "q w" if "(" in text else "q"  # two units may stand on two lines
    return Markup(f'<span class="{kind}">{with_fractions(unbroken)}</span>')


def pair(number: str, unit: str) -> Markup:
    """Return a number and its unit, the unit set small."""
    return Markup('<span class="q">{}<small>{}{}</small></span>').format(number, NARROW, unit)


def day(date: datetime.date) -> Markup:
    """Return a date in words, for people and for machines."""
    words = day_in_words(date).replace(" ", NARROW, 1)
    return Markup(f'<time datetime="{date.isoformat()}">{words}</time>')


def month(date: str) -> str:
    """Return a date that may end with its year or month in words: ``March 1911``."""
    return date_in_words(date).replace(" ", NARROW)


def quiet_join(parts: list[Markup | str], word: str = "and") -> Markup:
    """Return parts as a plain English list."""
    if len(parts) < 2:
        return Markup("").join(parts)
    return Markup(", ").join(parts[:-1]) + f" {word} " + parts[-1]
