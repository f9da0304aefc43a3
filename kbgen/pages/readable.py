"""What a reader sees of markup, as plain text: for the data blocks, which say nothing else."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache
from html.parser import HTMLParser

__all__ = ["StepList", "plain", "step_lists"]

_BLOCKS = frozenset(
    ["blockquote", "br", "dd", "dl", "dt", "li", "ol", "p", "pre", "table", "td", "th", "tr", "ul"]
)
_HEADINGS = frozenset(f"h{level}" for level in range(1, 7))


class _Text(HTMLParser):
    """Gathers the text of markup, blocks kept apart by a blank."""

    def __init__(self, markup: str) -> None:
        super().__init__(convert_charrefs=True)
        self.parts: list[str] = []
        self.feed(markup)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:  # noqa: ARG002
        if tag in _BLOCKS:
            self.parts.append(" ")

    def handle_endtag(self, tag: str) -> None:
        if tag in _BLOCKS:
            self.parts.append(" ")

    def handle_data(self, data: str) -> None:
        self.parts.append(data)


@lru_cache(maxsize=4096)  # a page asks for the same line several times
def plain(markup: str) -> str:
    """Return the words of markup, single blanks between them."""
    if "<" not in markup and "&" not in markup:
        return " ".join(markup.split())
    return " ".join("".join(_Text(str(markup)).parts).split())


@dataclass(frozen=True, slots=True)
class StepList:
    """A numbered list of prose: the heading it stands under, empty where none, and its steps."""

    heading: str
    steps: tuple[str, ...]


def step_lists(markup: str) -> tuple[StepList, ...]:
    """Return the outermost numbered lists of rendered Markdown, in order."""
    found = _Steps()
    found.feed(str(markup))
    found.close()
    return tuple(found.lists)


@dataclass
class _Open:
    """What is being read: the words of a heading or of a step."""

    words: list[str] = field(default_factory=list)

    def text(self) -> str:
        """Return the words read so far, single blanks between them."""
        return " ".join("".join(self.words).split())


class _Steps(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.lists: list[StepList] = []
        self._heading = ""
        self._steps: list[str] = []
        self._open: _Open | None = None
        self._depth = 0  # of lists, numbered or not, inside the numbered one
        self._outside = 0  # of plain lists and quotations around it

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:  # noqa: ARG002
        if self._depth:
            self._depth += tag in ("ol", "ul")
        elif tag in ("ul", "blockquote"):
            self._outside += 1
        elif tag == "ol" and not self._outside:
            self._depth, self._steps = 1, []
        if tag in _HEADINGS or (tag == "li" and self._depth == 1):
            self._open = _Open()
        elif self._open and tag in _BLOCKS:
            self._open.words.append(" ")

    def handle_endtag(self, tag: str) -> None:
        if tag in _HEADINGS and self._open:
            self._heading, self._open = self._open.text(), None
        elif tag == "li" and self._depth == 1 and self._open:
            self._steps.append(self._open.text())
            self._open = None
        elif self._depth and tag in ("ol", "ul"):
            self._depth -= 1
            if not self._depth:
                self.lists.append(StepList(self._heading, tuple(filter(None, self._steps))))
        elif tag in ("ul", "blockquote") and self._outside:
            self._outside -= 1
        if self._open and tag in _BLOCKS:
            self._open.words.append(" ")

    def handle_data(self, data: str) -> None:
        if self._open:
            self._open.words.append(data)
