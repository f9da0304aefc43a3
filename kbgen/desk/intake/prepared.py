"""A message → what is kept of it as a question, or why it is set aside."""

from __future__ import annotations

import datetime
import hashlib
import re
from dataclasses import dataclass

from kbgen import personal
from kbgen.content import Tree
from kbgen.content.models import CameBy
from kbgen.desk.intake.about import about
from kbgen.desk.intake.abuse import is_abusive, without_abuse
from kbgen.desk.intake.aliases import Asker, without_personal
from kbgen.desk.intake.cleaning import readable, without_quotes, without_signature
from kbgen.desk.intake.incoming import Incoming
from kbgen.desk.matching import Asked
from kbgen.desk.matching_words import families_named

__all__ = ["NoQuestion", "Prepared", "mark_of", "prepared"]

_EARLIEST = datetime.date(1990, 1, 1)
_LONGEST_SUBJECT = 200
_SLUG_WORDS = 7


class NoQuestion(ValueError):
    """A message that asks nothing; the message of the error says why that is thought."""


@dataclass(frozen=True, slots=True)
class Prepared:
    """What is kept of a message.

    Shape: ``words`` and ``subject`` are without anything that tells who wrote them;
    ``telephones`` and ``addresses`` are what was taken out, for the private file alone.
    """

    date: datetime.date
    alias: str
    subject: str
    words: str
    about: dict[str, str | int]
    families: tuple[str, ...]
    telephones: tuple[str, ...]
    addresses: tuple[str, ...]
    remarks: tuple[str, ...]

    @property
    def slug_words(self) -> str:
        """The words that make the name of its file."""
        said = re.sub(r"\[[^\]\n]*\]|\*\*\*", " ", self.subject or self.words)
        words = re.findall(r"[^\W_]+(?:['’-][^\W_]+)*", said.replace(self.alias, " "))
        return " ".join(words[:_SLUG_WORDS])

    def asked(self) -> Asked:
        """Return the question as it is matched and compared."""
        words = "\n".join(filter(None, (self.subject, self.words)))
        note, recording, at = (self.about.get(key) for key in ("note", "recording", "at"))
        return Asked(
            words,
            self.families,
            note if isinstance(note, int) else None,
            str(recording) if recording else None,
            str(at) if at else None,
        )


def mark_of(message: Incoming) -> str:
    """Return the fingerprint of a message, by which it is known when it comes again.

    Shape: 32 hexadecimal digits of the SHA-256 of its own identity, else of its letters
    and digits and its day. Nothing of the sender is in it.
    """
    said = message.identity
    if not said:
        plain = "".join(mark for mark in message.words.casefold() if mark.isalnum())
        said = f"words:{message.date or ''}:{plain}"
    return hashlib.sha256(said.encode("utf-8", "replace")).hexdigest()[:32]


def prepared(message: Incoming, tree: Tree, day: datetime.date) -> Prepared:
    """Return what is kept of a message. Raises: NoQuestion."""
    _refuse_sender(message, tree)
    raw = _said(message)
    region = personal.region_of(tree.workshop.language if tree.workshop else "en-GB")
    asker = Asker(
        message.name or message.alias,
        message.e_mail,
        handle=message.came_by is not CameBy.LETTER,
        by_names=tree.workshop.intake.by_names if tree.workshop else (),
    )
    subject = _subject(message.subject)
    alias = asker.alias(f"{subject}\n{raw}", message.alias)
    remarks = list(message.remarks)
    kinds: set[str] = set()
    clean = []
    for text in (subject, raw):
        kept, taken_out = without_personal(text, asker, alias, region)
        kinds |= taken_out
        clean.append(without_abuse(kept) if is_abusive(kept) else kept)
    if kinds:
        remarks.append(f"taken out: {', '.join(sorted(kinds))}")
    if clean != [without_abuse(text) for text in clean] or is_abusive(f"{subject}\n{raw}"):
        remarks.append("abuse taken out; the sender's name is withheld")
    words = readable(clean[1])
    if not re.search(r"[^\W\d_]", re.sub(r"\[[^\]\n]*\]", "", words)):
        raise NoQuestion("it is abuse and nothing else" if is_abusive(raw) else _EMPTY)
    date = _date(message, day, remarks)
    told = f"{clean[0]}\n{words}"
    found = [*personal.personal_in(raw, region, kinds=personal.CONTACTS)]
    return Prepared(
        date=date,
        alias=alias,
        subject=" ".join(clean[0].split())[:_LONGEST_SUBJECT].strip(),
        words=words,
        about=about(tree, message.about, message.subject, raw),
        families=families_named(tree, told),
        telephones=_texts(raw, found, personal.PersonalKind.TELEPHONE),
        addresses=_texts(raw, found, personal.PersonalKind.POSTAL),
        remarks=tuple(remarks),
    )


