"""Cautions: work that can hurt somebody carries the hazard that says so.

The words of a mains job are common practice, no published source; the parts of a
caution and the meaning of its signal word are those of ANSI Z535.6.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

from kbgen.checks.rule import Material
from kbgen.checks.words import any_of, beginnings, word_form
from kbgen.content import Note
from kbgen.content.models import Hazard, Signal
from kbgen.findings import Finding, finding
from kbgen.prose import Passage, passages_of
from kbgen.text import Span

__all__ = [
    "Call",
    "Calling",
    "calling_words",
    "calls_in",
    "cautions_called_for",
    "hazard_missing",
    "hazard_unknown",
    "hazard_without_consequence",
    "mains_job",
    "mains_work",
    "words_calling",
]

Calling = tuple[tuple[str, tuple[str, ...]], ...]
"""Hazards by id with the words that call for them, sorted."""


class _Word(NamedTuple):
    """A word of a note, and where it stands."""

    word: str
    line: int
    column: int


_HAZARDS = "content/hazards.yaml"

# Work on whatever carries mains voltage. Words for the supply as such stand apart:
# "unplug it from the mains" is no mains job but the caution itself.
_JOB_WORDS = (
    r"re-?wir(?:e|es|ed|ing)",
    r"wiring",
    r"earth(?:s|ed|ing)?(?! tone| colour)",
    r"(?:missing|no) ground",
    r"ground(?:ing)? (?:wire|lead|pin|conductor)s?",
    r"(?:the|an?|its|this|that|your|old|new|and|or|with|of|mains|lamp|motor|\w+ed|\w+-core) flex",
    r"flex (?:lead|cord|and|has|is|was|or)",
    r"(?:mains|power|supply) (?:lead|cable|cord|flex|switch|plug|socket|inlet|terminal)s?",
    r"cord grips?",
    r"lamp[ -]?holders?",
    r"terminal (?:block|strip|screw)s?",
    r"(?:live|neutral) (?:wire|lead|conductor|terminal|part|side|core|pin)s?",
    r"(?:bare|perished|cracked) (?:wire|lead|conductor|insulation|cable|cord)s?",
    r"(?:two|three|2|3)[ -](?:core|pin|wire)",
    r"insulation",
    r"capacitors?",
    r"suppress(?:or|ors|ion)",
    r"motor leads?",
    r"field coils?",
    r"(?:motor|field|armature) windings?",
    r"fuses?",
    r"plug (?:wiring|top)s?",
    r"(?:fit|change|replace|wire|wires|wired|wiring) (?:a |the |up )?(?:new )?plug",
    r"electric shock",
    r"(?:10[05]|11\d|12\d|2[0-5]\d)(?:\s?(?:-|–|to|or|/)\s?\d{3})?\s?(?:v|volts?)(?:\s?ac)?",
)
_SUPPLY_WORDS = (r"mains",)
_SUPPLY = any_of((*_SUPPLY_WORDS, r"mains plugs?", r"plug\w*", r"unplug\w*", r"power", r"sockets?"))
_ANY_MAINS = any_of((*_JOB_WORDS, *_SUPPLY_WORDS))
_ANY_MAINS_SMALL = any_of((*_JOB_WORDS, *_SUPPLY_WORDS), flags=0)
# Letters of which one stands in each of these words, and what a voltage ends in.
_TELLING = (
    "wir", "earth", "ground", "flex", "mains", "power ", "supply ", "cord grip", "holder",
    "terminal", "live", "neutral", "bare", "perished", "cracked", "-core", " core", "-pin", " pin",
    "insul", "capac", "suppress", "motor lead", "field coil", "winding", "fuse", "plug", "shock",
)  # fmt: skip
_VOLTS = re.compile(r"v(?:(?<=\dv)|(?<=\d v))")  # by its v, which is rarer than figures
_OF_ANY_LENGTH = ("ed flex", "-core flex")
_REACH = 40  # code points of the longest of the others
_UNPLUGGING = re.compile(
    r"\bunplug|\b(?:pull|take|draw)\w*\b[^.;]*\bplug\b|\bplug\b[^.;]*\bout\b"
    r"|\b(?:disconnect|isolate|remove|off|away)\w*\b[^.;]*\bmains\b|\bmains\b[^.;]*\b(?:off|out)\b",
    re.IGNORECASE,
)
_SENTENCE_END = re.compile(r"[.!?;](?:\s|$)")
_ABOUT_MAINS = any_of((*_SUPPLY_WORDS, r"electric\w*", r"live (?:wire|part|casting)s?", r"voltage"))


@dataclass(frozen=True, slots=True)
class Call:
    """Words of a note that call for a caution which it does not carry.

    Shape: ``word`` stands at ``line`` and ``column``; one of ``hazards`` (ids) would do.
    """

    note: Note
    word: str
    line: int
    column: int
    hazards: tuple[str, ...]


def cautions_called_for(material: Material) -> Iterator[Call]:
    """Yield what calls for a caution that its note does not carry; mains work first."""
    yield from _mains_calls(material)
    yield from _calls(material)


def mains_work(material: Material) -> Iterator[Finding]:
    """Report a note whose text is a mains job and that carries no caution about the mains."""
    for call in _mains_calls(material):
        named = ", ".join(call.hazards)
        yield finding(
            "mains-work-without-caution",
            call.note.source.path,
            call.line,
            call.column,
            f"`{call.word}` makes this note work on the mains, and it carries no caution about "
            "the mains (common practice, no published source)",
            f"add one of these under hazards: {named}"
            if named
            else "declare a hazard of the mains in content/hazards.yaml and name it under hazards",
        )


def _mains_calls(material: Material) -> Sequence[Call]:
    return material.joined("mains", lambda: tuple(_find_mains_calls(material)))


def _find_mains_calls(material: Material) -> Iterator[Call]:
    if _HAZARDS in material.broken:
        return
    cautions = {hazard.id for hazard in material.tree.hazards.values() if _is_mains(hazard)}
    for note in material.tree.notes.values():
        found = None if cautions.intersection(note.front.hazards) else mains_job(note)
        if found is not None:
            yield Call(note, *found, tuple(sorted(cautions)))


def mains_job(note: Note) -> _Word | None:
    """Return the first word that makes a note work on the mains, with line and column."""

    def found() -> _Word | None:
        return _first(passages_of(note), _ANY_MAINS) if _may_be_mains(note.source.text) else None

    return note.source.once("mains job", found, of_all=True)


def _may_be_mains(text: str) -> bool:
    """Return whether a text holds a word of a mains job; most do not, and are known at sight."""
    low = text.lower()
    for mark in "*_`>":  # a reader sees none of them, nor where a line ends
        low = low.replace(mark, " ")
    low = " ".join(low.split())
    if _VOLTS.search(low) or any(letters in low for letters in _OF_ANY_LENGTH):
        return True
    return any(
        _ANY_MAINS_SMALL.search(low, max(0, at - _REACH), at + _REACH)
        for letters in _TELLING
        for at in _places_of(letters, low)
    )


def _places_of(letters: str, text: str) -> Iterator[int]:
    at = text.find(letters)
    while at >= 0:
        yield at
        at = text.find(letters, at + 1)


def _is_mains(hazard: Hazard) -> bool:
    if hazard.signal is Signal.NOTICE:  # ANSI Z535.6: a notice is not about persons
        return False
    texts = (hazard.id, hazard.hazard, hazard.avoid, *hazard.calls_for)
    return any(_ABOUT_MAINS.search(text) for text in texts)


def hazard_missing(material: Material) -> Iterator[Finding]:
    """Report a note that holds the words a hazard is called for by, and does not carry it."""
    for call in _calls(material):
        hazard = material.tree.hazards[call.hazards[0]]
        yield finding(
            "hazard-missing",
            call.note.source.path,
            call.line,
            call.column,
            f"`{call.word}` calls for the caution {hazard.id} "
            f"(content/hazards.yaml: {hazard.signal}), which this note does not carry",
            f"add {hazard.id} under hazards, or narrow its calls_for",
        )


def _calls(material: Material) -> Iterator[Call]:
    """Yield the words of notes that hazards list under ``calls_for``."""
    hazards = material.tree.hazards
    calling = calling_words((one.id, one.calls_for) for one in hazards.values())
    if not calling:
        return
    unwarned = {call.note.number for call in _mains_calls(material)}
    for note in material.tree.notes.values():
        for name, place in words_calling(note, calling):
            if not (note.number in unwarned and _is_mains(hazards[name])):
                yield Call(note, *place, (name,))


def calling_words(hazards: Iterable[tuple[str, Iterable[str]]]) -> Calling:
    """Return the hazards that are called for by words, by id. Shape: ids with their words."""
    found = ((name, tuple(word.strip() for word in words)) for name, words in hazards)
    return tuple(sorted((name, words) for name, words in found if words))


def words_calling(note: Note, calling: Calling) -> tuple[tuple[str, _Word], ...]:
    """Return the hazards (ids) that a note is without and that words of it call for, sorted.

    Shape: each with the first of its words, and their line and column.
    """

    def found() -> Iterator[tuple[str, _Word]]:
        low = note.source.text.lower()
        without = ((name, words) for name, words in calling if name not in note.front.hazards)
        wanted = [(name, words) for name, words in without if _stand_in(low, words)]
        passages = tuple(passages_of(note)) if wanted else ()
        for name, words in wanted:
            place = _first(passages, _pattern(words))
            if place is not None:
                yield name, place

    named = f"called for, {_name_of(calling)}"
    return note.source.once(named, lambda: tuple(found()), of_all=True)


def _stand_in(low: str, words: tuple[str, ...]) -> bool:
    pattern = _pattern(words)
    return any(
        pattern.match(low, at) for start in beginnings(words) for at in _places_of(start, low)
    )


@lru_cache(maxsize=256)
def _pattern(words: tuple[str, ...]) -> re.Pattern[str]:
    return any_of(map(word_form, words))


@lru_cache(maxsize=4)
def _name_of(calling: Calling) -> str:
    return hashlib.blake2b(repr(calling).encode(), digest_size=8).hexdigest()


def calls_in(
    material: Material, passages: Sequence[Passage], carried: Collection[str]
) -> Iterator[tuple[str, int, int, tuple[str, ...]]]:
    """Yield what a text of ours calls for, beside the cautions that are carried with it.

    Shape: the words with line and column, and the hazards (ids) of which one would do.
    """
    if _HAZARDS in material.broken:
        return
    hazards = material.tree.hazards.values()
    mains = tuple(sorted(hazard.id for hazard in hazards if _is_mains(hazard)))
    job = None if set(mains) & set(carried) else _first(passages, _ANY_MAINS)
    if job is not None:
        yield (*job, mains)
    for hazard in hazards:
        if hazard.id in carried or not hazard.calls_for or (job and hazard.id in mains):
            continue
        found = _first(passages, any_of(map(word_form, hazard.calls_for)))
        if found is not None:
            yield (*found, (hazard.id,))


def _first(passages: Iterable[Passage], words: re.Pattern[str]) -> _Word | None:
    """Return the first of the words in the texts of a note, with line and column.

    The words of a link are about where it leads, and a sentence that only says to
    pull the plug is the caution itself.
    """
    for passage in passages:
        for match in words.finditer(passage.text):
            span = Span(match.start(), match.end())
            if any(link.start <= span.start < link.end for link in passage.links):
                continue
            if _only_unplugs(passage.text, match):
                continue
            place = passage.place_of(match.start())
            return _Word(match[0], place.line, place.column)
    return None


def _only_unplugs(text: str, match: re.Match[str]) -> bool:
    ends = [end.end() for end in _SENTENCE_END.finditer(text)]
    start = max((end for end in ends if end <= match.start()), default=0)
    stop = min((end for end in ends if end > match.start()), default=len(text))
    return bool(_UNPLUGGING.search(text, start, stop)) and bool(_SUPPLY.fullmatch(match[0]))


def hazard_unknown(material: Material) -> Iterator[Finding]:
    """Report a note that names a hazard that is not declared."""
    if _HAZARDS in material.broken:
        return
    for note in material.tree.notes.values():
        for number, name in enumerate(note.front.hazards):
            if name not in material.tree.hazards:
                place = note.source.place("hazards", number)
                known = ", ".join(material.tree.hazards) or "none"
                yield finding(
                    "hazard-unknown",
                    note.source.path,
                    place.line,
                    place.column,
                    f"there is no hazard {name} in content/hazards.yaml",
                    f"declared are: {known}",
                )


def hazard_without_consequence(material: Material) -> Iterator[Finding]:
    """Report a danger, a warning or a caution that does not say what happens."""
    file = material.tree.hazards_file
    for number, hazard in enumerate(file.model if file else ()):
        if file and hazard.signal is not Signal.NOTICE and hazard.consequence is None:
            place = file.source.place(number)
            yield finding(
                "hazard-without-consequence",
                file.source.path,
                place.line,
                place.column,
                f"the {hazard.signal} {hazard.id} does not say what happens to who ignores it "
                "(ANSI Z535.6: hazard, consequence, avoidance)",
                "add a consequence; only a notice may go without",
            )
