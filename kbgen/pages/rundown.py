"""The running order of a recording as a page to print: no page of the site, but set as one."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from kbgen.checks import Checked
from kbgen.pages.environment import Templates
from kbgen.pages.site import shown_of
from kbgen.pages.views import Page

__all__ = ["RundownItem", "RundownPage", "RundownScrew", "rundown_page"]


@dataclass(frozen=True, slots=True)
class RundownScrew:
    """A screw as it is said: its place, its canonical thread, and how tight."""

    where: str
    thread: str
    left_hand: bool
    tightness: str
    basis: str


@dataclass(frozen=True, slots=True)
class RundownItem:
    """One subject that is read out.

    Shape: ``cautions`` are signal words in small letters with what is said to each;
    ``not_to_say`` are figures, each with why; ``hints`` are lines for whoever reads.
    """

    number: int
    short: str
    told: str
    asked_by: str
    note: str
    address: str
    cautions: tuple[tuple[str, str], ...]
    answer: str
    hints: tuple[str, ...]
    screws: tuple[RundownScrew, ...]
    not_to_say: tuple[tuple[str, str], ...]
    stated: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class RundownPage:
    """A running order: groups of items under headings, and the sheets that follow it.

    Shape: ``sheets`` are headings with lines, each with lines beneath it; ``left_over``
    is the last sheet, which begins on a page of its own.
    """

    title: str
    head: tuple[str, ...]
    groups: tuple[tuple[str, tuple[RundownItem, ...]], ...]
    sheets: tuple[tuple[str, tuple[tuple[str, tuple[str, ...]], ...]], ...]
    left_over: tuple[tuple[str, tuple[str, ...]], ...]


def rundown_page(checked: Checked, view: RundownPage, templates: Path | None = None) -> bytes:
    """Return the running order as one HTML file that needs nothing beside it.

    Shape: ``templates`` is the tree's own folder of templates, which need not exist.
    """
    page = Page(
        path="rundown.html",
        kind="rundown",
        title=view.title,
        purpose="The running order of a question-and-answer recording.",
        body=view,
        source="content/questions",
        anywhere=True,
    )
    return Templates(templates, {"workshop": shown_of(checked)}).render(page)
