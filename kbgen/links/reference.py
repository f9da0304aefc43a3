"""A reference: what a link names, in the schemes of this project.

Shape of the notation: ``note:17``, ``part:winder-tyre``, ``family:halverin-h``,
``fastener:halverin-h/winder-bracket-screw``, ``thread:SM11/64-40``,
``recording:winder-evening`` and ``recording:winder-evening@12:40``. A symptom heading
is a reference too (``symptom:skips-stitches``), though prose links to notes.
"""

from __future__ import annotations

import re
from enum import StrEnum
from typing import NamedTuple
from urllib.parse import unquote

from kbgen.text import NotationError, Span
from kbgen.units import parse_thread

__all__ = ["LINK_SCHEMES", "Reference", "Scheme", "clock", "parse_reference", "seconds"]


class Scheme(StrEnum):
    """The kinds of things that can be linked to."""

    NOTE = "note"
    FAMILY = "family"
    FASTENER = "fastener"
    PART = "part"
    THREAD = "thread"
    RECORDING = "recording"
    SYMPTOM = "symptom"
    QUESTION = "question"
    PAGE = "page"

    __hash__ = str.__hash__  # it equals its text; asked a million times in a large tree


LINK_SCHEMES = tuple(
    str(scheme) for scheme in Scheme if scheme not in (Scheme.PAGE, Scheme.QUESTION)
)
"""What a link may begin with; the rest is only ever named by the keys of a front matter.

A question may be taken back by who asked it: prose links to the note that answers it.
"""


class Reference(NamedTuple):
    """One thing that is named.

    Shape: ``target`` is a note's or question's number without leading zeros, an id, a family's id
    (for a fastener) or a thread's canonical designation; ``detail`` is the register
    row's id of a fastener or the moment of a recording (``12:40``, ``1:02:40``),
    empty elsewhere.
    """

    scheme: Scheme
    target: str
    detail: str = ""

    def __str__(self) -> str:
        mark = {Scheme.FASTENER: "/", Scheme.RECORDING: "@"}.get(self.scheme, "")
        return f"{self.scheme}:{self.target}" + (f"{mark}{self.detail}" if self.detail else "")

    @property
    def whole(self) -> Reference:
        """The thing itself, without the moment or the row."""
        if self.scheme is Scheme.FASTENER:
            return Reference(Scheme.FAMILY, self.target)
        return Reference(self.scheme, self.target)


_NUMBER = re.compile(r"[0-9]{1,6}")
_IDENTIFIER = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")
_CLOCK = re.compile(r"(?:([0-9]{1,2}):)?([0-9]{1,3}):([0-5][0-9])")


def seconds(text: str) -> int:
    """Return the seconds of a moment written ``12:40`` or ``1:02:40``.

    Raises: ValueError for anything else.
    """
    match = _CLOCK.fullmatch(text)
    if match is None or (match[1] and int(match[2]) > 59):
        raise ValueError(f"a moment is written 12:40 or 1:02:40, got {text!r}")
    return (int(match[1] or 0) * 60 + int(match[2])) * 60 + int(match[3])


def clock(total_s: int) -> str:
    """Return a moment in its canonical form, ``12:40`` or ``1:02:40``."""
    minutes, rest_s = divmod(total_s, 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours}:{minutes:02}:{rest_s:02}" if hours else f"{minutes}:{rest_s:02}"


def parse_reference(text: str) -> Reference:
    """Return what a link's target names; ``%20`` and its like are undone.

    Raises: NotationError, its span inside ``text``, where the scheme is none of ours or
    what follows it is not in the scheme's notation.
    """
    name, colon, _ = text.partition(":")
    if not colon or name not in LINK_SCHEMES:
        raise NotationError(
            f"{name if colon else text!r} is none of the schemes {', '.join(LINK_SCHEMES)}",
            text,
            Span(0, len(name)),
        )
    scheme = Scheme(name)
    start = len(name) + 1
    return _READERS[scheme](scheme, unquote(text[start:]), text, Span(start, len(text)))


def _note(scheme: Scheme, said: str, text: str, span: Span) -> Reference:
    if not _NUMBER.fullmatch(said) or int(said) == 0:
        raise NotationError(f"a note is named by its number, as note:17, got {said!r}", text, span)
    return Reference(scheme, str(int(said)))


def _named(scheme: Scheme, said: str, text: str, span: Span) -> Reference:
    _require_id(scheme, said, text, span)
    return Reference(scheme, said)


def _fastener(scheme: Scheme, said: str, text: str, span: Span) -> Reference:
    family, slash, row = said.partition("/")
    if not slash:
        raise NotationError(
            f"a fastener is named by its family and its register row, as "
            f"fastener:halverin-h/needle-clamp, got {said!r}",
            text,
            span,
        )
    _require_id("family", family, text, span)
    _require_id("register row", row, text, span)
    return Reference(scheme, family, row)


def _thread(scheme: Scheme, said: str, text: str, span: Span) -> Reference:
    try:
        return Reference(scheme, str(parse_thread(said)))
    except NotationError as wrong:
        raise NotationError(wrong.message, text, span, wrong.hint) from wrong


def _recording(scheme: Scheme, said: str, text: str, span: Span) -> Reference:
    name, at, moment = said.partition("@")
    _require_id(scheme, name, text, span)
    if not at:
        return Reference(scheme, name)
    try:
        return Reference(scheme, name, clock(seconds(moment)))
    except ValueError as wrong:
        raise NotationError(str(wrong), text, Span(text.index("@") + 1, span.end)) from wrong


_READERS = {
    Scheme.NOTE: _note,
    Scheme.FAMILY: _named,
    Scheme.FASTENER: _fastener,
    Scheme.PART: _named,
    Scheme.THREAD: _thread,
    Scheme.RECORDING: _recording,
    Scheme.SYMPTOM: _named,
}


def _require_id(what: str, said: str, text: str, span: Span) -> None:
    if not _IDENTIFIER.fullmatch(said):
        raise NotationError(
            f"the id of a {what} is lower-case words joined by hyphens, got {said!r}", text, span
        )
