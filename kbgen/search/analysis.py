"""The one analysis: what becomes of a text on its way to being found.

The page's script does the same, letter by letter; a file of golden pairs and
the tests in a real browser hold the two together. Whatever cannot be folded to
ASCII separates words.
"""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache

from snowballstemmer.english_stemmer import EnglishStemmer

__all__ = ["STOP_WORDS", "fold", "plain_terms", "stem", "words"]

# The stop list that was published with the open test collections.
_STOP = """
    a about above after again against all also am an and any are aren as at be because been
    before being below between both but by can cannot could couldn d did didn do does doesn doing
    don down during each few for from further get got had hadn has hasn have haven having he her
    here hers herself him himself his how i if in into is isn it its itself just ll m may me
    might more most must my myself no nor not now of off on once only or other our ours ourselves
    out over own re s same shall she should shouldn so some such t than that the their theirs
    them themselves then there these they this those through to too under until up upon us ve
    very was wasn we were weren what when where which while who whom whose why will with won
    would wouldn you your yours yourself yourselves
"""
STOP_WORDS = frozenset(_STOP.split())

# Letters that Unicode does not decompose, and signs that stand for an ASCII one.
SPELLED = {
    "ß": "ss", "æ": "ae", "Æ": "AE", "œ": "oe", "Œ": "OE", "ø": "o", "Ø": "O",
    "ł": "l", "Ł": "L", "đ": "d", "Đ": "D", "ð": "d", "Ð": "D", "þ": "th", "Þ": "TH",
    "ı": "i", "×": "x", "⁄": "/", "∕": "/", "·": ".", "⋅": ".", "•": ".",
    "‐": "-", "‑": "-", "‒": "-", "–": "-", "—": "-", "−": "-",
    "“": '"', "”": '"', "″": '"', "‘": "'", "’": "'", "′": "'",
}  # fmt: skip
_SPELLING = str.maketrans(SPELLED)
VULGAR = re.compile(r"[¼-¾⅐-⅞↉]")
MARKS = re.compile("[\u0300-\u036f]")
NOT_ASCII = re.compile(r"[^\x00-\x7f]")
WORD = re.compile(
    r"(?<![a-z0-9])[a-z](?:[./&][a-z])+(?![a-z0-9])|[0-9]+/[0-9]+|[0-9]+\.[0-9]+|[a-z0-9]+"
)
INITIALS = re.compile(r"(?<=[a-z])[./&]")
_INSIDE = re.compile(r"[./&][a-z0-9]")
_APART = str.maketrans({chr(sign): " " for sign in range(128) if not chr(sign).isalnum()})


def fold(text: str) -> str:
    """Return the text in lower-case ASCII.

    Shape: marks are dropped (é → e), ``½`` becomes ``1/2`` set off from a digit
    before it, dashes, primes, ``×`` and ``·`` become ``-``, ``'``, ``x`` and ``.``;
    any other sign becomes a space.
    """
    if text.isascii():
        return text.lower()
    text = VULGAR.sub(lambda sign: " " + sign[0], text)
    text = unicodedata.normalize("NFKD", text.translate(_SPELLING)).translate(_SPELLING)
    return NOT_ASCII.sub(" ", MARKS.sub("", text)).lower()


def words(text: str) -> list[str]:
    """Return the folded words of the text, in order, stop words included.

    Shape: a run of letters and digits, a fraction (``5/16``), a decimal (``0.8``),
    or initials without their dots and strokes (``a/c`` is ``ac``).
    """
    low = fold(text)
    if not _INSIDE.search(low):  # most texts: every sign stands between words
        return low.translate(_APART).split()
    found: list[str] = []
    for piece in low.split():
        if piece.isalnum():
            found.append(piece)
        else:
            found += (INITIALS.sub("", word) for word in WORD.findall(piece))
    return found


@lru_cache(maxsize=200_000)
def stem(word: str) -> str:
    """Return the Porter2 stem of a folded word.

    Source: Snowball English (Porter2) of the snowballstemmer package, its pure
    Python form, so that every machine stems alike.
    """
    stemmed: str = EnglishStemmer().stemWord(word)
    return stemmed


def plain_terms(text: str) -> list[str]:
    """Return the stems of the words that are no stop words, in order."""
    return [stem(word) for word in words(text) if word not in STOP_WORDS]
