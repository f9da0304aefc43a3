"""Scripts off: any note within two clicks from home; every link of the site leads somewhere."""

from __future__ import annotations

import gzip
import re
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import urlsplit

from kinds import all_pages
from playwright.sync_api import Browser


class Anchors(HTMLParser):
    """Gathers a page's links, the files it loads and its ids."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.links: list[str] = []
        self.loads: list[str] = []
        self.ids: list[str] = []
        self.inline: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = {name: value or "" for name, value in attrs}
        if "id" in told:
            self.ids.append(told["id"])
        if tag == "a":
            self.links.append(told["href"])
        if tag in ("img", "script") and "src" in told:
            self.loads.append(told["src"])
            self.loads += [one.split()[0] for one in told.get("srcset", "").split(",") if one]
        if tag == "link" and told.get("rel") in ("icon", "stylesheet"):
            self.loads.append(told["href"])
        if "style" in told or any(name.startswith("on") for name in told):
            self.inline.append(f"{tag} {told}")
        if tag == "script" and "src" not in told and told.get("type") != "application/ld+json":
            self.inline.append("script")


def read(site: Path) -> dict[str, Anchors]:
    return {path: Anchors((site / path).read_text("utf-8")) for path in all_pages(site)}


def led(start: str, href: str) -> tuple[str, str] | None:
    """Return the path in the site and the anchor that a link leads to, None for outside."""
    parts = urlsplit(href)
    if parts.scheme:
        return None
    where: list[str] = start.split("/")[:-1] if parts.path else start.split("/")
    for step in parts.path.split("/") if parts.path else ():
        if step == "..":
            where.pop()
        else:
            where.append(step)
    return "/".join(where), parts.fragment


def test_every_link_and_every_anchor_is_there(site: Path) -> None:
    pages = read(site)
    dead = []
    for start, page in pages.items():
        for href in (*page.links, *page.loads):
            assert not href.startswith("/"), f"{start}: {href} breaks under a sub-path"
            target = led(start, href)
            if target is None:
                continue
            path, anchor = target
            there = (site / path).is_file()
            if not there or (anchor and anchor not in pages[path].ids):
                dead.append((start, href))
    assert dead == []
    assert sum(len(page.links) for page in pages.values()) > 100


def test_no_id_stands_twice_and_nothing_is_inline(site: Path) -> None:
    for start, page in read(site).items():
        assert len(page.ids) == len(set(page.ids)), start
        assert page.inline == [], start


def test_a_note_is_at_most_14000_bytes_compressed_and_a_family_24000(site: Path) -> None:
    """With the inlined style and the drawings; photographs are files of their own."""
    for folder, most in (("n", 14_000), ("m", 24_000)):
        for path in sorted((site / folder).glob("*.html")):
            size = len(gzip.compress(path.read_bytes(), 9, mtime=0))
            assert size <= most, f"{folder}/{path.name} is {size} bytes"


def test_every_page_is_reached_from_home(site: Path) -> None:
    pages = read(site)
    reached, ahead = {"index.html"}, ["index.html"]
    while ahead:
        start = ahead.pop()
        for href in pages[start].links:
            target = led(start, href)
            if target and target[0] in pages and target[0] not in reached:
                reached.add(target[0])
                ahead.append(target[0])
    lonely = set(pages) - reached
    # what was withdrawn or has moved is kept for those who hold its address; 404.html is
    # shown by hosts
    assert {
        path
        for path in lonely
        if 'class="k-withdrawn' not in (site / path).read_text("utf-8")
        and 'class="k-forward' not in (site / path).read_text("utf-8")
        and path != "404.html"
    } == set()


def test_scripts_off_any_note_is_two_clicks_from_home(
    browser: Browser, over_http: str, site: Path
) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()

    def links() -> set[str]:
        found: set[str] = set(page.evaluate("[...document.links].map(a => a.href)"))
        return {url.partition("#")[0] for url in found if url.startswith(over_http)}

    page.goto(over_http + "index.html")
    once = links()
    twice = set(once)
    for url in sorted(once):
        page.goto(url)
        twice |= links()
    context.close()
    notes = {over_http + path.relative_to(site).as_posix() for path in site.glob("n/*.html")}
    shown = {
        url
        for url in notes
        if 'class="k-note' in (site / url.removeprefix(over_http)).read_text("utf-8")
    }
    assert shown
    assert shown - twice == set()


def test_a_search_from_elsewhere_arrives_with_its_words(
    browser: Browser, over_http: str, site: Path
) -> None:
    """What opensearch.xml tells a browser to open finds something."""
    text = (site / "opensearch.xml").read_text("utf-8")
    found = re.search(r'template="https://[^/"]+/([^"]+)"', text)
    assert found
    page = browser.new_page()
    page.goto(over_http + found[1].replace("{searchTerms}", "needle+drops"))
    page.wait_for_selector("#find-results li")
    asked = page.input_value("#find-query")
    page.close()
    assert asked == "needle drops"
