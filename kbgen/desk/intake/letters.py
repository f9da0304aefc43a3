"""Bytes of electronic mail → messages: mailboxes, parts, encodings, who sent it.

Nothing in a message is trusted: headers are cut to one line, what nests deeper than any
letter is refused before it is read, no attachment is opened.

Source: RFC 5322 (messages), RFC 2045 to 2047 and 2231 (MIME), RFC 4155 (mailboxes), RFC
3676 (format=flowed), RFC 3834 (automatic replies), RFC 3464 (bounces), RFC 2369 and 2919
(lists).
"""

from __future__ import annotations

import datetime
import email
import re
from collections.abc import Iterator
from email.errors import HeaderParseError
from email.header import decode_header
from email.message import Message
from email.policy import compat32
from email.utils import parseaddr, parsedate_to_datetime

from kbgen.content.models import CameBy
from kbgen.desk.intake.charsets import decoded
from kbgen.desk.intake.hypertext import text_of_html
from kbgen.desk.intake.incoming import LONGEST, Incoming, one_line

__all__ = ["looks_like_letter", "looks_like_mailbox", "read_letter", "read_mailbox"]

_DEEPEST = 40  # parts in one another; letters have three or four
_MOST_PARTS = 500
_MOST_BORDERS = 20_000
_BYTES = 4 * LONGEST
_FROM_LINE = re.compile(
    rb"^From [^\r\n]{0,300}(?:Mon|Tue|Wed|Thu|Fri|Sat|Sun)[^\r\n]{0,60}\d{4}[^\r\n]{0,20}\r?\n"
    rb"(?=[!-9;-~]{1,80}:[ \t\r\n\S])",
    re.MULTILINE,
)
_HEADER = re.compile(rb"[!-9;-~]{1,80}:[ \t\S]")
_KNOWN_HEADER = re.compile(
    rb"^(?:from|to|subject|date|message-id|received|return-path|mime-version|content-type):",
    re.IGNORECASE | re.MULTILINE,
)


def looks_like_mailbox(data: bytes) -> bool:
    """Return whether bytes begin as a mailbox of the kind mbox does."""
    return _FROM_LINE.match(data) is not None


def looks_like_letter(data: bytes) -> bool:
    """Return whether bytes begin with the headers of a letter."""
    head = data[:20_000].lstrip().replace(b"\r\n", b"\n").partition(b"\n\n")[0]
    return _HEADER.match(head) is not None and len(set(_KNOWN_HEADER.findall(head))) > 1


def read_mailbox(data: bytes, label: str) -> Iterator[Incoming]:
    """Yield every message of a mailbox, in its order.

    Shape: a message begins at a line ``From`` with a sender and a day, above a header; a
    sentence that begins so does not.
    """
    starts = [found.span() for found in _FROM_LINE.finditer(data)]
    ends = [start for start, _ in starts[1:]] + [len(data)]
    for number, ((_, start), end) in enumerate(zip(starts, ends, strict=True), 1):
        one = re.sub(rb"(?m)^>(>*From )", rb"\1", data[start:end])
        yield read_letter(one, f"{label}, message {number}")


def read_letter(data: bytes, label: str) -> Incoming:
    """Return one letter as it came; whatever its bytes are, nothing is raised."""
    if unread := _unbearable(data):
        head = data[:_BYTES].replace(b"\r\n", b"\n").partition(b"\n\n")[0]
        message = email.message_from_bytes(head + b"\n\n", policy=compat32)
        return _incoming(message, label, "", (), (), unread)
    message = email.message_from_bytes(data.lstrip(b"\r\n"), policy=compat32)
    words, attachments, remarks = _read_parts(message)
    return _incoming(message, label, words, attachments, remarks)


def _unbearable(data: bytes) -> str:
    """Return why a letter is not taken apart, empty where it is shaped as letters are."""
    nested = len(re.findall(rb"(?im)^content-type:[ \t]*(?:multipart|message)/", data))
    if nested > _DEEPEST:
        return f"its parts stand {nested} deep in one another; {_DEEPEST} are read at most"
    borders = data.count(b"\n--")
    if borders > _MOST_BORDERS:
        return f"it has {borders:,} borders of parts; {_MOST_BORDERS:,} are read at most"
    return ""


def _incoming(
    message: Message,
    label: str,
    words: str,
    attachments: tuple[str, ...],
    remarks: tuple[str, ...],
    unread: str = "",
) -> Incoming:
    name, address = _sender(message)
    identity = re.sub(r"\s", "", _raw(message, "Message-ID")).strip("<>")
    return Incoming(
        label=label,
        words=words,
        came_by=CameBy.LETTER,
        name=name,
        e_mail=address,
        subject=_header(message, "Subject"),
        date=_day(message),
        identity=f"letter:{identity}" if identity else "",
        automatic=unread or _automatic(message, address),
        attachments=attachments,
        remarks=remarks,
    )


def _raw(message: Message, name: str) -> str:
    """Return the first header of a name as it stands, in one line."""
    for key, value in message.raw_items():
        if key.lower() == name.lower():
            return one_line(_bytes_read(str(value)[:4_000]))
    return ""


def _bytes_read(text: str) -> str:
    """Return a header whose letters came as bare bytes with those bytes read."""
    if text.isascii():
        return text
    return decoded(text.encode("utf-8", "surrogateescape"), "")[0]


def _header(message: Message, name: str) -> str:
    return _words(_raw(message, name))


def _words(raw: str) -> str:
    """Return a header with its encoded words read (RFC 2047)."""
    if "=?" not in raw:
        return raw
    try:
        pieces = decode_header(raw)
    except (HeaderParseError, ValueError):
        return raw
    said = [
        decoded(piece, charset or "")[0] if isinstance(piece, bytes) else piece
        for piece, charset in pieces
    ]
    return one_line("".join(said))


