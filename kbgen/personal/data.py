"""What tells who somebody is: e-mail addresses, telephone numbers, streets, full names.

Detectors over plain text, for intake, which takes such things out, and for the check
that refuses a tree in which one is left. What looks alike in this trade is told apart:
serial and part numbers, thread sizes, dates and prices are no telephone numbers.

Source: RFC 5321, sections 2.3.11 and 4.5.3 (e-mail addresses); ITU-T E.164 by way of the
phonenumbers package (telephone numbers); Universal Postal Union, S42 (parts of a postal
address). Which words announce a number is common practice, no published source.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass
from enum import StrEnum

from kbgen.personal.names import full_names_in
from kbgen.text import Span

__all__ = ["CONTACTS", "Personal", "PersonalKind", "digits_of", "personal_in", "region_of"]


class PersonalKind(StrEnum):
    """What kind of personal data it is."""

    E_MAIL = "e-mail address"
    TELEPHONE = "telephone number"
    POSTAL = "postal address"
    NAME = "full name"


@dataclass(frozen=True, slots=True, order=True)
class Personal:
    """A stretch of a text that tells who somebody is, as code points from 0."""

    start: int
    end: int
    kind: PersonalKind


CONTACTS = (PersonalKind.E_MAIL, PersonalKind.TELEPHONE, PersonalKind.POSTAL)
"""What somebody is reached by."""


def personal_in(
    text: str, region: str = "GB", kinds: Collection[PersonalKind] = tuple(PersonalKind)
) -> tuple[Personal, ...]:
    """Return the personal data in a text, in order; none overlaps another.

    Shape: ``region`` is the ISO 3166 code of the country whose numbers are written
    without a country code; only ``kinds`` are looked for.
    """
    found: list[Personal] = []
    for kind, look in _LOOKS.items():
        if kind in kinds:
            found += look(text, region)
    kept: list[Personal] = []
    for one in sorted(found, key=lambda one: (one.start, -one.end)):
        if not kept or one.start >= kept[-1].end:
            kept.append(one)
    return tuple(kept)


def digits_of(telephone: str) -> str:
    """Return the digits that tell a telephone number from another: its last nine."""
    return re.sub(r"\D", "", telephone)[-9:]


def region_of(language: str) -> str:
    """Return the country of a language tag, by the language itself where it names none."""
    tags = language.split("-")
    for tag in tags[1:]:
        if len(tag) == 2 and tag.isalpha():
            return tag.upper()
    return {"en": "GB", "da": "DK", "sv": "SE", "cs": "CZ", "ja": "JP", "el": "GR"}.get(
        tags[0].lower(), tags[0].upper()[:2]
    )


# The last part of a domain has letters; a full stop after it ends a sentence.
_E_MAIL = re.compile(
    r"""(?<![\w.+-])(?:mailto:)?
    [\w.+%'’-]{1,64}
    (?: @ | [ ]?[\[({][ ]?(?:at|@)[ ]?[\])}][ ]? )
    (?:[^\W_](?:[\w-]{0,62}) (?: \. | [ ]?[\[({][ ]?(?:dot|\.)[ ]?[\])}][ ]? )){1,8}
    [^\W\d_]{2,24}(?![\w-])""",
    re.VERBOSE | re.IGNORECASE,
)
_E_MAIL_SPELT = re.compile(
    r"(?<![\w.+-])[\w.+-]{1,64} at (?:[\w-]{1,63} dot ){1,6}[a-z]{2,24}\b", re.IGNORECASE
)


_BRACKETED = re.compile(r"at(?<!\wat) ?[\])}]")  # a search is quick by letters at its beginning


def _e_mails(text: str, _region: str) -> Iterator[Personal]:
    low = text.lower()
    patterns = []
    if "@" in text or _BRACKETED.search(low):
        patterns.append(_E_MAIL)
    if " dot " in low:  # "at" alone is in every text
        patterns.append(_E_MAIL_SPELT)
    for pattern in patterns:
        for found in pattern.finditer(text):
            yield Personal(found.start(), found.end(), PersonalKind.E_MAIL)


_DIGITS = re.compile(r"\d(?:[ \t().\-/\u00a0\u2010-\u2014]{0,3}\d){5,}")
_ANNOUNCING = r"""
    (?:tel(?:[eé]fon\w*|ephone|[eé]phone)?|phone|ph|call|ring|rung|mob(?:ile)?|cell(?:phone)?
      |fax|whats?app|handy|rufen|anruf\w*|appel\w*|dial|reach[ ]me|portable|landline|voicemail
      |(?:my|our|home|work|contact|her|his)[ ](?:number|no\.?))"""
_TEXTING = r"text(?:[ ](?:me|us))?(?:[ ](?:on|at|to))?[ ]?:?[ ]*"
_SIGNS = "[\u260e\u2706\U0001f4de]"
_ANNOUNCED = re.compile(
    rf"(?:\b{_ANNOUNCING}\b|{_SIGNS})[^\d\n]{{0,24}}\n?\Z | \b{_TEXTING}\n?\Z",
    re.VERBOSE | re.IGNORECASE,
)
_MAY_ANNOUNCE = re.compile(rf"{_ANNOUNCING}|{_SIGNS}|{_TEXTING}", re.VERBOSE | re.IGNORECASE)
_NUMBERED = re.compile(
    r"""(?:\b(?:serial|number(?:ed|s)?|numb|no|nos|nr|num|part|parts|model|ref(?:erence)?|lot|order
      |invoice|isbn|ean|upc|stamped|badge|plate|machine|pat(?:ent)?|item|sku|seriennummer|cat(?:alogue)?
      |code|stock|bed|arm|motor|head|base|casting|drawing|needle|bobbin|type|class|batch|tracking
      |parcel|leaflet|manual|form|page)\b|[#\u2116°])
      [.:]?[ ]?(?:is|was|says|reads|of|no\.?|nr\.?|numbers?|begins|starts)?[ .:="'“‘(]*\n?\Z
    | \d[ ](?:to|till|until|through)[ ]\n?\Z""",
    re.VERBOSE | re.IGNORECASE,
)
_IN_A_WORD = re.compile(r"(?:[\w/@=#%$£€&?~^-]|[\w/][.:,])\Z")
_AFTER_A_NUMBER = re.compile(
    r"[ ]?(?:mm|cm|m|in|inch(?:es)?|tpi|kg|g|lb|oz|rpm|v|w|hz|n·m|nm|°|%|€|£|\$|€|eur|gbp|usd"
    r"|pounds?|stitches|hours|years|miles|machines|["
    r'"″′’])(?![\w])|[\w@]|-\w|/\d',
    re.IGNORECASE,
)
_SHAPES = tuple(
    re.compile(shape)
    for shape in (
        r"\+[1-9]\d{0,2}(?:\D{0,3}\d){6,13}",
        r"00[1-9]\d{0,2}(?:\D{1,3}\d{2,}|\d)(?:\D{0,3}\d){6,12}",
        r"\(0\d{2,5}\) ?(?:\d{3,8}|\d{2,4}(?:[ -]\d{2,4}){1,3})",
        r"0\d{2,5}[ /-] ?(?:\d{5,8}|\d{2,4}(?:[ -]\d{2,4}){1,3})",
        r"0\d{9,10}",
        r"0\d(?:[ .-]\d\d){4}",
        r"(?:1[ .-])?(?:\([2-9]\d\d\) ?|[2-9]\d\d([ .-]))[2-9]\d\d[ .-]\d{4}",
    )
)
_EXTENSION = 12  # code points after a number in which its extension may stand
_BEFORE = 40  # code points before a number in which stands what it is
_FEWEST = 9  # digits of a number that nothing announces; shorter ones are local


def _telephones(text: str, region: str) -> Iterator[Personal]:
    runs = [run for run in _runs_of_digits(text) if _may_be_telephone(text, run)]
    if not runs:
        return
    import phonenumbers  # most texts have nothing for it to read

    known = region if region in phonenumbers.SUPPORTED_REGIONS else "GB"
    for run in runs:
        begin = max(0, run.start - 1)
        stretch = text[begin : run.end + _EXTENSION]
        for country in (known, "US"):
            possible = phonenumbers.PhoneNumberMatcher(
                stretch, country, phonenumbers.Leniency.POSSIBLE, max_tries=20
            )
            for found in possible:
                start, end = begin + found.start, begin + found.end
                if start < run.end and _is_telephone(text, start, end):
                    yield Personal(start, end, PersonalKind.TELEPHONE)


def _runs_of_digits(text: str) -> Iterator[Span]:
    for found in _DIGITS.finditer(text):
        start, end = found.span()
        yield Span(start - 1 if text[max(0, start - 1)] in "+(" else start, end)


def _may_be_telephone(text: str, run: Span) -> bool:
    """Return whether a number that begins in a run of digits can be one; days mostly cannot.

    What is none of the three here is none to ``_is_telephone`` either. No number goes on
    in another line; the words that announce it may end the line before.
    """
    end = text.find("\n", run.end, run.end + _EXTENSION)
    near = text[max(0, run.start - 1) : run.end + _EXTENSION if end < 0 else end]
    if "+" in near or sum(mark.isdigit() for mark in near) >= _FEWEST:
        return True
    line = max(0, run.start - _BEFORE - 1, text.rfind("\n", 0, max(0, run.start - 1)) + 1)
    return _MAY_ANNOUNCE.search(text, line, run.end) is not None


def _is_telephone(text: str, start: int, end: int) -> bool:
    """Return whether a possible number is one, by its shape and by what stands around it."""
    before, written = text[max(0, start - _BEFORE) : start], text[start:end].strip()
    if _IN_A_WORD.search(before) or _AFTER_A_NUMBER.match(text, end):
        return False
    if _ANNOUNCED.search(before):
        return True
    if written.startswith("+"):
        return _SHAPES[0].match(written) is not None
    if _NUMBERED.search(before):
        return False
    digits = sum(mark.isdigit() for mark in written)
    plain = re.split(r"[ ,;]*(?:ext?\.?|x|#)[ .:]*\d+$", written, flags=re.IGNORECASE)[0]
    return digits >= _FEWEST and any(shape.fullmatch(plain) for shape in _SHAPES)


_STREET_WORDS = (
    "Street|St|Road|Rd|Lane|Ln|Avenue|Ave|Close|Drive|Dr|Court|Crescent|Cres|Terrace|Gardens|Grove"
    "|Way|Place|Square|Hill|Row|Walk|Mews|Boulevard|Blvd|Highway|Parade|Rise|Quay|Parkway|Pkwy"
)
_CAPITAL = r"[^\W\d_a-zß-öø-ÿ][\w'’.-]{0,30}"
_STREETS = (
    rf"(?<![\w./-])\d{{1,5}}[A-Za-z]?,?[ ]+(?:{_CAPITAL}[ ]+){{1,3}}(?:{_STREET_WORDS})\b",
    r"\b[A-ZÄÖÜ][\w-]{1,40}(?:straße|strasse|str\.|weg|gasse|platz|allee|straat|laan|gracht|vägen"
    r"|gatan|vej|gade)[ ]+\d{1,4}[a-z]?\b",
    r"(?<![\w./-])\d{1,4}(?:[ ]?bis)?,?[ ]+(?:rue|avenue|boulevard|chemin|impasse|allée|quai)[ ]+"
    r"(?:[dl]['’]|de[ ]|du[ ]|des[ ]|la[ ]|le[ ]|les[ ]){0,3}[^\W\d_]\w{1,30}",
    r"\b(?:Calle|Avenida|Via|Viale|Piazza|Corso|Rua|Plaza|Ulica|ul\.)[ ]+"
    rf"(?:(?:de|del|della|dei|di|da|do|dos|la|las|los)[ ]+){{0,3}}(?:{_CAPITAL}[ ]+){{0,2}}"
    rf"{_CAPITAL},?[ ]+(?:n\.?º?[ ]?)?\d{{1,4}}\b",
    r"\b(?:P\.?[ ]?O\.?[ ]?Box|Postfach|Apartado|Boîte postale)[ ]+\d{1,6}\b",
)
_POSTCODES = (
    # Royal Mail; a BA number after M4 is a thread, and not a place in Manchester.
    r"\b[A-Z]{1,2}\d[A-Z\d]?[ ]\d(?!BA\b)[ABD-HJLNP-UW-Z]{2}\b",
    r"\b[A-Z][a-z]+(?:[ ][A-Z][a-z]+){0,2},[ ](?:A[KLRZ]|C[AOT]|D[CE]|FL|GA|HI|I[ADLN]|K[SY]|LA"
    r"|M[ADEINOST]|N[CDEHJMVY]|O[HKR]|PA|RI|S[CD]|T[NX]|UT|V[AT]|W[AIVY])[ ]\d{5}(?:-\d{4})?\b",
    r"\b(?:D|A|CH|F|NL|B|I|E|PL|DK|S|N)-\d{4,5}[ ][^\W\d_][\w-]{1,40}",
    r"\b\d{4}[ ][A-Z]{2}[ ][A-Z][a-z]{2,30}\b",
)
_STREET = re.compile("|".join(_STREETS))
_POSTCODE = re.compile("|".join(_POSTCODES))
_TOWN = re.compile(r"\d{4,5}[ ][^\W\d_][\w-]{1,40}(?:[ ]\w{1,30}){0,2}")
_FAR = 90  # code points at most from a street to its postcode


def _addresses(text: str, _region: str) -> Iterator[Personal]:
    """Yield streets, each with the town below or beside it, and postcodes that stand alone."""
    for street in _STREET.finditer(text):
        near = text[street.end() : street.end() + _FAR]
        end = street.end()
        code = _POSTCODE.search(near)
        if code and _one_address(near[: code.start()]):
            end += code.end()
        elif town := re.match(rf"[ ]*[,\n][ ]*(?:{_TOWN.pattern})", near):
            end += town.end()
        yield Personal(street.start(), end, PersonalKind.POSTAL)
    for code in _POSTCODE.finditer(text):
        yield Personal(code.start(), code.end(), PersonalKind.POSTAL)


def _one_address(between: str) -> bool:
    """Return whether what stands between street and postcode is the town, not a sentence."""
    return re.fullmatch(rf"(?:[ ]*[,\n]?[ ]*(?:{_CAPITAL}|upon|on|by|the|de|la|[ ])){{0,8}}[ ,\n]*",
                        between) is not None  # fmt: skip


def _names(text: str, _region: str) -> Iterator[Personal]:
    for start, end in full_names_in(text):
        yield Personal(start, end, PersonalKind.NAME)


_LOOKS: dict[PersonalKind, Callable[[str, str], Iterator[Personal]]] = {
    PersonalKind.E_MAIL: _e_mails,
    PersonalKind.TELEPHONE: _telephones,
    PersonalKind.POSTAL: _addresses,
    PersonalKind.NAME: _names,
}
