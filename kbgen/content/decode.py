"""Bytes → text: encoding, byte order mark, control characters, size.

Source: RFC 3629 (UTF-8); the Unicode Standard, section 23.1 (control codes); YAML 1.2.2,
section 5.1 (printable characters); Unicode Technical Report 36, section 2.4 (marks that
turn the direction of text).
"""

from __future__ import annotations

import re
import unicodedata

from kbgen.content.source import Place, place_at
from kbgen.findings import Finding, finding

__all__ = ["NOTE_LIMIT", "YAML_LIMIT", "only_seen", "size_finding", "text_of"]

NOTE_LIMIT = 1_000_000
YAML_LIMIT = 2_000_000
_SOME = 2
"""More carriage returns than this, and no line feed at all, are line ends."""
_MANY = 20
"""More slips of one kind than this in one file say that it is no text at all."""

_UNSEEN = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028-\u202e\u2066-\u2069\ufeff\ufffd-\uffff]")
_TURNS = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


def only_seen(text: str) -> str:
    """Return ``text`` with line feeds as line ends, and a space for what no editor shows."""
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    return _UNSEEN.sub(" ", text.encode("utf-8", "replace").decode())


def size_finding(path: str, size: int, limit: int) -> Finding:
    """Return the finding of a file that is larger than ``limit`` bytes."""
    return finding(
        "file-too-large",
        path,
        1,
        1,
        f"the file has {size:,} bytes; {limit:,} are read at most",
        "split it into several files, or take out what is not text",
    )


def text_of(path: str, data: bytes, limit: int) -> tuple[str | None, list[Finding]]:
    """Return the text of a file with line feeds as line ends, and what is wrong with it.

    Shape: a character at fault is replaced by one that keeps every place; the text is
    None where it is no use to read on.
    """
    if len(data) > limit:
        return None, [size_finding(path, len(data), limit)]
    findings: list[Finding] = []
    if data.startswith(b"\xef\xbb\xbf"):
        data = data[3:]
        findings.append(
            finding(
                "byte-order-mark",
                path,
                1,
                1,
                "the file begins with a byte order mark, which UTF-8 does not need",
                "save it as UTF-8 without a byte order mark (often called signature)",
            )
        )
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError:
        text_or_none, undecoded = _decoded_in_part(path, data)
        findings += undecoded
        if text_or_none is None:
            return None, findings
        text = text_or_none
        undecodable = True
    else:
        undecodable = False
    if "\r" in text:
        text = text.replace("\r\n", "\n")
        if "\n" not in text and text.count("\r") > _SOME:
            findings.append(_old_line_ends(path, text))
            text = text.replace("\r", "\n")
    if _UNSEEN.search(text):
        if undecodable:
            text = text.replace("\ufffd", "?")
        plain, unseen = _without_unseen(path, text)
        if len(unseen) > _MANY:
            return None, [*findings, _no_text(path, text, unseen[0])]
        return plain, [*findings, *unseen]
    return text, findings


def _old_line_ends(path: str, text: str) -> Finding:
    place = place_at(text, text.index("\r"))
    return finding(
        "text-unseen",
        path,
        place.line,
        place.column,
        "the lines end with a carriage return alone, which other programs take for no line end",
        "save the file with line feeds (often called Unix line ends)",
    )


def _decoded_in_part(path: str, data: bytes) -> tuple[str | None, list[Finding]]:
    """Decode what can be decoded, one finding for each run of bytes that cannot."""
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return None, [
            finding(
                "text-undecodable",
                path,
                1,
                1,
                "the file is UTF-16; content files are UTF-8",
                "save it as UTF-8",
            )
        ]
    runs: list[tuple[int, bytes]] = []
    decoded = ""
    while data:
        try:
            decoded += data.decode("utf-8")
            break
        except UnicodeDecodeError as error:
            decoded += data[: error.start].decode("utf-8")
            wrong = data[error.start : error.end]
            if runs and error.start == 0:  # these bytes follow straight upon the last ones
                runs[-1] = (runs[-1][0], runs[-1][1] + wrong)
            else:
                runs.append((len(decoded.replace("\r\n", "\n")), wrong))
            decoded += "\ufffd"
            data = data[error.end :]
        if len(runs) > _MANY or (runs and len(runs[-1][1]) > _MANY):
            first = place_at(decoded.replace("\r\n", "\n"), runs[0][0])
            return None, [
                finding(
                    "text-undecodable",
                    path,
                    first.line,
                    first.column,
                    "the file is not text in UTF-8",
                    "take it out of content/, or save it as UTF-8",
                )
            ]
    text = decoded.replace("\r\n", "\n")
    return decoded, [_undecoded(path, place_at(text, at), wrong) for at, wrong in runs]


def _undecoded(path: str, place: Place, wrong: bytes) -> Finding:
    message = f"the bytes {wrong.hex(' ').upper()} are not UTF-8"
    return finding("text-undecodable", path, place.line, place.column, message, _guess(wrong))


def _guess(wrong: bytes) -> str:
    try:
        half = ord(wrong.decode("utf-8", "surrogatepass"))
    except (UnicodeDecodeError, TypeError):
        pass
    else:
        return f"they stand for U+{half:04X}, half of a character: type the character again"
    mark = wrong.decode("windows-1252", "replace")
    if mark.isprintable() and "\ufffd" not in mark:
        return f"save the file as UTF-8; in Windows-1252 they would read “{mark}”"
    return "save the file as UTF-8"


def _without_unseen(path: str, text: str) -> tuple[str, list[Finding]]:
    findings: list[Finding] = []
    for found in _UNSEEN.finditer(text):
        place = place_at(text, found.start())
        message, hint = _about(found[0])
        findings.append(finding("text-unseen", path, place.line, place.column, message, hint))
        if len(findings) > _MANY:
            break
    return _UNSEEN.sub(" ", text), findings


def _about(mark: str) -> tuple[str, str]:
    name = f"U+{ord(mark):04X}"
    if mark == "\ufffd":
        return (
            f"{name} stands where a character was lost in an earlier conversion",
            "type the character again",
        )
    if mark in _TURNS:
        return (
            f"{name} turns the direction of the text, so that it reads otherwise than it is",
            "take it out",
        )
    if mark == "\r":
        return "a carriage return without a line feed", "end lines with a line feed"
    kind = "a line break" if unicodedata.category(mark) in ("Zl", "Zp") else "a control character"
    if mark == "\ufeff":
        kind = "a byte order mark"
    return f"{name} is {kind} that no editor shows", "take it out"


def _no_text(path: str, text: str, first: Finding) -> Finding:
    binary = "\x00" in text
    return finding(
        "text-undecodable",
        path,
        first.line,
        first.column,
        "the file is not text" if not binary else "the file is not text: it holds zero bytes",
        "take it out of content/; pictures belong in content/photos",
    )
