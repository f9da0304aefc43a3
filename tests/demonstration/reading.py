"""How a note reads: its words, its paragraphs as shown, and its reading ease."""

from __future__ import annotations

import re
from collections.abc import Iterator

__all__ = ["body_of", "listed_words", "paragraphs", "reading_ease"]

_LINK = re.compile(r"\[([^\]]*)\]\([^)]*\)")
_MARKS = re.compile(r"^\s*(?:\d+\.|[-*>#]+)\s+")
_NOT_PROSE = re.compile(
    r"\]\([^)]*\)|https?://\S+|[\w-]+\.(?:png|html)\b|\b[a-z0-9]+(?:-[a-z0-9]+)*/[a-z0-9/-]+"
    r"|quillant-freearm|(?m:^[\s-]*[a-z_]+:)|(?<=[{,])\s*[a-z_]+:"
)
_WORD = re.compile(r"[A-Za-z]+(?:['’][a-z]+)?")
_SILENT = re.compile(r"(?<=[^aeiouy])e$|(?<=[^aeiouytd])ed$|(?<=[^aeiouyszxc])es$")


def body_of(text: str) -> str:
    """Return what stands under the front matter."""
    return text.split("\n---\n", 1)[1]


def listed_words(text: str) -> Iterator[str]:
    """Give the words of a content file, keys, addresses and abbreviations left out."""
    for word in _WORD.findall(_NOT_PROSE.sub(" ", text)):
        if not word.isupper() and len(word) > 1:
            yield word.lower().replace("’", "'").removesuffix("'s")


def paragraphs(body: str) -> Iterator[str]:
    """Give each paragraph and each item of a list as a reader sees it; tables left out."""
    for block in re.split(r"\n\s*\n|\n(?=\s*(?:\d+\.|-)\s)", body):
        if not block.strip().startswith(("|", "#")):
            yield _MARKS.sub("", _LINK.sub(r"\1", " ".join(block.split())))


def reading_ease(body: str) -> float:
    """Return the reading ease of a body, 100 very easy, 30 very hard.

    Source: R. Flesch, A new readability yardstick, Journal of Applied Psychology 32
    (1948): 206.835 - 1.015 words a sentence - 84.6 syllables a word. Syllables are
    counted by groups of vowels, a silent e left out.
    """
    sentences = [
        words
        for paragraph in paragraphs(body)
        for sentence in re.split(r"(?<=[.!?:])\s+", paragraph)
        if (words := _WORD.findall(sentence))
    ]
    words = [word.lower() for sentence in sentences for word in sentence]
    syllables = sum(_syllables(word) for word in words)
    return 206.835 - 1.015 * len(words) / len(sentences) - 84.6 * syllables / len(words)


def _syllables(word: str) -> int:
    return max(1, len(re.findall(r"[aeiouy]+", _SILENT.sub("", word))))
