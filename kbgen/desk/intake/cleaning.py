"""What an asker wrote, out of what a letter holds: no quotations, signatures, notices.

Line by line, so that the work is in proportion to the letter. How programs for mail mark
what they quote and forward is common practice, no published source; ``>`` is RFC 3676,
section 4.5, and the line ``-- `` above a signature its section 4.3.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence

from kbgen.content import only_seen

__all__ = ["readable", "without_quotes", "without_signature"]

_NO_WIDTH = re.compile(
    "[\u00ad\u034f\u061c\u115f\u180e\u200b\u200e\u200f\u2060-\u2064\ufe00-\ufe0d]"
)
_TAGS = re.compile("[\ue000-\uf8ff\U000e0000-\U000e007f]")  # letters that nobody sees


def readable(text: str) -> str:
    """Return a text as its reader sees it: composed letters, no marks without width.

    Shape: line feeds end lines; no line ends in a blank; no three empty lines follow
    each other; what turns the direction of text, and what no editor shows, is gone.
    """
    text = _TAGS.sub("", _NO_WIDTH.sub("", only_seen(text)))
    text = unicodedata.normalize("NFC", text.replace("\t", " ").replace("\u00a0", " "))
    lines = (line.rstrip() for line in text.split("\n"))
    return re.sub(r"\n{3,}", "\n\n", "\n".join(lines)).strip("\n ")


_FORWARDED = re.compile(
    r"[ \t]*(?:[-_*]{2,}[ ]*)?(?:begin[ ])?(?:forwarded[ ]message|original[ ](?:message|mail|email)"
    r"|weitergeleitete[ ]nachricht|ursprüngliche[ ]nachricht|message[ ](?:transféré|transmis"
    r"|d['’]origine)|mensaje[ ](?:reenviado|original)|messaggio[ ](?:inoltrato|originale)"
    r"|doorgestuurd[ ]bericht|oorspronkelijk[ ]bericht|vidarebefordrat[ ]meddelande)[ ]*"
    r"(?:[-_*]{2,}|:)?[ \t]*",
    re.IGNORECASE,
)
_HEADER_LINE = re.compile(
    r"[ \t>*]*(?P<key>from|sent|date|to|cc|bcc|subject|reply-to|von|gesendet|datum|an|betreff|de"
    r"|envoyé|date|à|objet|enviado(?:[ ]el)?|fecha|para|asunto|da|inviato|data|a|oggetto|van"
    r"|verzonden|aan|onderwerp|från|skickat|till|ämne)[ ]?\*?[ ]?:\*?(?:[ \t]|$)",
    re.IGNORECASE,
)
_FROM_KEYS = frozenset(("from", "von", "de", "da", "van", "från"))
_WROTE = re.compile(
    r"[ \t]*(?:on|am|le|el|il|op|den|em|w[ ]dniu)\b[^\n]{4,400}\b"
    r"(?:wrote|writes|schrieb(?:[ ][^\n]{0,90})?|a[ ]écrit|escribió|escreveu"
    r"|ha[ ]scritto|schreef(?:[ ][^\n]{0,90})?|skrev(?:[ ][^\n]{0,90})?"
    r"|napisał\(?a?\)?)[ ]?:[ \t]*",
    re.IGNORECASE,
)
_WROTE_SHORT = re.compile(
    r"[ \t]*[^\n]{1,120}(?:<[^<>\n]{3,120}>|\d)[^\n]{0,40}\b(?:wrote|writes|schrieb|a[ ]écrit"
    r"|escribió|ha[ ]scritto|schreef|skrev)[ ]?:[ \t]*",
    re.IGNORECASE,
)
_WROTE_STARTS = re.compile(r"[ \t]*(?:on|am|le|el|il|op|den|em|w[ ]dniu)\b.*\d", re.IGNORECASE)
_ENOUGH = 4  # words above a forwarded letter that are more than a greeting
_ATTRIBUTION_LINES = 3


def without_quotes(text: str) -> str:
    """Return what is new in a letter.

    Shape: lines that begin with ``>`` go, and the line above that says who wrote them. A
    letter below ``Forwarded message`` or a block of headers goes too, unless there is
    hardly a word above it: then it is what was asked.
    """
    lines = text.split("\n")
    at = _where_another_begins(lines)
    above = _unquoted(lines[:at])
    if at == len(lines) or len(re.findall(r"[^\W\d_]{2,}", above)) >= _ENOUGH:
        return above
    inner = lines[at:]
    while inner and (not inner[0].strip(" >") or _begins_another(inner, 0) or _header(inner[0])):
        inner = inner[1:]
    if inner and all(line.lstrip().startswith(">") for line in inner if line.strip()):
        inner = [re.sub(r"^[ \t]*>[ ]?", "", line) for line in inner]
    below = without_quotes("\n".join(inner)) if len(inner) < len(lines) else ""
    return below or above


def _where_another_begins(lines: Sequence[str]) -> int:
    """Return the line at which another letter is forwarded or repeated, else how many there are."""
    for at in range(len(lines)):
        if _begins_another(lines, at):
            return at
    return len(lines)


def _begins_another(lines: Sequence[str], at: int) -> bool:
    line = lines[at][:500]
    if _FORWARDED.fullmatch(line):
        return True
    found = _HEADER_LINE.match(line)
    if found is None or found["key"].lower() not in _FROM_KEYS:
        return False
    return sum(_header(below) for below in lines[at + 1 : at + 5]) >= 2


def _header(line: str) -> bool:
    return _HEADER_LINE.match(line[:500]) is not None


def _unquoted(lines: Sequence[str]) -> str:
    """Return the lines that quote nothing."""
    kept: list[str] = []
    at = 0
    while at < len(lines):
        line = lines[at]
        if line.lstrip(" \t").startswith((">", "|>")) and not re.match(r"[ \t]*>[<=_.-]", line):
            at += 1
        elif length := _attribution(lines, at):
            at += length
            if not _quotes_follow(lines, at):
                break  # what is quoted below has no marks
        else:
            kept.append(line)
            at += 1
    return "\n".join(kept).strip("\n ")


def _attribution(lines: Sequence[str], at: int) -> int:
    """Return over how many lines it is said who wrote what follows, 0 where it is not."""
    if len(lines[at]) > 400:
        return 0
    if _WROTE.fullmatch(lines[at]) and (
        re.search(r"[\d@<]", lines[at]) or _quotes_follow(lines, at + 1)
    ):
        return 1
    if _WROTE_SHORT.fullmatch(lines[at]) and _quotes_follow(lines, at + 1):
        return 1
    if _WROTE_STARTS.match(lines[at]):
        for length in range(2, _ATTRIBUTION_LINES + 1):
            joined = " ".join(line.strip() for line in lines[at : at + length])
            if len(joined) <= 400 and _WROTE.fullmatch(joined):
                return length
    return 0


def _quotes_follow(lines: Sequence[str], at: int) -> bool:
    """Return whether the next line that is not empty is quoted, or none follows."""
    for line in lines[at : at + 4]:
        if line.strip():
            return line.lstrip().startswith(">")
    return at >= len(lines)


_SIGNATURE = re.compile(r"--[ ]?|_{20,}|-{20,}|\*{20,}|={20,}")
_SENT_FROM = re.compile(
    r"[ \t]*(?:sent[ ](?:from|via|with|using)[ ](?:my|a|the|an)?[ ]?[\w -]{2,40}"
    r"|get[ ]\w+[ ]for[ ]\w+"
    r"|(?:von[ ]mein\w+|aus)[ ][\w -]{2,30}[ ]gesendet|gesendet[ ]von[ ][\w -]{2,40}"
    r"|envoyé[ ](?:de|depuis)[ ][\w -]{2,40}|enviado[ ](?:desde|do)[ ][\w -]{2,40}"
    r"|inviato[ ](?:da|dal)[ ][\w -]{2,40}|verzonden[ ](?:vanaf|met)[ ][\w -]{2,40}"
    r"|skickat[ ]från[ ][\w -]{2,40}"
    r"|(?:please[ ])?excuse[ ](?:the[ ]|any[ ])?(?:brevity|typos)[^\n]{0,60}"
    r"|(?:this[ ]message[ ]was[ ])?scanned[ ]for[ ]viruses[^\n]{0,80}"
    r"|virus-free[^\n]{0,60})[ \t.!]*",
    re.IGNORECASE,
)
_NOTICE = re.compile(
    r"[ \t*]*(?:this[ ](?:e-?mail|message|communication)|the[ ](?:information|contents?)[ ]"
    r"(?:contained[ ])?(?:in|of)[ ]this|confidentiality[ ]notice|disclaimer|diese[ ]e-?mail"
    r"|ce[ ]message|please[ ]consider[ ]the[ ]environment)\b",
    re.IGNORECASE,
)
_NOTICE_SAYS = re.compile(
    r"confidential|intended[ ](?:only|solely|recipient)|privileged|vertraulich|confidentiel"
    r"|before[ ]printing|liab|disclos",
    re.IGNORECASE,
)


def without_signature(text: str) -> str:
    """Return a letter without the block below ``--``, and without what programs add."""
    kept: list[str] = []
    for line in text.split("\n"):
        if _SIGNATURE.fullmatch(line) and any(one.strip() for one in kept):
            break
        if not (len(line) < 200 and _SENT_FROM.fullmatch(line)):
            kept.append(line)
    paragraphs = re.split(r"\n[ ]*\n", "\n".join(kept))
    said = [
        one for one in paragraphs if not (_NOTICE.match(one) and _NOTICE_SAYS.search(one[:2_000]))
    ]
    return re.sub(r"\n{3,}", "\n\n", "\n\n".join(said)).strip("\n ")
