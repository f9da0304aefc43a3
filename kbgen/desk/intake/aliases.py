"""Who asks, without telling who it is: aliases, and the asker's own name in the words.

An alias is the asker's own (``I sign as Marigold``, a by-name that is no full name), else
initials. Whoever abuses, by name or by words, is ``withheld``.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from kbgen import personal
from kbgen.desk.intake.abuse import is_abusive, is_abusive_name

__all__ = ["NOBODY", "WITHHELD", "Asker", "without_personal"]

WITHHELD = "withheld"
NOBODY = "no name given"
_SOMEBODY = "[name]"

_LONGEST_ALIAS = 40
_CHOSEN = re.compile(
    r"(?:\bI (?:always )?sign (?:myself )?(?:as )?|\bcall me |\bknown (?:here )?as |\bgo by "
    r"|\bmy (?:alias|handle|nickname|user ?name) (?:here )?is |^[ \t]*alias ?: ?)"
    r"(?P<alias>[\"“'‘]?[^\W_](?:[^\n.,;:!?()\"“”]| ?\.(?=\w)){0,38})",
    re.IGNORECASE | re.MULTILINE,
)
_ENDS = re.compile(
    r"\s+(?:and|but|if|please|because|when|so|on|in|from|by|at|for|everybody|everyone|who|i)\b.*$",
    re.IGNORECASE | re.DOTALL,
)
_SIGNED = re.compile(
    r"(?im:^[ \t]*(?:(?:with|kind|best|warm|many|very|yours|all)[ ]+){0,3}(?:regards|wishes|thanks|"
    r"truly|sincerely|cheers|love|thank you|grüße|cordialement|saludos|saluti|groeten?)"
    r"(?: in advance)?[ ]?[,.!]?[ \t]*)\n\s*"
    r"[-\u2013\u2014]?[ ]?(?P<name>[^\W\d_][^\n,.!?:]{0,30})[.!]?\s*\Z"
)


@dataclass(frozen=True, slots=True)
class Asker:
    """Who asks: the name a message is from, and the words in which a name may be given.

    Shape: ``handle`` says that a name was chosen where everybody sees it, as that of a
    comment is; ``by_names`` have the form of a full name and are none.
    """

    name: str
    e_mail: str
    handle: bool
    by_names: tuple[str, ...] = ()

    def alias(self, words: str, chosen: str = "") -> str:
        """Return the alias under which a question with these words is kept."""
        if is_abusive_name(self.name) or is_abusive(self.name) or is_abusive(words):
            return WITHHELD
        if chosen and (chosen in self.by_names or not personal.is_full_name(chosen)):
            return _bearable(chosen)
        return _bearable(self._said(words) or self._from_name() or self._signed(words))

    def _said(self, words: str) -> str:
        """Return the alias that the words themselves choose, unless it is the full name."""
        for found in _CHOSEN.finditer(words):
            alias = _ENDS.sub("", found["alias"]).strip(" \"“”'‘’")
            if alias and len(alias.split()) <= 5 and not self._is_own_name(alias):
                return alias
        return ""

    def _is_own_name(self, alias: str) -> bool:
        own = {word.lower() for word in personal.name_words(self.name) if len(word) > 2}
        said = [word.lower() for word in personal.name_words(alias)]
        return len(said) > 1 and bool(own) and set(said) <= own

    def _from_name(self) -> str:
        name = self.name.strip("@ \"'“”")
        if not name or "@" in name or personal.personal_in(name, kinds=personal.CONTACTS):
            return ""
        if name.lower() == self.e_mail.partition("@")[0].lower() and not self.handle:
            name = re.sub(r"[._+-]+|\d+", " ", name).strip()
        if name in self.by_names:
            return name
        if personal.is_full_name(name, any_case=True) or _titled(name) or _abridged(name):
            return personal.initials(name)
        return name

    def _signed(self, words: str) -> str:
        found = _SIGNED.search(words[-400:])
        if found is None:
            names = [words[start:end] for start, end in personal.full_names_in(words)]
            return personal.initials(names[0]) if names else ""
        name = found["name"].strip()
        if personal.is_full_name(name, any_case=True) or _titled(name):
            return personal.initials(name)
        return name if len(name.split()) <= 3 else ""

    def own_name(self) -> re.Pattern[str] | None:
        """Return what finds the asker's own full name in any of its usual forms."""
        words = personal.name_words(re.sub(r"[,.\"“”()]", " ", self.name))
        words = [word for word in words if len(word) > 1 and re.sub("['’-]", "", word).isalpha()]
        if not words or not personal.is_full_name(self.name, any_case=True):
            return None
        if len(words) == 1:
            return re.compile(re.escape(words[0]), re.IGNORECASE)
        first, last = re.escape(words[0]), re.escape(words[-1])
        initial = re.escape(words[0][0].upper())
        return re.compile(
            rf"(?<!\w)(?:{first}(?:{_MIDDLE})[ \t]*{last}|{last},?[ \t]+{first}"
            rf"|(?-i:{initial}\.?(?:[ \t]?[^\W\d_a-z]\.)*[ \t]*)(?-i:(?=[^\W_a-z])){last}"
            rf"|(?:mr|mrs|ms|miss|dr|prof|herr|frau)\.?[ \t]+{last}"
            rf"|(?m:^[ \t]*{last}[ \t]*$))(?!\w)",
            re.IGNORECASE,
        )