_EMPTY = "nothing is left of it without what it quotes and its signature"


def _texts(
    text: str, found: list[personal.Personal], kind: personal.PersonalKind
) -> tuple[str, ...]:
    said = (" ".join(text[one.start : one.end].split()) for one in found if one.kind is kind)
    return tuple(dict.fromkeys(said))


def _refuse_sender(message: Incoming, tree: Tree) -> None:
    """Refuse what no asker wrote. Raises: NoQuestion."""
    if message.automatic:
        raise NoQuestion(message.automatic)
    if tree.workshop is None:
        return
    ours = {name.casefold() for name in (tree.workshop.name, *tree.workshop.intake.ours)}
    contact = tree.workshop.contact.casefold()
    e_mail = message.e_mail.casefold()
    if message.name.casefold().strip("@ ") in ours or (e_mail and e_mail in contact):
        raise NoQuestion("the workshop wrote it itself")


def _said(message: Incoming) -> str:
    """Return what a message says, without what it quotes. Raises: NoQuestion."""
    words = readable(message.words)
    if not words:
        hung = "; something hangs on it" if message.attachments else ""
        raise NoQuestion(f"it has no words{hung}")
    if message.came_by is not CameBy.COMMENT:
        words = without_signature(without_quotes(words))
    if not re.search(r"[^\W\d_]", words):
        raise NoQuestion(_EMPTY)
    if reason := _asks_nothing(message, words):
        raise NoQuestion(reason)
    return words


_LINK = re.compile(r"https?://|www\.", re.IGNORECASE)
_ADVERTS = re.compile(
    r"\b(?:casino|betting|crypto|bitcoin|forex|viagra|cialis|backlinks?|guest[ -]post|seo\b"
    r"|search engine optimi[sz]ation|first page of|payday loans?|loan offer|lottery"
    r"|inheritance fund|click (?:here|below)|unsubscribe|limited[ -]time offer|100% free|earn \$"
    r"|hot singles|web ?site (?:design|traffic)|promote your (?:channel|site|video)s?|buy followers"
    r"|sub4sub|check out my channel)",
    re.IGNORECASE,
)
_ONLY_LINKS = 3
_PRAISE_SAID = """
    thank thanks you u so much very many a the this that i love loved like liked great good nice
    wonderful brilliant excellent amazing awesome superb lovely fantastic video film films videos
    channel work job as always first cool wow best ever again for your it was is really well done
    done keep up watching subscribed hello hi from greetings everyone all bravo super perfect
    beautiful same here me too yes no ok okay agreed exactly
"""
_PRAISE = frozenset(_PRAISE_SAID.split())
_SHORT = 12  # words


def _asks_nothing(message: Incoming, words: str) -> str:
    """Return why a text asks nothing, empty where it may ask something."""
    links, adverts = len(_LINK.findall(words)), len(set(_ADVERTS.findall(words.lower())))
    if adverts > 1 or (adverts and links) or (links >= _ONLY_LINKS and "?" not in words):
        return "it reads like an advertisement"
    said = re.findall(r"[^\W_]+", words.casefold())
    if message.came_by is not CameBy.COMMENT or "?" in words or len(said) > _SHORT:
        return ""
    if all(word in _PRAISE for word in said):
        return "it praises or agrees and asks nothing"
    if message.replies:
        return "it replies to another comment and asks nothing"
    return ""


_PREFIX = re.compile(
    r"(?:(?:re|aw|sv|vs|antw|fwd?|wg|tr|rv|odp|enc|vb|doorst|r|i)(?:\[\d+\])?[ ]?:"
    r"|\[[^\]]{1,40}\])[ ]*",
    re.IGNORECASE,
)


def _subject(subject: str) -> str:
    """Return a subject line without the marks of answering and forwarding."""
    subject = " ".join(readable(subject).split())
    while found := _PREFIX.match(subject):
        subject = subject[found.end() :]
    empty = re.fullmatch(
        r"\W*(?:no subject|ohne betreff|sans objet|none)?\W*", subject, re.IGNORECASE
    )
    return "" if empty else subject[:_LONGEST_SUBJECT]


def _date(message: Incoming, day: datetime.date, remarks: list[str]) -> datetime.date:
    """Return the day a message came; that of the intake where it states none that can be."""
    if message.date is None:
        return day
    if _EARLIEST <= message.date <= day + datetime.timedelta(days=1):
        return min(message.date, day)
    remarks.append(f"it says that it was written on {message.date}; taken as {day}")
    return day
