"""Mail that is HTML only → the text that its reader saw, quotations marked with ``>``.

Source: WHATWG HTML, section 15.3 (which elements stand on lines of their own), by way of
the selectolax package, which parses as browsers do.
"""

from __future__ import annotations

import re

from selectolax.lexbor import LexborHTMLParser, LexborNode

from kbgen.desk.intake.incoming import LONGEST

__all__ = ["text_of_html"]

_LONGEST_HTML = 10 * LONGEST
_DEEPEST = 512
_TAG = re.compile(r"<(/?)([a-zA-Z][a-zA-Z0-9]{0,20})(?:[^<>]{0,5000}>)?")
_ENDS_BY_ITSELF_SAID = """
    area base br col embed hr img input link meta source track wbr p li dt dd td th tr option
    tbody thead tfoot
"""
_ENDS_BY_ITSELF = frozenset(_ENDS_BY_ITSELF_SAID.split())
_UNSEEN_SAID = """
    script style head title template noscript object iframe svg math
"""
_UNSEEN = frozenset(_UNSEEN_SAID.split())
_LINES_SAID = """
    address article aside center dd div dl dt fieldset figure footer form h1 h2 h3 h4 h5 h6
    header hr li main nav ol p pre section table tbody tr ul
"""
_LINES = frozenset(_LINES_SAID.split())
_APART_SAID = """
    p h1 h2 h3 h4 h5 h6 ul ol table pre blockquote
"""
_APART = frozenset(_APART_SAID.split())
_HIDDEN = re.compile(
    r"display\s*:\s*none|visibility\s*:\s*hidden|font-size\s*:\s*0(?![.\d])", re.IGNORECASE
)
_QUOTED = re.compile(
    r"(?:^|[\s_-])(?:quote|cite)(?:d|$|[\s_-])|appendonsend|replyfwd", re.IGNORECASE
)


def text_of_html(html: str) -> str:
    """Return what a reader of an HTML letter sees, as plain text.

    Shape: one line a block, an empty line around paragraphs, ``> `` before each line of
    a quotation; scripts, styles and what is hidden are left out. Links keep their words.
    """
    root = LexborHTMLParser(_shallow(html[:_LONGEST_HTML].replace("\x00", " "))).body
    writer = _Writer()
    node = root.child if root is not None else None
    way: list[tuple[LexborNode, bool]] = []
    while node is not None or way:
        if node is None:
            node, quotes = way.pop()
            writer.close(node.tag or "", quotes)
            node = node.next
            continue
        tag = node.tag or ""
        if tag == "-text":
            writer.say(node.text_content or "")
        elif tag not in _UNSEEN and not _is_hidden(node) and tag[:1] not in "-!":
            quotes = _is_quotation(node, tag)
            writer.open(tag, quotes)
            way.append((node, quotes))
            node = node.child
            continue
        node = node.next
    return writer.text()


def _shallow(html: str) -> str:
    """Return HTML in which no element stands deeper than a browser lets it.

    Without that the parser's time would grow with the square of the depth.
    """
    depth = 0

    def kept(tag: re.Match[str]) -> str:
        nonlocal depth
        if tag[2].lower() in _ENDS_BY_ITSELF:
            return tag[0]
        if tag[1]:
            depth = max(0, depth - 1)
        elif depth == _DEEPEST:
            return " "
        else:
            depth += 1
        return tag[0]

    return _TAG.sub(kept, html)


def _is_hidden(node: LexborNode) -> bool:
    style = node.attributes.get("style") or ""
    return "hidden" in node.attributes or _HIDDEN.search(style[:500]) is not None


def _is_quotation(node: LexborNode, tag: str) -> bool:
    """Return whether an element holds what is answered: by its tag, or by how mail marks it."""
    if tag == "blockquote":
        return True
    named = f"{node.attributes.get('class') or ''} {node.attributes.get('id') or ''}"[:200]
    return tag == "div" and _QUOTED.search(named) is not None


class _Writer:
    """Lines that grow word by word."""

    def __init__(self) -> None:
        self._lines: list[str] = []
        self._words: list[str] = []
        self._depth = 0

    def say(self, text: str) -> None:
        self._words.append(text)

    def open(self, tag: str, quotes: bool) -> None:
        if tag == "br":
            self._end_line(keep_empty=True)
        elif tag in _LINES or quotes:
            self._end_line()
            self._gap(tag)
        elif tag in ("td", "th"):
            self._words.append(" ")
        if tag == "li":
            self._words.append("- ")
        self._depth += quotes

    def close(self, tag: str, quotes: bool) -> None:
        if tag in _LINES or quotes:
            self._end_line()
            self._gap(tag)
        self._depth -= quotes

    def text(self) -> str:
        self._end_line()
        return re.sub(r"\n{3,}", "\n\n", "\n".join(self._lines)).strip("\n")

    def _end_line(self, keep_empty: bool = False) -> None:
        said = " ".join("".join(self._words).replace("\u00a0", " ").split())
        self._words.clear()
        if said or keep_empty:
            self._lines.append("> " * min(self._depth, 9) + said)

    def _gap(self, tag: str) -> None:
        if tag in _APART and self._lines and self._lines[-1].strip("> "):
            self._lines.append("> " * min(self._depth, 9))
