"""Where the page's files are cut, and what they are called.

A cut depends on the words beside it alone: on a mark that a word carries by its letters,
or on being so common that it fills a file by itself. So a word that comes or goes changes
its own file and, where it carries the mark, the one before; every other file stays. A file
is called by its first word, which tells where it begins.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise
from zlib import crc32

__all__ = ["cuts", "named", "power_below"]

LONGEST_NAME = 40  # letters of a word that a file is called by


def cuts(
    words: Sequence[str], every: int, alone: frozenset[str] = frozenset()
) -> Iterable[tuple[int, int]]:
    """Give the begin and the end of each run of sorted words that make a file.

    Shape: one word in ``every`` begins one; a word of ``alone`` is one by itself.
    """
    starts = [
        at
        for at, word in enumerate(words)
        if at == 0
        or (
            (crc32(word.encode()) % every == 0 or word in alone or words[at - 1] in alone)
            and len(word) <= LONGEST_NAME
        )
    ]
    return pairwise([*starts, len(words)])


def named(kind: str, first: str) -> str:
    """Return the name of the file that begins with a word; "" stands for the very beginning."""
    spelled = [sign if sign.isalnum() else f"-{ord(sign):02x}" for sign in first]
    return f"{kind}-{''.join(spelled)}"


def power_below(number: int) -> int:
    """Return the largest power of two that is not above a number from 1 up."""
    return 1 << (number.bit_length() - 1)
