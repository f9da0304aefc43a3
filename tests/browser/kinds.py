"""One page of every kind: the longest of each, which has most of what can go wrong."""

from __future__ import annotations

import re
from pathlib import Path

_KIND = re.compile(r'<body class="k-([a-z]+)')


def all_pages(site: Path) -> list[str]:
    """Return every page of a site, sorted."""
    return sorted(path.relative_to(site).as_posix() for path in site.rglob("*.html"))


def kind_of(site: Path, path: str) -> str:
    """Return the kind of a page, by the class of its body."""
    found = _KIND.search((site / path).read_text("utf-8"))
    assert found, f"{path} does not say what kind of page it is"
    return found[1]


def one_of_each(site: Path) -> list[str]:
    """Return the pages at the root, and the longest of each kind in the folders.

    Shape: without the pages of moved addresses, which no browser stays on.
    """
    longest: dict[str, str] = {}
    pages = all_pages(site)
    for path in sorted(pages, key=lambda path: ((site / path).stat().st_size, path)):
        if "/" in path and (kind := kind_of(site, path)) != "forward":
            longest[kind] = path
    return [*(path for path in pages if "/" not in path), *sorted(longest.values())]