def _sender(message: Message) -> tuple[str, str]:
    """Return the name and the address that a letter says it is from."""
    raw = _raw(message, "From") or _raw(message, "Reply-To") or _raw(message, "Sender")
    try:
        name, address = parseaddr(raw)
    except (ValueError, IndexError, RecursionError):
        name, address = raw, ""
    if not address and "@" not in raw:
        name = raw
    return _words(name).strip(" \"'"), one_line(address)


def _day(message: Message) -> datetime.date | None:
    """Return the day that a letter states, else the one on which it was received."""
    for raw in (_raw(message, "Date"), _raw(message, "Received").rpartition(";")[2]):
        try:
            return parsedate_to_datetime(raw.strip()).date()
        except (ValueError, TypeError, IndexError, OverflowError):
            continue
    return None


def _automatic(message: Message, address: str) -> str:
    """Return why no person wrote this to the workshop, empty where one may have."""
    said = _raw(message, "Auto-Submitted").lower()
    kind = message.get_content_type()
    if kind == "multipart/report" or re.match(r"(?i)(mailer-daemon|postmaster)@", address):
        return "a report of the mail system that something did not arrive (RFC 3464)"
    if said and not said.startswith("no"):
        return "an automatic reply (RFC 3834: Auto-Submitted)"
    if _raw(message, "X-Autoreply") or _raw(message, "X-Autorespond"):
        return "an automatic reply"
    if _raw(message, "Return-Path").replace(" ", "") == "<>":
        return "sent by a machine: it has no address to return to (RFC 5321, section 4.5.5)"
    if _raw(message, "X-Spam-Flag").lower().startswith("yes"):
        return "marked as spam by the mail system"
    if _raw(message, "List-Id") or _raw(message, "List-Unsubscribe"):
        return "sent to a mailing list (RFC 2369, RFC 2919)"
    if _raw(message, "Precedence").lower() in ("bulk", "list", "junk"):
        return "bulk mail (Precedence)"
    return ""


def _read_parts(message: Message) -> tuple[str, tuple[str, ...], tuple[str, ...]]:
    """Return the text of a letter, the names of what hangs on it, and what was hard to read."""
    plain: list[str] = []
    marked_up: list[str] = []
    attachments: list[str] = []
    remarks: list[str] = []
    waiting = [message]
    for _ in range(_MOST_PARTS):
        if not waiting:
            break
        part = waiting.pop()
        kind = part.get_content_type()
        inner = part.get_payload()
        if part.get_content_maintype() == "multipart" and isinstance(inner, list):
            waiting += [one for one in reversed(inner) if isinstance(one, Message)]
        elif kind not in ("text/plain", "text/html") or _hangs_on(part):
            attachments.append(_attachment(part, kind))
        else:
            text, remark = _text(part)
            (plain if kind == "text/plain" else marked_up).append(text)
            remarks += [remark] if remark else []
    if waiting:
        remarks.append(f"it has more than {_MOST_PARTS} parts; the rest was not read")
    words = "\n\n".join(text for text in plain if text.strip())
    if not words:
        words = "\n\n".join(filter(None, map(text_of_html, marked_up)))
    if len(words) > LONGEST:
        remarks.append(f"it has {len(words):,} characters; the first {LONGEST:,} were read")
    return words[:LONGEST], tuple(attachments[:50]), tuple(dict.fromkeys(remarks))


def _hangs_on(part: Message) -> bool:
    return str(part.get("Content-Disposition", "")).strip().lower().startswith("attachment")


def _attachment(part: Message, kind: str) -> str:
    """Return the name of an attachment, without a path and without what no one can see."""
    try:
        name = _words(one_line(str(part.get_filename() or "")))
    except (ValueError, LookupError, TypeError, AttributeError):
        name = ""
    name = re.split(r"[\\/]", name)[-1]
    name = "".join(mark if mark.isprintable() else " " for mark in name).strip()
    return name[:80] or f"a part of type {one_line(kind)[:60]}"


def _text(part: Message) -> tuple[str, str]:
    """Return the text of one part, and what was hard to read in it."""
    try:
        payload = part.get_payload(decode=True)
    except (ValueError, LookupError, AssertionError):
        payload = str(part.get_payload()).encode("utf-8", "surrogateescape")
    if not isinstance(payload, bytes):
        return "", "a part of it has no content"
    text, remark = decoded(payload[:_BYTES], _parameter(part, "charset"))
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    if part.get_content_type() == "text/plain" and _parameter(part, "format").lower() == "flowed":
        text = _unflowed(text, _parameter(part, "delsp").lower() == "yes")
    return text, remark


def _parameter(part: Message, name: str) -> str:
    """Return a parameter of a part's type, in one line."""
    try:
        value = part.get_param(name)
    except (ValueError, LookupError, TypeError):
        return ""
    if isinstance(value, tuple):
        value = value[2]
    return one_line(str(value or ""))[:80].strip(" \"'")


def _unflowed(text: str, drop_space: bool) -> str:
    """Return a text with the lines joined that end in a space (RFC 3676, section 4.2)."""
    lines: list[str] = []
    depth_before, flows = 0, False
    for line in text.split("\n"):
        depth = len(line) - len(line.lstrip(">"))
        said = line[depth:].removeprefix(" ")
        if flows and depth == depth_before and said != "-- ":
            lines[-1] += said
        else:
            lines.append(">" * depth + (" " if depth else "") + said)
        depth_before = depth
        flows = said.endswith(" ") and said != "-- "
        if flows and drop_space:
            lines[-1] = lines[-1][:-1]
    return "\n".join(lines)
