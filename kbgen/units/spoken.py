"""Spoken numbers into figures: "five sixteenths eighteen" is ``5/16 18``.

Letters, captions and dictated notes spell numbers out; everything after this
step reads figures only. Places are kept, number by number.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache
from math import gcd

from kbgen.text import Folded

__all__ = ["WORD_START", "figures", "glance_patterns", "number_beginnings"]

UNITS = {
    "zero": 0,
    "nought": 0,
    "oh": 0,
    "one": 1,
    "two": 2,
    "three": 3,
    "four": 4,
    "five": 5,
    "six": 6,
    "seven": 7,
    "eight": 8,
    "nine": 9,
}
TEENS = {
    "ten": 10,
    "eleven": 11,
    "twelve": 12,
    "thirteen": 13,
    "fourteen": 14,
    "fifteen": 15,
    "sixteen": 16,
    "seventeen": 17,
    "eighteen": 18,
    "nineteen": 19,
    "twos": 2,
    "fours": 4,
    "eights": 8,
    "twenties": 20,
    "thirties": 30,
    "forties": 40,
}
TENS = {
    "twenty": 20,
    "thirty": 30,
    "forty": 40,
    "fourty": 40,
    "fifty": 50,
    "sixty": 60,
    "seventy": 70,
    "eighty": 80,
    "ninety": 90,
}
NUMBERS = UNITS | TEENS | TENS
PARTS = {
    "half": 2,
    "halves": 2,
    "third": 3,
    "thirds": 3,
    "quarter": 4,
    "quarters": 4,
    "fourth": 4,
    "fourths": 4,
    "eighth": 8,
    "eighths": 8,
    "sixteenth": 16,
    "sixteenths": 16,
    "sixth": 6,
    "sixths": 6,
    "twelfth": 12,
    "twelfths": 12,
}
PARTS |= {"sixteenths": 16, "sixth": 6, "sixths": 6, "twelfth": 12, "twelfths": 12}
_SPOKEN_PARTS = (
    *("thirty[- ]?seconds?", "sixty[- ]?fourths?", "sixteenths?", "eighths?", "fourths?"),
    *("thirds?", "quarters?", "half", "halves", "sixths?", "twelfths?"),
)

# A number put together: start and end in the text, whole part, figures after
# the point, and numerator and denominator of its part.
Number = tuple[int, int, int | None, str, tuple[int, int] | None]
# A word of a run: start and end in the text, and the word.
Word = tuple[int, int, str]


def figures(text: str, lowered: str) -> Folded:
    """Return ``text`` with spoken numbers written in figures.

    Shape: ``lowered`` is the text in small letters, of equal length; the places
    of the result are places in ``text``.
    """
    edits: list[tuple[int, int, int, int]] = []
    pieces: list[str] = []
    done = length = 0
    for match in runs_pattern().finditer(" " + lowered):
        if match[0][1:] in NUMBERS and not _matters(lowered, match):
            continue
        words = [
            (found.start(), found.end(), found[0])
            for found in word_pattern().finditer(lowered, match.start(), match.end() - 1)
        ]
        for start, end, new in _numbers(words, lowered):
            pieces += (text[done:start], new)
            length += start - done
            edits.append((length, length + len(new), start, end))
            length += len(new)
            done = end
    if not edits:
        return Folded(text)
    pieces.append(text[done:])
    return Folded("".join(pieces), tuple(edits))


def _matters(lowered: str, match: re.Match[str]) -> bool:
    """Return whether a number word that stands alone can be part of a value."""
    start, end = match.start(), match.end() - 1
    if behind_pattern().match(lowered, end) is not None:
        return True
    before = " " + lowered[max(0, start - 8) : start].rstrip(" \n-/")
    return before[-1:].isdigit() or match[0][0] in "-/" or before.endswith(AHEAD)


AHEAD = (
    *(
        " by",
        " em",
        " m",
        " x",
        "number",
        " no",
        "no.",
        " ba",
        "size",
        "metric",
        "plus",
        "pitch",
        "inch",
    ),
    *("in.", '"', "minus"),
)


_BEHIND = (
    r"[ -](?:newton|milli|centi|inch|in\b|f(?:oo|ee)?t|lb|pound|ounce|oz|kilo|kg|kp|n[ ·.*-]?m"
    r"|[cm]?nm|mm|cm|b[. ]?a\b|b\.a|b s|by |x |th(?:rea)?ds?[ /](?:per|to|in)|tpi|t\.p|thou"
    r"|point|x?\d|u\.?n\.?[cfs]|whit|bs|ips?\b|(?:of )?an? (?:newton|inch|foot|met|milli|centi"
    r"|thou))"
)


@cache
def behind_pattern() -> re.Pattern[str]:
    return re.compile(rf"{_BEHIND}|[ -](?:threads?|degree|per ?cent|full|turn|to |and |or |plus)")


def _alternation(words: Iterable[str]) -> str:
    """Return the words as one pattern that a search can leave at the first letter."""
    by_letter: dict[str, list[str]] = {}
    for word in sorted(words, key=len, reverse=True):
        by_letter.setdefault(word[0], []).append(word[1:])
    return "|".join(f"{letter}(?:{'|'.join(rest)})" for letter, rest in by_letter.items())


@cache
def _parts() -> tuple[str, str, str, str]:
    """Return the patterns that runs of numbers are made of."""
    word = f"(?:{_alternation((*_SPOKEN_PARTS, *NUMBERS, 'hundred'))})"
    part = r"(?:(?:4|8|16|64)ths?|32(?:nds?|ths?))"
    any_part = f"(?:{part}|{_alternation(_SPOKEN_PARTS)})"
    between = r"(?:[ \n-]| point |[ -]and[ -]an?[ -]|[ -]and[ -])"
    return word, part, any_part, between


# What ends a word; the separator before it lets a search skip whatever begins none.
WORD_START = r"[ \n(\[\"'/=:-]"


@cache
def runs_pattern() -> re.Pattern[str]:
    word, part, any_part, between = _parts()
    # One run of spoken numbers, or figures with a spoken part: "5 16ths", "3 quarters".
    return re.compile(
        rf"{WORD_START}(?:\d+[ /-]{any_part}|\d+ point \d+|point {word}(?:[ -]{word})*"
        r"|(?:by|x) point \d+"
        rf"|{word}(?:{between}(?:{word}|\d+(?=[ /-]{any_part})))*(?:[ /-]{part})?)(?![a-z0-9])"
    )


def number_beginnings() -> str:
    """Return what finds the first letters of a spoken number, of any of its words."""
    return _alternation(dict.fromkeys(word[:4] for word in (*NUMBERS, *PARTS, "hundred")))


def glance_patterns() -> tuple[str, str]:
    """Return what finds, in small letters, a spoken number that can be part of a value.

    Shape: what stands behind ``WORD_START`` (two numbers together, or one with a
    word that makes something of it), and what stands behind figures.
    """
    word, _, any_part, between = _parts()
    ahead = _alternation(
        ("em", "m", "by", "number", r"no\.?", "x", "plus", "ba", "size", "metric", "pitch", "point")
    )
    return (
        rf"(?:{ahead}|in(?:ch|\.))[ -]{word}"
        rf"|{word}(?:{between}(?:{word}|\d+[ /-]{any_part})|{_BEHIND}|\")",
        rf"[ /-](?:{any_part}|point \d|{word})|(?:th|nd)s?\b",
    )


@cache
def word_pattern() -> re.Pattern[str]:
    return re.compile(
        r"thirty[- ]?seconds?|sixty[- ]?fourths?|\d+(?:ths?|nds?)|\d+|and[ -]an?(?=[ -])|[a-z]+"
    )


def _numbers(words: list[Word], lowered: str) -> Iterable[tuple[int, int, str]]:
    """Yield every number of a run of words: start and end in the text, and its figures."""
    at = 0
    while at < len(words):
        whole, after = _whole(words, at)
        part, end = _part(words, after, whole, lowered)
        if part is not None:
            yield words[at][0], words[end - 1][1], f"{part[0]}/{part[1]}"
            at = end
            continue
        decimals, end = _decimals(words, after)
        if decimals:
            yield words[at][0], words[end - 1][1], f"{whole or 0}.{decimals}"
            at = end
            continue
        if whole is None:
            at += 1
            continue
        part, end = _joined_part(words, after, lowered)
        if part is not None:
            yield words[at][0], words[end - 1][1], f"{whole} {part[0]}/{part[1]}"
            at = end
            continue
        if words[at][2] != "oh" or after < len(words):
            yield words[at][0], words[after - 1][1], str(whole)
        at = after


def _whole(words: list[Word], at: int) -> tuple[int | None, int]:
    """Return the whole number that begins at ``at``, and where it ends; None where none does."""
    value, end = _below_hundred(words, at)
    if value is None and words[at : at + 1] and words[at][2] == "hundred":
        value = 1
    if value is None or end == len(words) or words[end][2] != "hundred":
        return value, end
    end += 1
    joined = end + 1 if end < len(words) and words[end][2] == "and" else end
    rest, after = _below_hundred(words, joined)
    return (100 * value, end) if rest is None else (100 * value + rest, after)


def _below_hundred(words: list[Word], at: int) -> tuple[int | None, int]:
    if at >= len(words):
        return None, at
    word = words[at][2]
    if word.isdigit() and len(word) <= 60:
        return int(word), at + 1
    value = NUMBERS.get(word)
    if word in TENS and at + 1 < len(words) and UNITS.get(words[at + 1][2], 0) > 0:
        return TENS[word] + UNITS[words[at + 1][2]], at + 2
    return value, at + 1 if value is not None else at


def _part(
    words: list[Word], at: int, count: int | None, lowered: str
) -> tuple[tuple[int, int] | None, int]:
    """Return the fraction that ends with the word at ``at``: a count of parts, or one part."""
    if at >= len(words):
        return None, at
    start, _, word = words[at]
    of = _denominator(word)
    if of is None:
        return None, at
    if count is None:
        before = f" {lowered[max(0, start - 4) : start]}"
        of_a_turn = of_a_turn_pattern().match(lowered, words[at][1]) is not None
        spoken_of_one = of_a_turn or before.endswith((" a ", " an ", " an-", " a-"))
        alone = of in (2, 4) and not word.startswith("fourth")
        if alone or of_a_turn or (spoken_of_one and of in (3, 8, 16)):
            return (1, of), at + 1
        return None, at
    if not 0 < count < of or gcd(count, of) != 1:
        return None, at
    return (count, of), at + 1


@cache
def of_a_turn_pattern() -> re.Pattern[str]:
    return re.compile(r"[ -](?:of a )?(?:further |full )?(?:turn|revolution)|[ -]inch\b")


def _joined_part(words: list[Word], at: int, lowered: str) -> tuple[tuple[int, int] | None, int]:
    """Return the part that "and" joins to a whole number: "and a half", "and three eighths"."""
    if at >= len(words) or not words[at][2].startswith("and"):
        return None, at
    if words[at][2] != "and":
        after = at + 1
        of = _denominator(words[after][2]) if after < len(words) else None
        return (None, at) if of is None else ((1, of), after + 1)
    count, after = _below_hundred(words, at + 1)
    return (None, at) if count is None else _part(words, after, count, lowered)


def _denominator(word: str) -> int | None:
    if word[0].isdigit():
        bare = word.rstrip("thnds")
        return int(bare) if bare != word else None
    if word.startswith("thirty") and "second" in word:
        return 32
    if word.startswith("sixty") and "fourth" in word:
        return 64
    return PARTS.get(word)


def _decimals(words: list[Word], at: int) -> tuple[str, int]:
    """Return the figures after a spoken point, and where they end."""
    if at >= len(words) or words[at][2] != "point":
        return "", at
    digits, end = "", at + 1
    while end < len(words) and len(digits) < 4:
        value, after = _below_hundred(words, end)
        if value is None:
            break
        digits += str(value)
        end = after
    return digits, end
