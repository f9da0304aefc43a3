"""Where the page's files are cut, and what they are called.

A term's postings stand in the file that its letters lead to, or in one of their own where
many notes hold it. Sorted words are cut at those that carry a mark in their letters, and a
file of them is called by its first word. So a word that comes or goes changes its own file
and, where it carries the mark, the one before; every other file stays.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise
from zlib import crc32

__all__ = ["buckets_for", "cuts", "is_alone", "named", "piece_alone", "piece_of"]

LONGEST_NAME = 40  # letters of a word that a file is called by
BUCKET_BYTES = 500  # at least; up to twice as many
TERM_BYTES, POSTING_BYTES = 7, 2  # about
ALONE = 2000  # so many notes that hold a term fill a file


def cuts(words: Sequence[str], every: int) -> Iterable[tuple[int, int]]:
    """Give the begin and the end of each run of sorted words that make a file.

    Shape: one word in ``every`` begins one.
    """
    starts = [
        at
        for at, word in enumerate(words)
        if at == 0 or (crc32(word.encode()) % every == 0 and len(word) <= LONGEST_NAME)
    ]
    return pairwise([*starts, len(words)])


def named(kind: str, first: str) -> str:
    """Return the name of the file that begins with a word; "" stands for the very beginning."""
    spelled = [sign if sign.isalnum() else f"-{ord(sign):02x}" for sign in first]
    return f"{kind}-{''.join(spelled)}"


def is_alone(term: str, holders: int) -> bool:
    """Return whether the postings of a term fill a file."""
    return holders >= ALONE and len(term) <= LONGEST_NAME


def piece_alone(term: str) -> str:
    """Return the name of the file that holds the postings of one term alone."""
    return named("q", term)


def piece_of(term: str, buckets: int) -> str:
    """Return the name of the file among so many that a term's letters lead to.

    Source: CRC-32 of ISO 3309, which the page's script reckons as well.
    """
    return f"p{crc32(term.encode()) % buckets}"


def buckets_for(holders: Mapping[str, int]) -> int:
    """Return into how many files terms go: a power of two, so that it seldom changes."""
    size = sum(
        TERM_BYTES + POSTING_BYTES * held
        for term, held in holders.items()
        if not is_alone(term, held)
    )
    return 1 << max(0, (size // BUCKET_BYTES).bit_length() - 1)
