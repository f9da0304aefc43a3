"""Notes of 250 words, invented from the open data word by word, rarer words coming with them."""

from __future__ import annotations

import random
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path

from collections_read import read_collection

from kbgen.search import Facet, SearchDocument

DATA = Path(__file__).resolve().parents[1] / "search-data" / "symptom-to-note"
NEW_WORDS = 0.012  # of all words: the lexicon grows as it does with real notes
CONSONANTS, VOWELS = "b c d f g l m n p r s t st tr", "a e i o u ar en il"
PARTS = [one + two for one in CONSONANTS.split(" ") for two in VOWELS.split(" ")]


class Text:
    """A chain of words: each follows the one before as somewhere in the open data."""

    def __init__(self, notes: int, chance: random.Random) -> None:
        self._chance = chance
        collection = read_collection(DATA)
        texts = [row["text"].split() for row in collection.documents]
        texts += [text.split() for _, text in collection.questions]
        self._after: dict[str, list[str]] = {}
        for words in texts:
            for word, following in pairwise(words):
                self._after.setdefault(word, []).append(following)
        self._starts = [words[0] for words in texts if words]
        self._rare = [
            "".join(chance.choice(PARTS) for _ in range(chance.randint(2, 4)))
            for _ in range(max(2000, 2 * notes))
        ]

    def words(self, count: int) -> str:
        said: list[str] = []
        word = self._chance.choice(self._starts)
        while len(said) < count:
            new = self._chance.random() < NEW_WORDS
            said.append(self._chance.choice(self._rare) if new else word)
            word = self._chance.choice(self._after.get(word) or self._starts)
        return " ".join(said)


def invented(notes: int) -> Iterator[SearchDocument]:
    """So many notes: a title, two symptoms, two causes, a fix, a body; the same each time."""
    chance = random.Random(20260301)
    text = Text(notes, chance)
    families = [f"Family {number}" for number in range(60)]
    for number in range(1, notes + 1):
        title, fix = text.words(7), text.words(13)
        lines = [text.words(10), text.words(10), text.words(14), text.words(14)]
        held = chance.sample(families, 2)
        yield SearchDocument(
            number,
            title,
            "\n".join([*lines, fix, text.words(182)]),
            tuple(held),
            fix,
            tuple(lines),
            ("5/16-18 UNC",) if number % 7 == 0 else (),
            tuple(Facet("family", name.lower().replace(" ", "-"), name) for name in sorted(held)),
            chance.choice(["", "caution", "warning"]),
        )
