"""Which files a content tree holds, and how they are named."""

from __future__ import annotations

import re
import unicodedata

__all__ = [
    "ID_NAME",
    "NOTE_NAME",
    "QUESTION_NAME",
    "is_reserved",
    "is_scrap",
    "note_name_hint",
    "number_of",
    "question_name_hint",
    "question_number_of",
    "slug_of",
]

NOTE_NAME = re.compile(r"^(?P<number>[0-9]{4,6})-(?P<slug>[a-z0-9]+(?:-[a-z0-9]+)*)\.md$")
QUESTION_NAME = re.compile(r"^Q(?P<number>[0-9]{4,6})-(?P<slug>[a-z0-9]+(?:-[a-z0-9]+)*)\.md$")
ID_NAME = re.compile(r"^[a-z0-9]+(?:-[a-z0-9]+)*$")

_DEVICE = re.compile(r"(?:con|prn|aux|nul|com[0-9¹²³]|lpt[0-9¹²³])[ ]*(?:\.|$)", re.IGNORECASE)
_SCRAP = re.compile(
    r"^\.|~$|^#.*#$|\.(?:swp|swo|bak|orig|rej|tmp)$|^(?:Thumbs\.db|desktop\.ini|Icon\r)$"
)


def is_reserved(name: str) -> bool:
    """Return whether a name is a device on another system, whatever ending it has.

    Source: Microsoft, Naming Files, Paths, and Namespaces.
    """
    return _DEVICE.match(name) is not None


def number_of(name: str) -> int:
    """Return the number that a note's file name states in the one right way, else 0."""
    return _number(NOTE_NAME.match(name))


def question_number_of(name: str) -> int:
    """Return the number that a question's file name states in the one right way, else 0."""
    return _number(QUESTION_NAME.match(name))


def _number(found: re.Match[str] | None) -> int:
    number = int(found["number"]) if found else 0
    return number if found and found["number"] == f"{number:04}" else 0


def is_scrap(name: str) -> bool:
    """Return whether a file was left by an editor or a desktop, or is hidden."""
    return _SCRAP.search(name) is not None


def slug_of(words: str) -> str:
    """Return words as a file name has them: small letters, digits, single hyphens."""
    plain = unicodedata.normalize("NFKD", words).encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:60].strip("-")


def note_name_hint(name: str) -> str:
    """Return a hint with the name that a wrongly named note might have."""
    stem = name.removesuffix(".md")
    found = re.match(r"^0*([0-9]{1,6}(?![0-9]))?(.*)$", stem, re.DOTALL)
    number = int(found[1]) if found and found[1] else 0
    words = slug_of(found[2]) if found else ""
    if number and words:
        return f"name it {number:04}-{words}.md"
    return "name it by its number and a few words, such as 0017-winder-tyre-slips.md"


def question_name_hint(name: str) -> str:
    """Return a hint with the name that a wrongly named question might have."""
    found = re.match(r"^[Qq]?0*([0-9]{1,6}(?![0-9]))(.*)$", name.removesuffix(".md"), re.DOTALL)
    number, words = (int(found[1]), slug_of(found[2])) if found else (0, "")
    if number and words:
        return f"name it Q{number:04}-{words}.md"
    return "name it by Q, its number and a few words, such as Q0017-winder-slips.md"
