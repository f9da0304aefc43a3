"""Markdown: text → tokens → HTML; the only user of markdown-it-py."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from markdown_it import MarkdownIt
from markdown_it.token import Token

__all__ = ["Resolve", "parse_markdown", "render_markdown"]

Resolve = Callable[[str], tuple[str, str | None] | None]


class _Parser(MarkdownIt):
    def validateLink(self, url: str) -> bool:  # noqa: N802 - the parser's own name
        """Accept every link: where it leads is judged by the checks."""
        return True

    def normalizeLink(self, url: str) -> str:  # noqa: N802 - the parser's own name
        """Keep a link as it is written: it may be one of our own schemes."""
        return url


_PARSER = _Parser("commonmark", {"html": False}).enable("table")


def parse_markdown(text: str) -> Sequence[Token]:
    """Return the Markdown tokens of ``text``; HTML in it is text, tables are read."""
    return _PARSER.parse(text)


def render_markdown(tokens: Sequence[Token], resolve: Resolve) -> str:
    """Return the HTML of parsed Markdown."""
    return str(_PARSER.renderer.render(tokens, _PARSER.options, {}))
