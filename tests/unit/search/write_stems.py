"""Writes stems.tsv: words and the stems that the snowballstemmer package gives them.

Run it when that package changes: python tests/unit/search/write_stems.py
"""

from __future__ import annotations

import json
import random
from pathlib import Path

from snowballstemmer.english_stemmer import EnglishStemmer

from kbgen.search.analysis import words

HERE = Path(__file__).resolve().parent
DATA = HERE.parents[1] / "search-data" / "symptom-to-note" / "docs.jsonl"
_ENDINGS = (
    "s es ed ing ly edly ingly ation ations ator ness ful fulness ative alize icate iciti ousli "
    "entli y ied ies eed eedly ion al er ement ment able ible ance ence ism ate ous ive ize izer "
    "bli abli ogi logi ogist lessli e l ll past pasting"
)
ENDINGS = _ENDINGS.split()


def lines() -> list[str]:
    """Real words, and real beginnings under every ending that a step looks for."""
    chance = random.Random(20260301)
    real: set[str] = set()
    for line in DATA.read_text(encoding="utf-8").splitlines():
        row = json.loads(line)
        real.update(word for word in words(f"{row['title']} {row['text']}") if word.isalpha())
    made = {
        word[: chance.randint(1, len(word))] + ending
        for word in chance.sample(sorted(real), 120)
        for ending in ENDINGS
    }
    stemmer = EnglishStemmer()
    return [f"{word}\t{stemmer.stemWord(word)}" for word in sorted(real | made)]


if __name__ == "__main__":
    (HERE / "stems.tsv").write_text("\n".join(lines()) + "\n", encoding="utf-8")
