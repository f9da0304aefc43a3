"""One page of every kind: the longest of each folder, which has most of what can go wrong."""

from __future__ import annotations

from pathlib import Path

LISTS = (
    "index.html",
    "symptoms.html",
    "families.html",
    "screws.html",
    "parts.html",
    "recordings.html",
    "corrections.html",
    "notes.html",
    "find.html",
    "about.html",
    "404.html",
)
FOLDERS = ("n", "m", "s", "t", "p", "r")


def all_pages(site: Path) -> list[str]:
    """Return every page of a site, sorted."""
    return sorted(path.relative_to(site).as_posix() for path in site.rglob("*.html"))


def one_of_each(site: Path) -> list[str]:
    """Return the lists and the longest page of each folder."""
    longest = [
        max((site / folder).glob("*.html"), key=lambda path: (path.stat().st_size, path.name))
        for folder in FOLDERS
    ]
    return [*LISTS, *(path.relative_to(site).as_posix() for path in longest)]
