"""Nothing is published that tells who asked, nor an address that nobody meant to publish.

In a question nothing at all is let through but the workshop's own contact. In every other
file an e-mail address or a telephone number stands only where the workshop says so: what
is written in ``workshop.yaml``, under ``contact``, ``about`` or ``public_contacts``, may
stand anywhere. Whether a name in a note is that of a maker, a shop or a person, nothing
can tell; the private file can, where there is one (see ``kbgen/desk/intake/private_check.py``).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from kbgen.checks.rule import Material
from kbgen.content import Question, RecordingFile, Source
from kbgen.content.models import Workshop
from kbgen.findings import Finding, finding
from kbgen.personal import (
    Personal,
    PersonalKind,
    digits_of,
    is_full_name,
    personal_in,
    region_of,
)

__all__ = ["given_away_in", "personal_data", "reached_in", "told_by"]

_CODE = "personal-data"
_REACHED = (PersonalKind.E_MAIL, PersonalKind.TELEPHONE)
_SAYS_SO = re.compile(
    r"\b(?:I (?:always )?sign|call me|known|go by|my (?:alias|handle|nickname|user ?name))\b",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class _Allowed:
    """What a workshop publishes on purpose: addresses in small letters, digits of numbers."""

    e_mails: frozenset[str]
    telephones: frozenset[str]
    by_names: frozenset[str]
    region: str

    @staticmethod
    def of(workshop: Workshop | None) -> _Allowed:
        if workshop is None:
            return _Allowed(frozenset(), frozenset(), frozenset(), "GB")
        region = region_of(workshop.language)
        said = "\n".join([workshop.contact, workshop.about or "", *workshop.public_contacts])
        found = personal_in(said, region, kinds=_REACHED)
        texts = [*(said[one.start : one.end] for one in found), *workshop.public_contacts]
        return _Allowed(
            frozenset(map(_plain, texts)),
            frozenset(filter(None, map(digits_of, texts))),
            frozenset(workshop.intake.by_names),
            region,
        )

    def holds(self, one: Personal, said: str) -> bool:
        """Return whether the workshop means to publish this."""
        if one.kind is PersonalKind.E_MAIL:
            return _plain(said) in self.e_mails
        return one.kind is PersonalKind.TELEPHONE and digits_of(said) in self.telephones


def personal_data(material: Material) -> Iterator[Finding]:
    """Report what tells who asked, and addresses that nobody meant to publish."""
    tree = material.tree
    allowed = _Allowed.of(tree.workshop)
    for question in tree.questions.values():
        yield from _in_question(question, allowed)
    others = [
        *(note.source for note in tree.notes.values()),
        *(file.source for file in tree.families.values()),
        *(file.source for file in tree.parts.values()),
        *(file.source for file in tree.recordings.values()),
    ]
    lists = (tree.threads_file, tree.hazards_file, tree.symptoms_file, tree.vocabulary_file)
    others += [file.source for file in lists if file is not None]
    for source in others:
        yield from _in_other(source, allowed)
    for recording in tree.recordings.values():
        yield from _in_captions(recording, allowed)


_DECLARE = (
    "take it out; if it is a shop's or a service's and pages shall name it, write it under "
    "public_contacts in content/workshop.yaml"
)


def _in_question(question: Question, allowed: _Allowed) -> Iterator[Finding]:
    source, front = question.source, question.front
    full = is_full_name(front.alias) and front.alias not in allowed.by_names
    if full and not (_SAYS_SO.search(question.body) and front.alias in question.body):
        place = source.place("alias")
        yield finding(
            _CODE,
            source.path,
            place.line,
            place.column,
            f"the alias `{front.alias}` has the form of a full name",
            "write initials; if it is an alias of the asker's own, list it under "
            "intake: by_names in content/workshop.yaml",
        )
    for one in given_away_in(source, allowed.region):
        text = source.text[one.start : one.end]
        if allowed.holds(one, text) or _is_address_of_page(source, one):
            continue
        yield _at(
            source,
            one,
            f"a question gives a {one.kind} away: {_one_line(text)}",
            "take it out of the words; kbgen intake does, and keeps it in the private file "
            "where that is wanted",
        )


def _in_other(source: Source, allowed: _Allowed) -> Iterator[Finding]:
    yield from told_by(source)
    for one in reached_in(source, allowed.region):
        text = source.text[one.start : one.end]
        if not (_is_address_of_page(source, one) or allowed.holds(one, text)):
            yield _at(source, one, f"this {one.kind} is about to be published: {text}", _DECLARE)


def given_away_in(source: Source, region: str) -> tuple[Personal, ...]:
    """Return everything in a file's text that tells who somebody is."""
    return source.once(
        f"given away, {region}", lambda: personal_in(source.text, region), of_all=True
    )


def reached_in(source: Source, region: str) -> tuple[Personal, ...]:
    """Return by what a file's text tells how somebody is reached."""
    return source.once(
        f"reached, {region}", lambda: personal_in(source.text, region, _REACHED), of_all=True
    )


def _in_captions(recording: RecordingFile, allowed: _Allowed) -> Iterator[Finding]:
    for caption in recording.captions:
        for one in personal_in(caption.text, allowed.region, _REACHED):
            said = caption.text[one.start : one.end]
            if not allowed.holds(one, said):
                place = caption.place_in(one.start)
                message = f"this {one.kind} is about to be published: {_one_line(said)}"
                path = recording.captions_path
                yield finding(_CODE, path, place.line, place.column, message, _DECLARE)


def told_by(source: Source) -> tuple[Finding, ...]:
    """Return a finding for each correction that thanks somebody by a full name."""
    return source.once("told by", lambda: tuple(_told_by(source)), of_all=True)


def _told_by(source: Source) -> Iterator[Finding]:
    if "told_by" not in source.text and "\\" not in source.text:  # a key may be written escaped
        return
    for path, mark in source.marks.items():
        if path and path[-1] == "told_by" and mark.value and is_full_name(mark.value):
            place = source.place(*path)
            yield finding(
                _CODE,
                source.path,
                place.line,
                place.column,
                f"a correction was told by `{mark.value}`, which has the form of a full name",
                "say by what part they know of it, such as a viewer, or write initials",
            )


def _plain(e_mail: str) -> str:
    return e_mail.casefold().removeprefix("mailto:").strip()


def _is_address_of_page(source: Source, one: Personal) -> bool:
    """Return whether it is part of a web address, as ``https://example.org/@marigold`` is."""
    start = max(0, one.start - 200)
    word = re.split(r"\s", source.text[start : one.start])[-1]
    return "://" in word


def _one_line(text: str) -> str:
    return " ".join(text.split())[:80]


def _at(source: Source, one: Personal, message: str, hint: str) -> Finding:
    text = source.text
    line = text.count("\n", 0, one.start) + 1
    column = one.start - text.rfind("\n", 0, one.start)
    return finding(_CODE, source.path, line, column, message, hint)
