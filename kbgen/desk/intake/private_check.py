"""The content held against the private file: nobody who is kept there is named in it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

from kbgen.desk.intake.private import ASKERS_PATH, Asker, load_askers
from kbgen.findings import Finding, finding
from kbgen.personal import PersonalKind, digits_of, is_full_name, personal_in

__all__ = ["private_findings"]

_REACHED = (PersonalKind.E_MAIL, PersonalKind.TELEPHONE)
_TEXTS = (".md", ".yaml", ".vtt", ".srt", ".tsv")
_WORD = re.compile(r"[^\W_]+(?:['’-][^\W_]+)*")


def private_findings(root: Path) -> Iterator[Finding]:
    """Yield each place in the content that names somebody who stands in the private file.

    Shape: full names, e-mail addresses and telephone numbers, in whatever case and
    grouping; nothing where there is no such file. The finding does not repeat them.
    Raises: OSError.
    """
    askers = load_askers(root / ASKERS_PATH)
    if not askers:
        return
    names = _by_first_word(askers)
    e_mails = {one.e_mail.casefold() for one in askers if one.e_mail}
    telephones = {digits_of(number) for one in askers for number in one.telephones}
    for path in sorted((root / "content").rglob("*")):
        if path.suffix in _TEXTS and path.is_file():
            text = path.read_text(encoding="utf-8", errors="replace").replace("\r\n", "\n")
            place = path.relative_to(root).as_posix()
            found = {*_names(text, names), *_contacts(text, e_mails, telephones)}
            for start, kind in sorted(found):
                yield _finding(place, text, start, kind)


def _by_first_word(askers: Iterable[Asker]) -> Mapping[str, set[tuple[str, ...]]]:
    names: dict[str, set[tuple[str, ...]]] = {}
    for one in askers:
        if is_full_name(one.name, any_case=True):
            last, comma, first = one.name.partition(",")
            words = tuple(map(str.casefold, _WORD.findall(f"{first} {last}" if comma else last)))
            names.setdefault(words[0], set()).add(words)
    return names


def _names(text: str, names: Mapping[str, set[tuple[str, ...]]]) -> Iterator[tuple[int, str]]:
    words = [(found.start(), found[0].casefold()) for found in _WORD.finditer(text)]
    for at, (start, word) in enumerate(words):
        for name in names.get(word, ()):
            if tuple(other for _, other in words[at : at + len(name)]) == name:
                yield start, str(PersonalKind.NAME)


def _contacts(text: str, e_mails: set[str], telephones: set[str]) -> Iterator[tuple[int, str]]:
    for one in personal_in(text, kinds=_REACHED):
        said = text[one.start : one.end]
        if (one.kind is PersonalKind.E_MAIL and said.casefold() in e_mails) or (
            one.kind is PersonalKind.TELEPHONE and digits_of(said) in telephones
        ):
            yield one.start, str(one.kind)


def _finding(path: str, text: str, start: int, kind: str) -> Finding:
    line = text.count("\n", 0, start) + 1
    return finding(
        "personal-data",
        path,
        line,
        start - text.rfind("\n", 0, start),
        f"this is the {kind} of somebody who stands in {ASKERS_PATH} and asked the workshop",
        "put the alias of the question here, or take it out",
    )
