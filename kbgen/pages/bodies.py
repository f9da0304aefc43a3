"""A note's body as HTML, made while the note is read: only where its links lead is left open.

Whether a link leads anywhere depends on other files; all else follows from the note's own
bytes and the declared house threads, and is kept with them.
"""

from __future__ import annotations

import re

from markupsafe import Markup

from kbgen.content import Note, leading_to
from kbgen.pages.figured import Resolve, figured_markdown
from kbgen.units import HouseThreads, scan

__all__ = ["body_ahead", "body_of"]

# Words of a note are escaped: no text can look like a link that was left open.
_OPEN = re.compile(r'<a href="open:([0-9]+)"((?: title="[^"]*")?)>(.*?)</a>', re.DOTALL)


def body_ahead(file: object, house: HouseThreads) -> None:
    """Make the body of a note while it is at hand."""
    if isinstance(file, Note):
        _made(file, house)


def body_of(note: Note, house: HouseThreads, resolve: Resolve) -> Markup:
    """Return a note's body as the blocks of a section, headings one step down."""
    made = _made(note, house)
    if made is None:
        return _rendered(note, house, resolve)
    html, targets = made

    def closed(found: re.Match[str]) -> str:
        address = resolve(targets[int(found[1])])
        leading = leading_to(address) if address else ""
        return f'<a href="{leading}"{found[2]}>{found[3]}</a>' if leading else found[3]

    return Markup(_OPEN.sub(closed, html) if targets else html)


def _made(note: Note, house: HouseThreads) -> tuple[str, tuple[str, ...]] | None:
    """Return the HTML of a body with its links left open, and what they name in order.

    Shape: None for one with a picture, whose place in the HTML is another.
    """
    return note.source.once(f"body, {house.named}", lambda: _body(note, house))


def _body(note: Note, house: HouseThreads) -> tuple[str, tuple[str, ...]] | None:
    if any(child.type == "image" for token in note.tokens for child in token.children or ()):
        return None
    targets: list[str] = []

    def left_open(target: str) -> str:
        targets.append(target)
        return f"open:{len(targets) - 1}"

    return str(_rendered(note, house, left_open)), tuple(targets)


def _rendered(note: Note, house: HouseThreads, resolve: Resolve) -> Markup:
    return figured_markdown(note.tokens, lambda text: scan(text, house), resolve)
