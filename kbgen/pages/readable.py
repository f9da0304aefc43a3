"""What a reader sees of markup, as plain text: for the data blocks, which say nothing else."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from functools import lru_cache
from html import unescape

__all__ = ["StepList", "plain", "step_lists"]

_BLOCKS = frozenset(
    ["blockquote", "br", "dd", "dl", "dt", "li", "ol", "p", "pre", "table", "td", "th", "tr", "ul"]
)
# All markup here was written by this program: no sign of HTML stands in a text or an attribute.
_TAG = re.compile(r"</?(\w+)[^>]*>")
_FRAME = re.compile(r"<(/?)(h[1-6]|li|ol|ul|blockquote)\b[^>]*>")


@lru_cache(maxsize=4096)  # a page asks for the same line several times
def plain(markup: str) -> str:
    """Return the words of markup, single blanks between them, blocks kept apart."""
    return _words(markup)


def _words(markup: str) -> str:
    if "<" in markup:
        markup = _TAG.sub(lambda found: " " if found[1] in _BLOCKS else "", markup)
    return " ".join(str(unescape(markup)).split())  # markup would be split into markup


@dataclass(frozen=True, slots=True)
class StepList:
    """A numbered list of prose: the heading it stands under, empty where none, and its steps."""

    heading: str
    steps: tuple[str, ...]


def step_lists(markup: str) -> tuple[StepList, ...]:
    """Return the outermost numbered lists of rendered Markdown, in order."""
    if "<ol" not in markup:
        return ()
    found = _Steps(markup)
    for tag in _FRAME.finditer(markup):
        if tag[1]:
            found.end(tag[2], tag.start())
        else:
            found.start(tag[2], tag.end())
    return tuple(found.lists)


@dataclass(slots=True)
class _Steps:
    """Numbered lists as they are met.

    Shape: ``begun`` is where the words of a heading or of a step begin; ``depth`` counts
    lists, numbered or not, inside the numbered one, ``outside`` plain lists and quotations
    around it.
    """

    markup: str
    lists: list[StepList] = field(default_factory=list)
    heading: str = ""
    steps: list[str] = field(default_factory=list)
    begun: int | None = None
    depth: int = 0
    outside: int = 0

    def start(self, tag: str, at: int) -> None:
        """Take a tag that ends at a place of the markup and opens something."""
        if self.depth:
            self.depth += tag in ("ol", "ul")
        elif tag in ("ul", "blockquote"):
            self.outside += 1
        elif tag == "ol" and not self.outside:
            self.depth, self.steps = 1, []
        if tag.startswith("h") or (tag == "li" and self.depth == 1):
            self.begun = at

    def end(self, tag: str, at: int) -> None:
        """Take a tag that begins at a place of the markup and closes something."""
        if tag.startswith("h") and self.begun is not None:
            self.heading, self.begun = _words(self.markup[self.begun : at]), None
        elif tag == "li" and self.depth == 1 and self.begun is not None:
            self.steps.append(_words(self.markup[self.begun : at]))
            self.begun = None
        elif self.depth and tag in ("ol", "ul"):
            self.depth -= 1
            if not self.depth:
                self.lists.append(StepList(self.heading, tuple(filter(None, self.steps))))
        elif tag in ("ul", "blockquote") and self.outside:
            self.outside -= 1
