"""Whole words in a text, with the endings that English adds to them."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import lru_cache

__all__ = ["any_of", "beginnings", "word_form"]

GAP = r"[\s\-‐‑]+"
_SHORT = 4


def word_form(phrase: str) -> str:
    """Return a pattern for a phrase, its last word with the endings that can be added.

    Shape: ``solder`` stands for *solders*, *soldered* and *soldering*, ``lamp holder``
    for *lamp-holders*, ``charge`` for *charging*. Nothing is taken off first, so that
    *mains* does not stand for *main*. A word of up to four letters takes a plural only.
    """
    words = re.split(GAP, phrase.strip().lower())
    return GAP.join([*(re.escape(word) for word in words[:-1]), _with_endings(words[-1])])


def _with_endings(word: str) -> str:
    if not word.isalpha() or word.endswith("s"):
        return re.escape(word)
    if len(word) <= _SHORT:
        return re.escape(word) + "(?:e?s)?"
    if word.endswith("e"):
        return re.escape(word[:-1]) + "(?:e|es|ed|ing)"
    if word.endswith("y"):
        return re.escape(word[:-1]) + "(?:y|ies|ied|ying)"
    return re.escape(word) + "(?:e?s|ed|ing)?"


@lru_cache(maxsize=256)  # asked for every note
def beginnings(phrases: tuple[str, ...]) -> tuple[str, ...]:
    """Return the letters with which the phrases begin in a text in small letters.

    Looking for them costs a small part of what the patterns cost.
    """
    split = [re.split(GAP, phrase.strip().lower()) for phrase in phrases]
    # Endings are added to a last word alone, and of it one letter may go.
    firsts = [words[0] if words[1:] else words[0][:-1] or words[0] for words in split]
    return tuple(dict.fromkeys(firsts))


def any_of(patterns: Iterable[str], flags: int = re.IGNORECASE) -> re.Pattern[str]:
    """Return one pattern for any of the patterns as whole words, whatever their case.

    Shape: without ``flags``, for a text in small letters, it is twice as quick.
    """
    inner = "|".join(f"(?:{pattern})" for pattern in patterns)
    return re.compile(rf"(?<![^\W_])(?:{inner})(?![^\W_])", flags)
