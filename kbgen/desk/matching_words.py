"""The words of a question: what is only politeness in them, and which machines they name."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from kbgen.content import Note, Tree
from kbgen.search import analyse

__all__ = ["complaint_terms", "families_named", "spoken", "without_courtesies", "without_greeting"]

_TELLING_NAME = 4  # letters at least of a family's first word that stands for its name

# Said in letters of any kind, and nothing of what is asked.
_GREETING = (
    r"^[ \t]*(?:dear|hello|hi|hey|good[ ](?:morning|afternoon|evening|day))\b"
    r"[^.,:!?\n]{0,40}(?:[.,:!?]|$)"
)
_COURTESIES = re.compile(
    rf"""
      {_GREETING}
    | \b(?:many[ ]|so[ ]many[ ])?(?:thanks|thank[ ]you)\b[^.!?\n]*(?:[.!?]|$)
    | ^[ \t]*(?:with[ ])?(?:(?:kind|best|warm|many|very)[ ])+(?:regards|wishes|greetings)\b.*$
    | ^[ \t]*(?:yours[ ](?:sincerely|faithfully|truly|ever)|sincerely|cheers)\b.*$
    | \bI[ ]hope[ ](?:this[ ]finds[ ]you|you[ ]are)[ ]well\b
    | \b(?:please|kindly)\b
    """,
    re.IGNORECASE | re.MULTILINE | re.VERBOSE,
)
_NO_WORD = re.compile(r"\S{50,}")  # an address, or noise; no word is so long
_WORD = re.compile(r"[^\W_]+(?:[-./][^\W_]+)*")


def without_courtesies(text: str) -> str:
    """Return a letter without its greeting, its thanks and its close, and without addresses."""
    return _NO_WORD.sub(" ", _COURTESIES.sub(" ", text)).strip()


def without_greeting(text: str) -> str:
    """Return a letter without its greeting."""
    rest = re.sub(_GREETING, "", text.strip(), count=1, flags=re.IGNORECASE).strip()
    return rest or text.strip()


def spoken(text: str) -> dict[str, str]:
    """Return a word of the text for each term in it, in the order said."""
    words: dict[str, str] = {}
    for word in _WORD.findall(text):
        for term in analyse(word):
            words.setdefault(term, word.lower())
    return words


def families_named(tree: Tree, text: str) -> tuple[str, ...]:
    """Return the families that a text names, sorted.

    Shape: by the name, by another name of the family, or by the first word of its name.
    """
    found = {
        family
        for phrase, families in _names(tree).items()
        if re.search(rf"(?<![^\W_]){re.escape(phrase)}(?:['’]?s)?(?![^\W_])", text, re.IGNORECASE)
        for family in families
    }
    return tuple(sorted(found))


def _names(tree: Tree) -> Mapping[str, list[str]]:
    names: dict[str, list[str]] = {}
    for family in tree.families.values():
        model = family.model
        first = model.name.split()[0]
        phrases = [
            model.name,
            *model.also_called,
            *([first] if len(first) >= _TELLING_NAME else ()),
        ]
        for phrase in dict.fromkeys(phrases):
            names.setdefault(phrase, []).append(family.id)
    return names


def complaint_terms(tree: Tree, note: Note) -> frozenset[str]:
    """Return the terms of what a note is complained to about: title, symptoms, headings."""
    front = note.front
    headings = [tree.headings[name] for name in front.headings if name in tree.headings]
    words = [front.title, *front.symptom]
    words += [word for heading in headings for word in (heading.heading, *heading.also)]
    return frozenset(_terms(words))


def _terms(texts: Iterable[str]) -> Iterable[str]:
    for text in texts:
        yield from analyse(text)
