"""Slips of the finger, put into questions by chance with a fixed seed."""

from __future__ import annotations

import random
import re

LETTERS = "abcdefghijklmnopqrstuvwxyz"
WORD = re.compile(r"[A-Za-z]{4,}")
SHARE = 0.3


def slipped(word: str, chance: random.Random) -> str:
    """One letter left out, put in, exchanged for another or for its neighbour."""
    at = chance.randrange(len(word))
    match chance.randrange(4):
        case 0:
            return word[:at] + word[at + 1 :]
        case 1:
            return word[:at] + chance.choice(LETTERS) + word[at:]
        case 2:
            return word[:at] + chance.choice(LETTERS) + word[at + 1 :]
        case _:
            at = min(at, len(word) - 2)
            return word[:at] + word[at + 1] + word[at] + word[at + 2 :]


def with_slips(text: str, chance: random.Random, share: float = SHARE) -> str:
    """The text with a slip in so many of its words of four letters and more."""
    return WORD.sub(lambda m: slipped(m[0], chance) if chance.random() < share else m[0], text)
