"""Bytes of a letter or an export → text, whatever they say of themselves.

Source: WHATWG Encoding Standard (iso-8859-1 and us-ascii are read as windows-1252, as
every reader of mail does); RFC 3629 (what is well-formed UTF-8 is UTF-8).
"""

from __future__ import annotations

import codecs

__all__ = ["decoded"]

_LATIN = frozenset(("ascii", "iso8859-1", "cp1252"))
# Not charsets of mail: they hide letters, or take long over a short text.
_REFUSED = frozenset(("idna", "punycode", "unicode-escape", "raw-unicode-escape", "undefined"))


def decoded(data: bytes, charset: str) -> tuple[str, str]:
    """Return the text in some bytes, and a remark where not all of it is certain.

    Shape: ``charset`` is the name that the message gives, empty where it gives none.
    Nothing is guessed but UTF-8, and Windows-1252 where bytes are not UTF-8.
    """
    known = _known(charset)
    if data[:3] == codecs.BOM_UTF8:
        data, known = data[3:], "utf-8"
    if data[:2] in (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE):
        known = "utf-16"
    if not known or known in _LATIN:
        try:
            return data.decode("utf-8"), "" if known or not charset else _unknown(charset)
        except UnicodeDecodeError:
            known = known or ("cp1252" if not charset else "")
    if not known:
        return data.decode("cp1252", "replace"), _unknown(charset)
    known = "cp1252" if known in _LATIN else known
    try:
        return data.decode(known), ""
    except (UnicodeDecodeError, LookupError, ValueError):
        pass
    try:
        return data.decode("utf-8"), ""
    except UnicodeDecodeError:
        text = data.decode(known, "replace")
        return text, f"some of its bytes are not {known}; a mark stands in their place"


def _known(charset: str) -> str:
    """Return the name of the codec of a charset, empty where there is none for mail."""
    try:
        name = codecs.lookup(charset.encode("ascii", "ignore").decode()).name if charset else ""
        b"a".decode(name or "ascii", "replace")  # some codecs make bytes of bytes
    except (LookupError, ValueError, TypeError):
        return ""
    return "" if name in _REFUSED else name


def _unknown(charset: str) -> str:
    return f"its charset is {charset[:40]!r}, which is none that mail has; its letters may be wrong"
