"""Words that wound: whoever writes them stays unnamed, and what they asked is kept.

The list is the project's own, common practice, no published source, and short on purpose:
slurs, and words thrown at a person. Mild oaths are nobody's business, and words of the
trade (a bastard file, a stopcock, a grease nipple, a screw) are none of it.
"""

from __future__ import annotations

import re
import unicodedata

__all__ = ["is_abusive", "is_abusive_name", "without_abuse"]

# Stems, found at the beginning of a word whatever its ending.
_STEMS_SAID = """
    fuck motherf wanker arsehole asshole shithead bullshit dickhead bellend tosser
    faggot arschloch wichser hurensohn fotze missgeburt connard salope encule gilipoll cabron
    hijoput hijueput maricon pendejo stronz vaffancul coglion klootzak kankerl hoerenj kurwa
    jebany pierdol
"""
_STEMS = tuple(_STEMS_SAID.split())
# Words that are abuse as they stand, and parts of other words too.
_WORDS_SAID = """
    cunt cunts twat twats wank nigger niggers nigga niggas spastic spastics whore whores slut
    sluts kike kikes paki pakis tranny trannies
"""
_WORDS = tuple(_WORDS_SAID.split())
# Words that are abuse only where they are thrown at somebody.
_THROWN_SAID = """
    idiot idiots moron morons imbecile imbeciles cretin cretins scum scumbag scumbags liar
    liars bastard bastards crook crooks charlatan charlatans dumbass trottel schwein idiota
    imbecil cretino
"""
_THROWN = tuple(_THROWN_SAID.split())
# Words that are said of things, of trades and of timing, and seldom of a person.
_SELDOM_SAID = """
    stupid crap shit shite clown clowns fraud frauds prick pricks bitch bitches retard retards
    chink chinks estupido stupido
"""
_SELDOM = tuple(_SELDOM_SAID.split())
_AT_SOMEBODY = re.compile(
    r"\b(?:you|your|youre|ur|u|yourself|yourselves|du|ihr|sie|tu|vous|usted|ustedes|eres|voi|sei|he"
    r"|she|they)\b",
)
_TRADE = re.compile(
    r"\bbastard(?=[ -](?:file|cut|thread|size|pitch|screw|mill))"
    r"|\b(?:second|double|half)-cut bastard"
)
_STAND_FOR = str.maketrans("013457@$!|€", "oieastasiie")
_LETTER = r"[^\W\d_]"
_STEM = re.compile(
    rf"(?<![^\W_])(?:(?:{'|'.join(_STEMS)})[^\W\d_]*|(?:{'|'.join(_WORDS)})(?![^\W_]))"
)
_WHOLE = re.compile(rf"(?<![^\W_])(?:{'|'.join([*_THROWN, *_SELDOM])})(?![^\W_])")
# Inside a name written as one word; no family and no place has one of these in it.
_INSIDE_NAME = re.compile(
    "fuck|wanker|arsehole|asshole|bitch|shithead|dickhead|bellend|arschloch|hurensohn|wichser"
    "|fotze|connard|gilipollas|stronzo|klootzak|kurwa|idiot"
)
_SENTENCE = re.compile(r"[^.!?\n]*(?:[.!?]+[\"'”’)]*|\n+|$)")
_WORDS_OF_AN_INSULT = 4


def is_abusive(text: str) -> bool:
    """Return whether a text abuses somebody."""
    return any(_spans(sentence[0]) for sentence in _SENTENCE.finditer(text) if sentence[0].strip())


def is_abusive_name(name: str) -> bool:
    """Return whether a name abuses somebody, written as one word or as several."""
    words = re.sub(r"(?<=[a-zß-öø-ÿ])(?=[A-Z])|[\W_]+", " ", name)
    plain = _plain(words)
    joined = re.sub(r"[\W_]", "", _plain(name))
    return bool(_STEM.search(plain) or _WHOLE.search(plain) or _INSIDE_NAME.search(joined))


def without_abuse(text: str) -> str:
    """Return a text with abuse taken out of it, and what was asked left as it is.

    Shape: a short sentence that is abuse and no question goes as a whole; in others
    three stars stand for each word.
    """
    kept: list[str] = []
    for sentence in _SENTENCE.finditer(text):
        said = sentence[0]
        spans = _spans(said) if said.strip() else []
        asks = "?" in said or len(said.split()) > _WORDS_OF_AN_INSULT
        if spans and not asks:
            kept.append("\n" * said.count("\n"))
            continue
        for start, end in reversed(spans):
            said = f"{said[:start]}***{said[end:]}"
        kept.append(said)
    return re.sub(r"\n{3,}", "\n\n", "".join(kept)).strip("\n ")


def _spans(sentence: str) -> list[tuple[int, int]]:
    """Return where a sentence abuses, in order."""
    plain = _plain(sentence)
    spans = [found.span() for found in _STEM.finditer(plain)]
    spans += _starred(plain)
    if _AT_SOMEBODY.search(plain) or "!" in sentence:
        trade = [found.span() for found in _TRADE.finditer(plain)]
        spans += [
            found.span()
            for found in _WHOLE.finditer(plain)
            if not any(start <= found.start() < end for start, end in trade)
            and _thrown(plain, found)
        ]
    return sorted(set(spans))


_AT_YOU = re.compile(
    r"\b(?:you|youre|you are|you re|u|ur|your|are|r|bunch of|lot of|pack of)[ ,]+"
    r"(?:(?:a|an|the|such|complete|total|utter|bunch|of|lot|pack|just|all|stupid|old)[ ]+)*\Z"
)


def _thrown(plain: str, found: re.Match[str]) -> bool:
    """Return whether a word is said of a person: of a thing, ``stupid`` is only tired."""
    if found[0] not in _SELDOM:
        return True
    return _AT_YOU.search(plain[max(0, found.start() - 40) : found.start()]) is not None


_STARS = re.compile(
    r"(?<![^\W_*])(?:f[*#._-]{1,3}k?|f[*#]c?k|c[*#]{2}t|c[*#]nt|b[*#]tch|s[*#]{1,2}t|a[*#]{2}hole"
    r"|w[*#]nk)[^\W\d_]*"
)
_SPACED = re.compile(r"(?<![^\W_])f[ ._-]{1,2}u[ ._-]{1,2}c[ ._-]{1,2}k[^\W\d_]*")


def _starred(plain: str) -> list[tuple[int, int]]:
    found = [*_STARS.finditer(plain), *_SPACED.finditer(plain)]
    return [one.span() for one in found if re.search(r"[*#]|u", one[0])]


def _plain(text: str) -> str:
    """Return a text in small letters without accents, one for one, digits read as letters."""
    small = "".join(unicodedata.normalize("NFD", mark)[0].lower()[:1] or mark for mark in text)
    return re.sub(
        rf"(?<={_LETTER})[013457@$!|€](?={_LETTER})|(?<![\w.,/-])[@$](?={_LETTER})",
        lambda found: found[0].translate(_STAND_FOR),
        small,
    )
