"""Any file of the site can be made alone, and is the one that the whole site has."""

from __future__ import annotations

from pathlib import Path

from kbgen.build import SiteFiles
from kbgen.checks import check
from kbgen.content import load_tree
from kbgen.pages import render_site

GOLDEN = Path(__file__).parents[2] / "golden" / "tree"


def test_a_page_made_alone_is_that_of_the_whole_site() -> None:
    checked = check(load_tree(GOLDEN))
    whole = dict(render_site(checked, GOLDEN / "templates"))
    alone = SiteFiles(GOLDEN, checked)
    assert len(whole) > 30
    for path, data in whole.items():
        assert alone.file(path) == data, path


def test_what_the_site_does_not_have_is_nothing() -> None:
    alone = SiteFiles(GOLDEN, check(load_tree(GOLDEN)))
    for path in ("n/9999.html", "", "/", "..", "n", "photos/../x", "other.xml", "find.htm"):
        assert alone.file(path) is None, path
