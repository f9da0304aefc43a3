"""Markdown: text → tokens → HTML; the only user of markdown-it-py.

Source: CommonMark 0.31.2 and GitHub Flavored Markdown 0.29, section 4.10 (tables).
HTML in Markdown is text. Every link is kept as it is written, whatever its scheme:
where it leads, and whether it may, is judged by the rooms above.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import lru_cache

from markdown_it.common.normalize_url import normalizeLink
from markdown_it.common.utils import escapeHtml
from markdown_it.renderer import RendererHTML
from markdown_it.token import Token
from markdown_it.utils import EnvType, OptionsDict

from kbgen.content.markdown_parser import PARSER

__all__ = [
    "Resolve",
    "Token",
    "is_unsafe",
    "leading_to",
    "parse_markdown",
    "parsed_lately",
    "plain_text",
    "plain_texts",
    "render_markdown",
]

Resolve = Callable[[str], str | tuple[str, str | None] | None]
"""Where a link leads: an address, an address and a title, or nowhere (its words stay)."""

Words = Callable[[str], str | None]
"""The HTML of words, None for words that are shown as they are."""

_RUNS = re.compile(r"(?:javascript|vbscript|data|blob|file|view-source):|//", re.IGNORECASE)
_CREDENTIALS = re.compile(r"[a-z][a-z0-9+.-]*://[^/?#]*@", re.IGNORECASE)
_UNSEEN = re.compile(r"[\x00-\x20\x7f-\xa0\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff]")

_OWN = re.compile(r"root:[a-z0-9/._#-]*")
"""An address of the site: no sign in it is ever written otherwise."""


def is_unsafe(target: str) -> bool:
    """Return whether a link may never be published, whoever wrote it.

    Shape: true for a scheme that runs or reads something (``javascript:``, ``data:``,
    ``file:`` ...), for an address that takes its scheme from the page (``//host``) and
    for one with a name or a password in it.

    Source: WHATWG URL, section 4.4 (schemes are read without regard to case and to
    control characters before and in them; a backslash is read as a slash).
    """
    bare = _UNSEEN.sub("", target).replace("\\", "/")
    return _RUNS.match(bare) is not None or _CREDENTIALS.match(bare) is not None


_BREAKS = ("softbreak", "hardbreak")


def parse_markdown(text: str) -> Sequence[Token]:
    """Return the Markdown tokens of ``text``; HTML in it is text, tables are read."""
    return PARSER.parse(text)


@lru_cache(maxsize=8)  # each note is read by several rooms in turn; tokens take much room
def parsed_lately(text: str) -> Sequence[Token]:
    """Return the Markdown tokens of ``text``, which are not to be changed."""
    return parse_markdown(text)


def plain_texts(tokens: Iterable[Token]) -> Iterator[str]:
    """Yield the words of each block of parsed Markdown, without its marks."""
    for token in tokens:
        if token.type == "inline":
            children = token.children or ()
            yield "".join(" " if one.type in _BREAKS else one.content for one in children)
        elif token.type in ("code_block", "fence"):
            yield token.content


def plain_text(text: str) -> str:
    """Return the words of Markdown in one line, as somebody reads them who sees no marks."""
    return " ".join(" ".join(plain_texts(parse_markdown(text))).split())


def render_markdown(
    tokens: Sequence[Token], resolve: Resolve, top: int = 2, words: Words = lambda _: None
) -> str:
    """Return the HTML of parsed Markdown; ``words`` are asked how each stretch of text is set.

    Shape: headings begin at level ``top`` and skip none, whatever levels were
    written; a link that ``resolve`` leads nowhere leaves its words; a cell's
    alignment is a class (``left``, ``center``, ``right``), never a style.
    """
    asked = {"resolve": resolve, "words": words, "outline": _outline(tokens, top), "led": []}
    return _RENDERER.render(tokens, PARSER.options, asked)


@lru_cache(maxsize=4096)
def leading_to(address: str) -> str:
    """Return an address as the value of an attribute, empty for one that may not lead."""
    if _OWN.fullmatch(address):
        return address
    return "" if is_unsafe(address) else escapeHtml(normalizeLink(address))


_Tokens = Sequence[Token]


class _Renderer(RendererHTML):
    """The renderer with our links, headings and cells; the tokens stay as they are.

    Shape: ``env`` holds what ``render_markdown`` is asked with, ``led`` of each link that
    is open whether it leads anywhere.
    """

    def text(self, tokens: _Tokens, idx: int, _options: OptionsDict, env: EnvType) -> str:
        html: str | None = env["words"](tokens[idx].content)
        return escapeHtml(tokens[idx].content) if html is None else html

    def link_open(self, tokens: _Tokens, idx: int, _options: OptionsDict, env: EnvType) -> str:
        leading, title = _leading(tokens[idx], "href", env["resolve"])
        env["led"].append(bool(leading))
        return f'<a href="{leading}"{title}>' if leading else ""

    def link_close(self, _tokens: _Tokens, _idx: int, _options: OptionsDict, env: EnvType) -> str:
        return "</a>" if env["led"].pop() else ""

    def image(self, tokens: _Tokens, idx: int, options: OptionsDict, env: EnvType) -> str:
        words = escapeHtml(self.renderInlineAsText(tokens[idx].children, options, env))
        leading, title = _leading(tokens[idx], "src", env["resolve"])
        return f'<img src="{leading}" alt="{words}"{title}>' if leading else words

    def _heading(self, tokens: _Tokens, idx: int, options: OptionsDict, env: EnvType) -> str:
        html = self.renderToken(tokens, idx, options, env)
        return html.replace(tokens[idx].tag, env["outline"][idx])

    def _cell(self, tokens: _Tokens, idx: int, options: OptionsDict, env: EnvType) -> str:
        html = self.renderToken(tokens, idx, options, env)
        return html.replace('style="text-align:', 'class="')

    heading_open = heading_close = _heading
    th_open = td_open = _cell


_RENDERER = _Renderer()


def _leading(token: Token, name: str, resolve: Resolve) -> tuple[str, str]:
    """Return the address and the title of a link as HTML, empty where it leads nowhere.

    Shape: the address is the value of an attribute, the title the attribute as a whole.
    """
    written = str(token.attrs.get(name, ""))
    found = None if is_unsafe(written) else resolve(written)
    if found is None:
        return "", ""
    address, title = (found, None) if isinstance(found, str) else found
    title = str(token.attrs.get("title", "")) or title
    return leading_to(address), f' title="{escapeHtml(title)}"' if title else ""


def _outline(tokens: Sequence[Token], top: int) -> dict[int, str]:
    """Return the tags that make one outline of the headings, which begins at ``top``.

    Shape: by the number of the token that opens or closes a heading.
    """
    levels = [int(token.tag[1]) for token in tokens if token.type == "heading_open"]
    base = max([top, min(levels, default=top)])
    above: list[int] = []
    tags: dict[int, str] = {}
    for number, token in enumerate(tokens):
        if token.type == "heading_open":
            level = int(token.tag[1])
            while above and above[-1] >= level:
                above.pop()
            above.append(level)
        if token.type in ("heading_open", "heading_close"):
            tags[number] = f"h{min(base + len(above) - 1, 6)}"
    return tags
