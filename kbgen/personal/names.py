"""Full names of persons: in an alias, below a letter, and where somebody gives theirs.

A name alone cannot be told from an invented one. So two words of a name's form are taken
for a full name, but where the words around them say otherwise: an epithet (Old Moss), a
phrase (Lou from way out west), an initial (Otto K.). Common practice, no published source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

__all__ = ["full_names_in", "initials", "is_full_name", "name_words"]

_TITLES_SAID = """
    mr mrs ms miss mx dr prof sir dame lady lord rev herr frau mme mlle monsieur madame sr
    sra señor señora signor signora dhr mevr mevrouw
"""
_TITLES = frozenset(_TITLES_SAID.split())
_PARTICLES_SAID = """
    van von de der den del della di da dos du la le el al bin ibn ter ten
"""
_PARTICLES = frozenset(_PARTICLES_SAID.split())
# Words that make a phrase, or stand before a by-name.
_NO_NAMES_SAID = """
    a an and the my your our his her this that of from in on at with for no not to way out
    up old young big little wee nanna nana nan granny grandma grandpa grandad gran auntie
    aunt uncle cousin captain father mother sister brother team club workshop bench sewing
    repair repairs shop ltd inc anon anonymous user admin
"""
_NO_NAMES = frozenset(_NO_NAMES_SAID.split())
_NAME_WORD = re.compile(r"[^\W\d_]{2,}(?:['’-][^\W\d_]+)*\.?|[^\W\d_]['’][^\W\d_]+")
_JOINED = re.compile(r"[A-Z][a-z]{2,}[A-Z][a-z]{2,}|[a-z]{3,}\.[a-z]{3,}")
_WITHOUT_SPACES = re.compile("[\u3040-\u30ff\u3400-\u9fff\uac00-\ud7af]{3,6}")


def name_words(name: str) -> list[str]:
    """Return the words of a name that a person is known by, without titles."""
    return [word for word in name.split() if word.strip(".,").lower() not in _TITLES]


def is_full_name(alias: str, any_case: bool = False) -> bool:
    """Return whether a name by which somebody is called is, by its form, a full one.

    Shape: two to four words of letters, each with a capital unless ``any_case``, none
    of them an initial alone or a word of a phrase; or two names written as one word.
    """
    alias = re.sub(r"[\"“”„«»()\[\]]", " ", alias).replace(",", " ")
    words = name_words(alias)
    if len(words) == 1:
        return bool(_JOINED.fullmatch(words[0]) or _WITHOUT_SPACES.fullmatch(words[0]))
    if not 2 <= len(words) <= 5 or any(word.strip(".,").lower() in _NO_NAMES for word in words):
        return False
    names = 0
    for word in words:
        if word.lower() in _PARTICLES:
            continue
        if re.fullmatch(r"[^\W\d_]\.?(?:-?[^\W\d_]\.)*", word):
            continue
        if not _NAME_WORD.fullmatch(word) or not (any_case or _capital(word)):
            return False
        names += 1
    return names >= 2


def initials(name: str) -> str:
    """Return the initials of a name, ``H. B.``; a title stays, ``Mrs T.``."""
    last, comma, first = name.partition(",")
    name = f"{first} {last}" if comma and first.strip() else name
    title = name.split()[0].strip(".") if name.split() else ""
    kept = title if title.lower() in _TITLES and title.lower() not in ("sr", "sra") else ""
    words = re.findall(r"[^\W\d_]+(?:['’-][^\W\d_]+)*", _apart(" ".join(name_words(name))))
    shown = [word[0].upper() + "." for word in words if word.lower() not in _PARTICLES][:4]
    return " ".join([kept, *shown] if kept else shown)


def _apart(name: str) -> str:
    """Return two names that were written as one word as two."""
    if _JOINED.fullmatch(name):
        return re.sub(r"(?<=[a-z])(?=[A-Z])|\.", " ", name)
    return name


def _capital(word: str) -> bool:
    return not word[0].islower()


_ONE = r"[^\W\d_a-zß-öø-ÿ][^\W\d_]{0,30}(?:['’-][^\W\d_]{1,30}){0,3}\.?"
_LINK = r"(?:[ ]{1,3}(?:van|von|de|der|den|del|di|da|du|la|le|el|al|ter)){0,2}"
_NAME = rf"{_ONE}{_LINK}(?:[ ]{{1,3}}{_ONE}){{1,3}}"
_CLOSE = (
    r"(?:(?:with|kind|best|warm|warmest|many|very|yours|all|good|friendly)[ ]+){0,3}"
    r"(?:regards|wishes|greetings|thanks|truly|sincerely|faithfully|ever)(?:[ ]+(?:truly|again|from"
    r"|to[ ]you(?:[ ]both|[ ]all)?|in[ ]advance)){0,2}|sincerely|faithfully|cheers|love|thank[ ]you"
    r"|ta|respectfully|signed|(?:mit|viele|liebe|herzliche|beste|schöne)(?:[ ]\w+)?[ ]grüße?n?"
    r"|(?:bien[ ])?cordialement|amicalement|salutations|(?:un[ ])?saludos?(?:[ ]cordial(?:es)?)?"
    r"|atentamente|cordiali[ ]saluti|distinti[ ]saluti|met[ ]vriendelijke[ ]groet(?:en)?|groetjes"
    r"|med[ ](?:venlig|vänlig)[ ]hilsen|hälsningar|pozdrawiam|atenciosamente|с[ ]уважением"
)
_BELOW = re.compile(
    rf"(?im:^[ \t]*(?:.{{0,80}}[.!?,][ ]+)?(?:{_CLOSE})[ ]?[,.!:\u2013\u2014-]*[ \t]*)"
    r"(?:\n[ \t]*){0,3}"
    rf"[-\u2013\u2014]?[ ]?(?P<name>{_NAME})[ \t]*(?:$|[,\n(.])"
)
_DASHED = re.compile(rf"(?m:^[ \t]*[-\u2013\u2014~][ ]?(?P<name>{_NAME})[ \t]*$)")
_LAST = re.compile(rf"\n[ \t]*\n[ \t]*(?P<name>{_NAME})\s*\Z")
_GIVEN = re.compile(
    rf"""(?i:\bmy[ ](?:full[ ])?name(?:['’]s|[ ]is)|\bI[ ](?:am|was)[ ]called|\bje[ ]m['’]appelle
    |\bmein[ ]Name[ ]ist|\bich[ ]heiße|\bme[ ]llamo|\bmi[ ]chiamo|\bmijn[ ]naam[ ]is|\bsigned
    |^[ \t]*(?:name|from)[ ]?:)[ ]+(?P<name>{_NAME})""",
    re.VERBOSE | re.MULTILINE,
)
_SAID = re.compile(
    rf"\b(?:I am|I['’]m|[Tt]his is|[Hh]ere is|[Ii]t is)[ ](?P<name>{_NAME})"
    r"(?=[ ]?[,.!]|[ ](?:from|here|in|and I|writing|again)\b)"
)


def full_names_in(text: str) -> Iterator[tuple[int, int]]:
    """Yield where a text gives its writer's full name: below it, or in so many words."""
    for pattern in (_BELOW, _DASHED, _LAST, _GIVEN, _SAID):
        for found in pattern.finditer(text):
            if is_full_name(found["name"].rstrip(".")):
                yield found.span("name")
