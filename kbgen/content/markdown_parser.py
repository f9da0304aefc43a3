"""The parser of our Markdown, which asks of a text only the rules that can begin there.

Its tokens are those of the library: a rule that is passed over could not have matched.

Source: CommonMark 0.31.2, chapter 4 (what each kind of block begins with) and chapter 6
(what each kind of inline begins with).
"""

from __future__ import annotations

import re
from collections.abc import Mapping

from markdown_it import MarkdownIt, rules_block
from markdown_it.parser_block import ParserBlock, RuleFuncBlockType
from markdown_it.parser_inline import ParserInline
from markdown_it.ruler import Ruler
from markdown_it.rules_block import StateBlock
from markdown_it.token import Token
from markdown_it.utils import EnvType

__all__ = ["PARSER", "LinksAsWritten"]

_Rules = list[RuleFuncBlockType]

_BEGUN_BY: Mapping[RuleFuncBlockType, str] = {
    rules_block.fence: "`~",
    rules_block.blockquote: ">",
    rules_block.hr: "*-_",
    rules_block.list_block: "*+-0123456789",
    rules_block.reference: "[",
    rules_block.heading: "#",
}
"""The letters that some kinds of block begin with; the others may begin with any."""

_LETTERS = frozenset("".join(_BEGUN_BY.values()))


class _LineRules(Ruler[RuleFuncBlockType]):
    """The rules for lines, of which only those are asked that a line's first letter begins."""

    def __init__(self) -> None:
        super().__init__()
        self._choosing: dict[str, _Rules] = {}

    def getRules(self, chainName: str = "") -> _Rules:  # noqa: N802, N803 - the library's names
        """Return one rule that stands for all of a chain."""
        if chainName not in self._choosing:
            self._choosing[chainName] = [_first_of(super().getRules(chainName))]
        return self._choosing[chainName]


def _first_of(rules: _Rules) -> RuleFuncBlockType:
    """Return a rule that matches where one of these does, and as the first that does."""
    by_letter = {
        letter: [rule for rule in rules if letter in _BEGUN_BY.get(rule, letter)]
        for letter in _LETTERS
    }
    others = [rule for rule in rules if rule not in _BEGUN_BY]

    def matches(state: StateBlock, line: int, end: int, silent: bool) -> bool:
        at = state.bMarks[line] + state.tShift[line]
        for rule in by_letter.get(state.src[at : at + 1], others):
            if rule(state, line, end, silent):
                return True
        return False

    return matches


class _Lines(ParserBlock):
    """The parser of lines."""

    def __init__(self) -> None:
        super().__init__()
        library, self.ruler = self.ruler, _LineRules()
        self.ruler.__rules__ = library.__rules__


class _Words(ParserInline):
    """The parser of a block's words: those without a mark are one stretch of text."""

    _marked = re.compile(r"[\n\\`*_\[<&]")

    def __init__(self) -> None:
        super().__init__()
        self.terminator_re = re.compile(r"[\n\\`*_\[\]!<&]")

    def parse(self, src: str, md: MarkdownIt, env: EnvType, tokens: list[Token]) -> list[Token]:
        """Put the tokens of a block's words behind ``tokens``."""
        if not src or self._marked.search(src):
            return super().parse(src, md, env, tokens)
        tokens.append(Token("text", "", 0, content=src))
        return tokens


class LinksAsWritten(MarkdownIt):
    """The library's parser without its own judgement of links."""

    def validateLink(self, url: str) -> bool:  # noqa: ARG002, N802 - the parser's own names
        """Accept every link: where it leads is judged by the checks."""
        return True

    def normalizeLink(self, url: str) -> str:  # noqa: N802 - the parser's own name
        """Keep a link as it is written: it may be one of our own schemes."""
        return url

    def normalizeLinkText(self, link: str) -> str:  # noqa: N802 - the parser's own name
        """Show a bare address as it is written, so that each letter keeps its place."""
        return link


class _Parser(LinksAsWritten):
    """The parser that asks only the rules that can begin where it is."""

    def __init__(self) -> None:
        super().__init__("commonmark", {"html": False, "xhtmlOut": False})
        self.inline, self.block = _Words(), _Lines()
        self.configure("commonmark", {"html": False, "xhtmlOut": False})
        self.enable("table").disable(["html_block", "html_inline"])


PARSER = _Parser()
