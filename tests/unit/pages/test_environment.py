"""Templates: relative addresses, the policy's digest, a tree's own files."""

from __future__ import annotations

import base64
import hashlib
import re
from pathlib import Path
from types import SimpleNamespace

import jinja2
import pytest

from kbgen.pages.environment import Templates, relative
from kbgen.pages.views import LinkView, Page

SHARED = {
    "workshop": SimpleNamespace(
        name="Bench",
        language="en",
        base="https://bench.example.org/",
        motto="",
        contact="write",
        licence="",
        locale="en",
    ),
    "nav": (LinkView("Screws", "screws.html"),),
    "steel_rule": "",
    "rule_again": "",
}


def page(path: str = "n/0001.html", **more: object) -> Page:
    told = {"kind": "list", "title": "A page", "purpose": "for a test", "body": (), **more}
    return Page(path=path, **told)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("start", "address", "seen"),
    [
        ("index.html", "n/0017.html", "n/0017.html"),
        ("n/0017.html", "index.html", "../index.html"),
        ("n/0017.html", "m/halverin-h.html#clamp", "../m/halverin-h.html#clamp"),
        ("n/0017.html", "n/0018.html", "0018.html"),
        ("m/a.html", "m/a.html#clamp", "#clamp"),
        ("m/a.html", "https://shop.example.org/x#y", "https://shop.example.org/x#y"),
    ],
)
def test_addresses_are_seen_from_the_page(start: str, address: str, seen: str) -> None:
    assert relative(start, address) == seen


@pytest.mark.parametrize("path", ["index.html", "n/0001.html"])
def test_the_policy_allows_exactly_the_style_that_stands_in_the_page(path: str) -> None:
    html = Templates(None, SHARED).render(page(path), kept=()).decode()
    style = re.search(r"<style>(.*?)</style>", html, re.DOTALL)
    assert style
    digest = base64.b64encode(hashlib.sha256(style[1].encode()).digest()).decode()
    policy = re.search(r'Content-Security-Policy" content="([^"]+)"', html)
    assert policy
    assert f"style-src 'sha256-{digest}'" in policy[1]
    assert "default-src 'none'" in policy[1]
    assert "unsafe" not in policy[1]


def test_a_font_is_reached_from_a_page_below_the_root() -> None:
    templates = Templates(None, SHARED)
    assert b"url(../fonts/" in templates.render(page(), kept=())
    assert b"url(fonts/" in templates.render(page("index.html"), kept=())


def test_a_tree_replaces_single_files(tmp_path: Path) -> None:
    (tmp_path / "list.html").write_text("mine: {{ page.title }}", encoding="utf-8")
    templates = Templates(tmp_path, SHARED)
    assert templates.render(page(), kept=()) == b"mine: A page\n"
    assert templates.file("icon.svg").startswith(b"<svg")


def test_a_name_that_is_not_there_is_an_error_and_no_empty_text(tmp_path: Path) -> None:
    (tmp_path / "list.html").write_text("{{ page.colour }}", encoding="utf-8")
    with pytest.raises(jinja2.UndefinedError):
        Templates(tmp_path, SHARED).render(page(), kept=())


def test_what_a_title_says_is_never_markup() -> None:
    html = Templates(None, SHARED).render(page(title="<script>x</script>"), kept=()).decode()
    assert "<script>" not in html
    assert "&lt;script&gt;" in html
