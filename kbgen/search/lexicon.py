"""The words of the notes: what a half-typed or slipped word of a question may have meant.

Two words are near when one slip of the finger makes one of the other: a letter
left out, put in, put in another's place, or two neighbours exchanged. Both sides
look among the words that share the first three letters, and among those that
share all that follows them; between the two no near word is missed.
"""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence
from functools import cached_property

__all__ = ["HEAD", "LETTERS", "SHORTEST", "Lexicon", "near", "tail_keys"]

HEAD = 3  # letters after which a word's tail begins
LETTERS = re.compile(r"[a-z]+")
SHORTEST = 4  # letters of a word that may have slipped


class Lexicon:
    """The words of a collection that are of letters alone, sorted."""

    def __init__(self, words: Iterable[str]) -> None:
        self.words: Sequence[str] = sorted(word for word in words if LETTERS.fullmatch(word))

    @cached_property
    def _tails(self) -> dict[str, list[str]]:
        found: dict[str, list[str]] = {}
        for word in self.words:
            found.setdefault(word[HEAD:], []).append(word)
        return found

    def beginning(self, start: str) -> Iterator[str]:
        """Give the words that begin so, in order."""
        at = bisect_left(self.words, start)
        while at < len(self.words) and self.words[at].startswith(start):
            yield self.words[at]
            at += 1

    def near(self, word: str) -> list[str]:
        """Return the words one slip away, sorted."""
        found = set(self.beginning(word[:HEAD]))
        for key in tail_keys(word):
            found.update(self._tails.get(key, ()))
        return sorted(other for other in found if near(word, other))


def tail_keys(word: str) -> set[str]:
    """Return the tails that a near word has when the slip is among its first letters."""
    return {
        word[HEAD:],
        word[HEAD - 1 :],
        word[HEAD + 1 :],
        word[HEAD - 1 : HEAD] + word[HEAD + 1 :],
    }


def near(one: str, other: str) -> bool:
    """Tell whether one slip of the finger makes one word of the other.

    Source: the optimal string alignment distance of Damerau and Levenshtein is one.
    """
    if one == other or abs(len(one) - len(other)) > 1:
        return False
    at = 0
    while at < len(one) and at < len(other) and one[at] == other[at]:
        at += 1
    a, b = one[at:], other[at:]
    if len(a) == len(b):
        return a[1:] == b[1:] or (a[:2] == b[1::-1] and a[2:] == b[2:])
    return a[1:] == b if len(a) > len(b) else b[1:] == a