# What may stand between a first and a last name: names, initials, and words that link.
_MIDDLE = (
    r"(?:,?[ \t]+(?-i:[^\W\d_a-z][\w.'’-]{0,20}|van|von|de|der|den|del|della|di|da|dos|du|la|le"
    r"|el)){0,4},?"
)


def _titled(name: str) -> bool:
    """Return whether a name is a title and a surname."""
    words = name.split()
    return len(words) == 2 and personal.name_words(name) == words[1:] and len(words[1]) > 2


def _abridged(name: str) -> bool:
    """Return whether a name is initials and a surname, ``J. R. Hartley``."""
    words = name.replace(",", " ").split()
    return (
        len(words) > 1
        and any(re.fullmatch(r"(?:[^\W\d_]\.?-?){1,3}", word) for word in words[:-1])
        and re.fullmatch(r"[^\W\d_][^\W\d_'’-]{2,}", words[-1]) is not None
        and words[-1][0].isupper()
    )


def _bearable(alias: str) -> str:
    alias = " ".join("".join(mark if mark.isprintable() else " " for mark in alias).split())
    alias = re.sub(r"[<>\[\]{}|\\/`=]", "", alias).strip(
        " ,;:.-" if "." not in alias[1:] else " ,;:"
    )
    alias = alias[:_LONGEST_ALIAS].strip()
    if not re.search(r"[^\W_]", alias) or personal.personal_in(alias, kinds=personal.CONTACTS):
        return NOBODY
    return alias if not is_abusive_name(alias) else WITHHELD


def without_personal(text: str, asker: Asker, alias: str, region: str) -> tuple[str, set[str]]:
    """Return a text without what tells who wrote it, and which kinds were taken out.

    Shape: an address or a number becomes its kind in brackets, a full name the alias;
    a line that had nothing else to say goes.
    """
    kinds: set[str] = set()
    own = asker.own_name()
    if own is not None:
        text, times = own.subn(lambda _: _SOMEBODY if alias == WITHHELD else alias, text)
        kinds |= {"full name"} if times else set()
    pieces: list[str] = []
    done = 0
    for one in personal.personal_in(text, region):
        pieces += (text[done : one.start], _instead(text, one, alias))
        done = one.end
        kinds.add(str(one.kind))
    text = "".join([*pieces, text[done:]])
    return "\n".join(_telling_lines(text)), kinds


def _instead(text: str, one: personal.Personal, alias: str) -> str:
    if one.kind is not personal.PersonalKind.NAME:
        return f"[{one.kind}]"
    if alias == NOBODY:
        return personal.initials(text[one.start : one.end])
    return _SOMEBODY if alias == WITHHELD else alias


_NOTHING_ELSE = re.compile(
    r"[ \t]*(?:(?:my|our|or|and|e-?mail|mail|tel(?:ephone|efon)?|phone|mob(?:ile)?|cell|fax|home"
    r"|work|address|anschrift|adresse|t|m|e|p)\b[ .:]*){0,3}"
    r"(?:\[(?:e-mail address|telephone number|postal address|name)\][ .,;|/]*"
    r"(?:or[ ]|and[ ])?)+[ \t]*",
    re.IGNORECASE,
)


def _telling_lines(text: str) -> Iterator[str]:
    for line in text.split("\n"):
        if not _NOTHING_ELSE.fullmatch(line):
            yield line
