"""A field that is a figure is read strictly, as the one kind that it is."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache

from kbgen.text import Span
from kbgen.units import (
    HouseThreads,
    Judgement,
    Kind,
    Length,
    Stated,
    Thread,
    Tightness,
    Torque,
    Verdict,
    judge,
    parse_length,
    parse_thread,
    parse_tightness,
    parse_torque,
    scan,
)

__all__ = ["moved", "read_figure"]

Value = Thread | Torque | Tightness | Length

_PARSE: dict[Kind, Callable[[str], Value]] = {
    Kind.THREAD: parse_thread,
    Kind.TORQUE: parse_torque,
    Kind.TIGHTNESS: parse_tightness,
    Kind.LENGTH: parse_length,
}


@lru_cache(maxsize=4096)  # registers say the same figures again and again
def read_figure(text: str, kind: Kind, house: HouseThreads) -> Stated:
    """Return the figure of one kind that ``text`` states, and nothing beside it.

    Shape: the span covers the text.
    Raises: NotationError where the text is not one figure of this kind.
    """
    whole = text.strip()
    found = [stated for stated in scan(text, house) if stated.kind is kind]
    if len(found) == 1 and found[0].span.of(text).strip() == whole:
        return found[0]
    value = _PARSE[kind](text)
    plain = Judgement(Verdict.STANDARD)
    judged = judge(value, house) if isinstance(value, Thread) else plain
    whole_text = Span(0, len(text))
    stated = Stated(kind, whole_text, text, value, str(value), judged.verdict, judged.objections)
    return moved(stated, whole_text)


def moved(stated: Stated, span: Span) -> Stated:
    """Return a value as if ``span`` stated it: its objections are about all of it."""
    objections = tuple(replace(one, span=span) for one in stated.objections)
    return replace(stated, span=span, objections=objections)
