"""Which registered place a sentence names, and whether it says what that place has.

The rule, in plain words. A sentence is about a registered place of one of its note's
families when it links to the row, or when it names the row: by the words of its id or
by the words of its ``where`` up to the first preposition, ending in a fastener's noun
("needle clamp screw"). A sentence in words says what the place has only if it names
no other screw, nut, stud, hole or tap besides, and if nothing in it sets the figure
apart (see ``apart``). Then every thread and torque in it must be the register's. Of
several places named, each has the figure that stands beside it where places and figures
take turns; else the figure must be that of one of them. Two rows of the same name are
both meant.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from kbgen.checks.rule import Row
from kbgen.checks.words import GAP, any_of
from kbgen.prose import Statement

__all__ = ["Names"]

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


@dataclass(frozen=True, slots=True)
class _Name:
    pattern: re.Pattern[str]
    references: tuple[str, ...]


@dataclass(frozen=True, slots=True, order=True)
class _Mention:
    """A place that a text names: where, and which rows it may be."""

    start: int
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

    def rows_meant(self, statement: Statement, figures_at: Sequence[int] = ()) -> tuple[str, ...]:
        """Return the rows that a statement in words must agree with one of; none if unsure.

        Shape: ``figures_at`` are the places in the sentence of all its figures of this
        kind, in order.
        """
        if statement.row:
            return _all(self._mentions(statement.row)[0])
        text, at = statement.sentence, statement.at
        mentions, rest = self._mentions(text)
        if not mentions:
            return self._screwed_by(text, at)
        if _FASTENER.search(_without_its_noun(rest, at)):
            return ()
        return _paired(mentions, figures_at, at) or _all(mentions)

    def _screwed_by(self, text: str, figure_at: int) -> tuple[str, ...]:
        """Return the row of "the winder bracket takes a 9/64-40 screw"."""
        before = _TAKES.search(text, 0, figure_at)
        after = _FIGURE_NOUN.match(text, figure_at)
        if before is None or after is None:
            return ()
        if _FASTENER.search(text[: before.start()] + text[after.end() :]):
            return ()
        mentions, rest = self._mentions(f"{text[: before.start()]} {after['noun']}")
        return _all(mentions) if rest.endswith("·") else ()

    def _mentions(self, text: str) -> tuple[list[_Mention], str]:
        """Return the places that a text names, in order, and the text without their names."""
        found: list[_Mention] = []
        rest = text
        for name in self._names if self._any.search(text) else ():
            for match in name.pattern.finditer(rest):
                if _owns_another(rest, match):
                    return [], text
                found.append(_Mention(match.start(), name.references))
            rest = name.pattern.sub(lambda match: "·" * len(match[0]), rest)
        return sorted(found), rest


def _all(mentions: Iterable[_Mention]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(row for mention in mentions for row in mention.references))


def _paired(mentions: Sequence[_Mention], figures_at: Sequence[int], at: int) -> tuple[str, ...]:
    """Return the rows of the place whose figure stands at ``at``, where each has its own.

    "The stud is A and the bolt B", or "A for the stud, B for the bolt": as many figures
    as places, turn by turn.
    """
    places = [mention.start for mention in mentions]
    if len(places) < 2 or len(places) != len(figures_at):
        return ()
    first, second = (places, figures_at) if places[0] < figures_at[0] else (figures_at, places)
    turns = [place for pair in zip(first, second, strict=True) for place in pair]
    return mentions[figures_at.index(at)].references if turns == sorted(turns) else ()


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
    r"\s(?:takes?|uses?|needs?|wants?|has|have|is|are|with|by)(?:\s(?:an?|one|two|its|the))?\s\Z",
    re.IGNORECASE,
)


def _without_its_noun(text: str, figure_at: int) -> str:
    """Return a text without the noun that its figure qualifies: "takes an M4x0.7 screw"."""
    match = _FIGURE_NOUN.match(text, figure_at)
    if match is None or not _TAKES.search(text, 0, figure_at) or "·" not in text[:figure_at]:
        return text
    return text[:figure_at] + "·" * (match.end() - figure_at) + text[match.end() :]
