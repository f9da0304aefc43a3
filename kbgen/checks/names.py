"""Which registered place a sentence names, and whether it says what that place has.

The rule, in plain words. A sentence is about a registered place of one of its note's
families when it links to the row, or when it names the row: by the words of its id or
by the words of its ``where`` up to the first preposition, ending in a fastener's noun
("needle clamp screw"). A sentence in words says what the place has only if it names
no other screw, nut, stud, hole or tap besides, and if nothing in it sets the figure
apart (not, instead of, was, looks like, binds, re-tapped, if ...). Then every thread
and torque in it must be the register's. Of several places named, the figure must be
that of one of them. Two rows of the same name are both meant.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from kbgen.checks.rule import Row
from kbgen.checks.words import GAP, any_of
from kbgen.prose import Statement

__all__ = ["Names", "is_set_apart"]

_NOUNS = r"(?:screw|bolt|nut|stud|pin|spindle|bush|clamp|collar|ball)s?"
_NOUN = re.compile(_NOUNS)
_FASTENER = any_of((r"(?:set|grub|thumb|wing)?(?:screw|bolt|nut|stud|insert|tap|hole)s?",))
_PREPOSITION = re.compile(
    r",|\b(?:in|on|to|at|of|for|from|by|with|above|below|behind|beside|under|through|into|"
    r"that|which|near|nearer|farther|between|inside|outside|seen|and|one|two|three|four)\b"
)
# Words that say how a fastener works, not which one it is.
_GENERAL = frozenset(
    {
        *("set", "lock", "pinch", "grub", "thumb", "cap", "wing", "fixing", "clamp", "clamping"),
        *("securing", "adjusting", "retaining", "hub", "small", "large", "long", "short"),
        *("upper", "lower", "left", "right", "front", "rear", "the", "a"),
    }
)

# What sets a figure apart from the place that its sentence names: anywhere in the
# sentence, or before the figure in its own clause.
_ANYWHERE = any_of(
    (
        r"looks? (?:like|alike|almost|much)",
        r"mistak\w+",
        r"confus\w+",
        r"mix(?:ed|es|ing)?",
        r"swap\w*",
        r"interchang\w*",
        r"b(?:ind|inds|inding|ound)",
        r"strip(?:s|ped|ping)?",
        r"cross-?thread\w*",
        r"ruin\w*",
        r"tear\w*",
        r"torn",
        r"forc(?:e|es|ed|ing)",
        r"(?:will|do|does|did|can|could|should|must|is|are|would) not",
        r"\w+n['’]t",
        r"cannot",
        r"reproductions?",
        r"replicas?",
        r"over-?siz\w*",
        r"re-?tap\w*",
        r"tap(?:s|ped|ping)?",
        r"drill\w*",
        r"inserts?",
        r"adapt\w+",
        r"neighbou?r\w*",
        r"next to",
        r"beside",
        r"others?",
        r"another",
        r"differ\w*",
        r"unlike",
        r"similar\w*",
        r"alike",
        r"modern",
        r"substitut\w+",
        r"instead",
        r"wrong\w*",
        r"if",
        r"unless",
        r"would",
        r"used to",
        r"correct(?:ed|ion|ions)",
        r"former\w*",
        r"previous\w*",
        r"earlier",
    )
)
_BEFORE = any_of(
    (
        r"not",
        r"never",
        r"no",
        r"n[e]?ither",
        r"nor",
        r"rather than",
        r"than",
        r"was",
        r"were",
        r"once",
        r"called",
        r"sold as",
        r"listed as",
        r"says?",
        r"said",
        r"quotes?d?",
        r"beyond",
        r"above",
        r"below",
        r"over",
        r"under",
    )
)
_CLAUSE = re.compile(r"[,:;()–—]")


def is_set_apart(statement: Statement) -> bool:
    """Return whether a sentence says its figure of something other than what it names."""
    sentence = statement.sentence
    if _ANYWHERE.search(sentence):
        return True
    start = 0
    for mark in _CLAUSE.finditer(sentence, 0, statement.at):
        start = mark.end()
    return bool(_BEFORE.search(sentence, start, statement.at))


@dataclass(frozen=True, slots=True)
class _Name:
    pattern: re.Pattern[str]
    references: tuple[str, ...]


class Names:
    """The names of the rows of one or more registers."""

    def __init__(self, rows: Iterable[Row]) -> None:
        phrases: dict[str, list[str]] = {}
        for row in rows:
            for phrase in _phrases(row):
                phrases.setdefault(phrase, []).append(row.reference)
        longest_first = sorted(phrases, key=lambda phrase: (-len(phrase), phrase))
        self._names = tuple(
            _Name(_pattern(phrase), tuple(dict.fromkeys(phrases[phrase])))
            for phrase in longest_first
        )
        self._any = re.compile(
            "|".join(name.pattern.pattern for name in self._names) or r"(?!)", re.IGNORECASE
        )

    def rows_meant(self, statement: Statement) -> tuple[str, ...]:
        """Return the rows that a statement in words must agree with one of; none if unsure."""
        text = statement.sentence
        if statement.row:
            return self._called(statement.row)[0]
        references, rest = self._called(text, statement.at)
        if references:
            return () if _FASTENER.search(rest) else references
        return self._screwed_by(text, statement.at)

    def _screwed_by(self, text: str, figure_at: int) -> tuple[str, ...]:
        """Return the row of "the winder bracket takes a 9/64-40 screw"."""
        before = _TAKES.search(text, 0, figure_at)
        after = _FIGURE_NOUN.match(text, figure_at)
        if before is None or after is None:
            return ()
        if _FASTENER.search(text[: before.start()] + text[after.end() :]):
            return ()
        named = f"{text[: before.start()]} {after['noun']}"
        references, rest = self._called(named)
        return references if references and rest.endswith("·") else ()

    def _called(self, text: str, figure_at: int | None = None) -> tuple[tuple[str, ...], str]:
        """Return the rows that a text names, and the text without their names."""
        if not self._any.search(text):
            return (), text
        found: list[str] = []
        rest = text
        for name in self._names:
            for match in name.pattern.finditer(rest):
                if _owns_another(rest, match):
                    return (), text
                found += name.references
            rest = name.pattern.sub(lambda match: "·" * len(match[0]), rest)
        if figure_at is not None:
            rest = _without_its_noun(rest, figure_at)
        return tuple(dict.fromkeys(found)), rest


def _phrases(row: Row) -> Sequence[str]:
    """Return the phrases that name a row, each ending in a fastener's noun."""
    words = row.row.id.split("-")
    head = _PREPOSITION.split(row.row.where.lower())[0]
    head_words = [word for word in re.split(r"[\s\-‐‑]+", head.strip()) if word]
    found = []
    for phrase in (words, head_words):
        if phrase and phrase[0] in ("the", "a"):
            phrase = phrase[1:]
        telling = [word for word in phrase if word not in _GENERAL and not _NOUN.fullmatch(word)]
        if telling:
            found.append(" ".join(phrase))
    return found


