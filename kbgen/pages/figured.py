"""Words with their figures set: threads stamped, units unbroken; in a line, in Markdown."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from markupsafe import Markup, escape

from kbgen.content import render_markdown
from kbgen.pages.figures import measure, with_fractions
from kbgen.units import Kind, Stated

if TYPE_CHECKING:
    from kbgen.content import Token

__all__ = ["Read", "Resolve", "figured", "figured_markdown"]

Read = Callable[[str], Sequence[Stated]]
"""What a text states, in order."""

Resolve = Callable[[str], str | None]
"""Where a link leads; None where it leads nowhere and only its words stay."""


def figured(text: str, stated: Sequence[Stated]) -> Markup:
    """Return plain text with what it states set; ``stated`` is in order."""
    if not stated:
        return with_fractions(text)
    parts: list[str] = []
    end = 0
    for one in stated:
        parts.append(with_fractions(text[end : one.span.start]))
        parts.append(_set(one, text))
        end = one.span.end
    parts.append(with_fractions(text[end:]))
    return Markup("".join(parts))


def _set(stated: Stated, text: str) -> str:
    written = stated.span.of(text)
    if stated.kind is Kind.THREAD:
        return f'<b class="th">{with_fractions(written)}</b>'
    if stated.kind is Kind.TIGHTNESS:  # words, which may be broken between lines
        return f'<span class="q w">{with_fractions(written)}</span>'
    return measure(written)


def figured_markdown(tokens: Sequence[Token], read: Read, resolve: Resolve) -> Markup:
    """Return parsed Markdown as the blocks of a section: figures set, headings one step down."""

    def words(text: str) -> str | None:
        stated = read(text)
        if not stated and "/" not in text:
            return None
        html = figured(text, stated)
        return None if html == escape(text) else str(html)

    return Markup(render_markdown(tokens, resolve, top=3, words=words))
