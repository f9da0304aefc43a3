"""The demonstration is spelled right, reads easily, and says nothing twice."""

from __future__ import annotations

import re
from collections import defaultdict
from functools import cache
from pathlib import Path

import pytest
from reading import body_of, listed_words, paragraphs, reading_ease
from spellchecker import SpellChecker

HERE = Path(__file__).parent
CONTENT = HERE.parents[1] / "content"
NOTES = sorted((CONTENT / "notes").glob("*.md"))
EASE = 80.0  # "easy" on Flesch's own scale; the hardest note reached 87 when this was set
LONGEST = 225  # letters: five lines of some 45 letters on a page 360 px wide

# The dictionary is American, so what it would let pass is named here. The language of the
# workshop is en-GB; what the public writes is left as it came.
AMERICAN = re.compile(
    r"\b(?:colors?|grays?|centers?|centered|fibers?|aluminum|mold(?:ed|s)?|neighbors?|behaviors?"
    r"|vapors?|(?:milli|centi)meters?|liters?|recogniz\w+|organiz\w+|labeled|jewelry|plow)\b",
    re.IGNORECASE,
)


def _written() -> list[Path]:
    """Return the files that the workshop wrote itself."""
    return sorted(
        path
        for path in CONTENT.rglob("*")
        if path.suffix in (".md", ".yaml", ".vtt") and path.parent.name != "questions"
    )


@cache
def _words() -> dict[str, str]:
    """Return every word of the content with one file that it stands in."""
    return {
        word: path.relative_to(CONTENT).as_posix()
        for path in _written()
        for word in listed_words(path.read_text(encoding="utf-8"))
    }


@cache
def _unknown() -> frozenset[str]:
    return frozenset(SpellChecker(language="en", distance=1).unknown(_words()))


def _own() -> list[str]:
    """Return the project's own word list: names, trade words, British spellings."""
    return (HERE / "words.txt").read_text(encoding="utf-8").split()


def test_every_word_is_in_the_dictionary_or_on_the_list() -> None:
    slips = {word: _words()[word] for word in sorted(_unknown() - set(_own()))}
    assert slips == {}, "mend the slip, or put a right word into tests/demonstration/words.txt"


def test_the_word_list_is_sorted_and_needed() -> None:
    own = _own()
    assert own == sorted(set(own))
    assert sorted(set(own) - _unknown()) == [], "no file needs these words any more"


def test_the_spelling_is_british() -> None:
    slips = [
        f"{path.relative_to(CONTENT)}: {match[0]}"
        for path in _written()
        if path.name != "vocabulary.yaml"
        for match in AMERICAN.finditer(path.read_text(encoding="utf-8"))
    ]
    assert slips == []


@pytest.mark.parametrize("path", NOTES, ids=lambda path: path.stem)
def test_a_note_reads_easily_on_a_telephone(path: Path) -> None:
    body = body_of(path.read_text(encoding="utf-8"))
    assert reading_ease(body) >= EASE
    assert [paragraph for paragraph in paragraphs(body) if len(paragraph) > LONGEST] == []


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        pytest.param("The cat sat on the mat.", 110, 120, id="one syllable a word"),
        pytest.param("Considerable organisational responsibility.", -400, 0, id="very hard"),
    ],
)
def test_reading_ease_tells_easy_from_hard(text: str, low: float, high: float) -> None:
    assert low < reading_ease(text) < high


def test_no_sentence_stands_in_two_notes() -> None:
    """A sentence of five words or more that would do anywhere says nothing here."""
    holders: defaultdict[str, set[str]] = defaultdict(set)
    for path in NOTES:
        for paragraph in paragraphs(body_of(path.read_text(encoding="utf-8"))):
            for sentence in re.split(r"(?<=[.!?])\s+", paragraph):
                if len(sentence.split()) >= 5:
                    holders[sentence].add(path.stem[:4])
    twice = {sentence: sorted(notes) for sentence, notes in holders.items() if len(notes) > 1}
    assert twice == {}