def _pattern(phrase: str) -> re.Pattern[str]:
    words = phrase.split()
    last = words[-1]
    inner = [re.escape(word) for word in words[:-1]]
    if _NOUN.fullmatch(last):
        tail = re.escape(last.removesuffix("s")) + r"s?"
        tail = GAP.join([*inner, tail]) + rf"(?:{GAP}{_NOUNS})?"
    else:
        tail = GAP.join([*inner, re.escape(last)]) + rf"{GAP}{_NOUNS}"
    return re.compile(rf"(?<![^\W_])(?:{tail})(?![^\W_])", re.IGNORECASE)


_OF = re.compile(r"(?:['’]s?)\s(?!(?:thread|torque|tightness|size|pitch)\b)", re.IGNORECASE)


def _owns_another(text: str, match: re.Match[str]) -> bool:
    """Return whether the named place only owns what is spoken of: "the stud's nut"."""
    return bool(_OF.match(text, match.end()))


_FIGURE_NOUN = re.compile(rf"\S+(?:\s\S+)?\s(?P<noun>{_NOUNS})\b", re.IGNORECASE)
_TAKES = re.compile(
    r"\s(?:takes?|uses?|needs?|wants?|has|with|by)(?:\s(?:an?|one|two|its|the))?\s\Z",
    re.IGNORECASE,
)


def _without_its_noun(text: str, figure_at: int) -> str:
    """Return a text without the noun that its figure qualifies: "takes an M4x0.7 screw"."""
    match = _FIGURE_NOUN.match(text, figure_at)
    if match is None or "·" not in text[:figure_at]:
        return text
    return text[:figure_at] + "·" * (match.end() - figure_at) + text[match.end() :]
