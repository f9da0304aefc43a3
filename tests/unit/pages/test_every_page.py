"""What every page of the demonstration says, whatever its kind."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from pathlib import Path
from posixpath import dirname, join, normpath

import pytest

from kbgen.checks import Checked, check
from kbgen.content import load_tree
from kbgen.content.models import Obtained, Standing
from kbgen.pages import render_site

ROOT = Path(__file__).resolve().parents[3]
OBTAINED = {
    Obtained.BOUGHT: "We bought it and paid for it ourselves.",
    Obtained.GIFT: "It was given to us.",
    Obtained.LOAN: "It was lent to us, and went back.",
    Obtained.PAID: "We were paid to show it.",
}
TIED = {
    Obtained.GIFT: "Given to us",
    Obtained.LOAN: "Lent to us",
    Obtained.PAID: "We were paid to show",
}


class Said(HTMLParser):
    """A page as it is read: its links, each with its words' place in the text before it."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.text = ""
        self.links: list[tuple[str, str, int]] = []
        self.refreshed = False
        self.foot: dict[str, str] = {}
        self._term = ""
        self._in = ""
        self._hidden = 0
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = {name: value or "" for name, value in attrs}
        self._hidden += tag in ("style", "script", "title")
        self.refreshed |= told.get("http-equiv") == "refresh"
        if tag in ("dt", "dd"):
            self._in = tag
        if tag == "a":
            self.links.append((told.get("href", ""), told.get("rel", ""), len(self.text)))

    def handle_endtag(self, tag: str) -> None:
        self._hidden -= tag in ("style", "script", "title")
        if tag in ("dt", "dd"):
            self._in = ""

    def handle_data(self, data: str) -> None:
        if self._hidden:
            return
        self.text += data
        if self._in == "dt":
            self._term = data
        elif self._in == "dd":
            self.foot[self._term] = self.foot.get(self._term, "") + data

    def before(self, place: int) -> str:
        return " ".join(self.text[:place].split())


@pytest.fixture(scope="module")
def checked() -> Checked:
    return check(load_tree(ROOT))


@pytest.fixture(scope="module")
def pages(checked: Checked) -> dict[str, Said]:
    files = dict(render_site(checked))
    return {
        path: Said(data.decode("utf-8")) for path, data in files.items() if path.endswith(".html")
    }


def test_every_page_says_where_it_is_written_and_under_what_licence(
    pages: dict[str, Said], checked: Checked
) -> None:
    workshop = checked.tree.workshop
    assert workshop and workshop.licence
    for path, said in pages.items():
        source = said.foot.get("Written in", "")
        assert source and (ROOT / source).exists(), (path, source)
        assert said.foot.get("Licence") == workshop.licence, path


def test_a_note_and_what_is_made_of_it_name_the_note_s_own_file(
    pages: dict[str, Said], checked: Checked
) -> None:
    for note in checked.published:
        for folder in ("n", "c"):
            said = pages[f"{folder}/{note.number:04}.html"]
            assert said.foot["Written in"] == note.source.path


def test_how_a_part_was_come_by_stands_before_the_first_link_to_it(
    pages: dict[str, Said], checked: Checked
) -> None:
    """16 CFR 255.5, on every page that leads to a part that was given, lent or paid for."""
    tied = {
        f"p/{part.id}.html": (TIED[part.model.obtained], part.model.name)
        for part in checked.tree.parts.values()
        if part.model.obtained in TIED
    }
    assert len(tied) > 10
    kinds = set()
    for path, said in pages.items():
        for href, _, place in said.links:
            target = normpath(join(dirname(path), href.partition("#")[0]))
            if target in tied and target != path:
                kinds.add(path.partition("/")[0])
                how, name = tied[target]
                line = said.before(place).partition("Not bought by us.")[2]
                assert name in line.partition(f"{how}: ")[2], (path, target, line[:200])
    assert {"n", "m", "parts.html"} <= kinds


def test_every_link_to_a_shop_stands_behind_how_we_came_by_the_part(
    pages: dict[str, Said], checked: Checked
) -> None:
    workshop = checked.tree.workshop
    assert workshop
    offers = {
        offer.address: part for part in checked.tree.parts.values() for offer in part.model.offers
    }
    seen = set()
    for path, said in pages.items():
        for href, rel, place in said.links:
            part = offers.get(href)
            if part is None:
                assert "sponsored" not in rel, (path, href)
                continue
            seen.add(href)
            before = said.before(place)
            how = part.model.obtained
            assert OBTAINED[how] in before, (path, href)
            assert ("sponsored" in rel.split()) == (how in TIED), (path, href, rel)
            if how in TIED:
                assert " ".join(workshop.disclosure.split()) in before, (path, href)
    assert seen == set(offers)


def test_no_link_leads_out_that_is_not_meant_to(pages: dict[str, Said], checked: Checked) -> None:
    """A shop that a page links to without saying so would be an offer without its disclosure."""
    workshop = checked.tree.workshop
    assert workshop
    known = {offer.address for part in checked.tree.parts.values() for offer in part.model.offers}
    films = tuple(recording.model.address for recording in checked.tree.recordings.values())
    written = "\n".join([*(note.source.text for note in checked.published), workshop.about or ""])
    for path, said in pages.items():
        for href, _, _ in said.links:
            if not href.startswith(("http:", "https:")):
                continue
            own = href.startswith(workshop.base_address)
            assert own or href in known or href.startswith(films) or href in written, (path, href)


def test_what_is_not_published_yet_is_nowhere(pages: dict[str, Said], checked: Checked) -> None:
    """Notes that were begun: no page, no link, no word of them in any list."""
    begun = [
        note
        for note in checked.tree.notes.values()
        if note.front.standing not in (Standing.PUBLISHED, Standing.WITHDRAWN)
    ]
    for note in begun:
        assert f"n/{note.number:04}.html" not in pages
        assert f"c/{note.number:04}.html" not in pages
        for path, said in pages.items():
            assert note.front.title not in said.text, (path, note.number)


def test_what_was_withdrawn_leads_to_its_successor_and_says_nothing_else(
    pages: dict[str, Said], checked: Checked
) -> None:
    for note in checked.tree.notes.values():
        if note.front.standing is not Standing.WITHDRAWN:
            continue
        said = pages[f"n/{note.number:04}.html"]
        assert f"{note.front.successor:04}.html" in {href for href, _, _ in said.links}
        assert note.front.fix not in said.text
        assert (
            f"c/{note.number:04}.html" not in pages or pages[f"c/{note.number:04}.html"].refreshed
        )


def test_help_stands_at_the_same_place_of_every_page(pages: dict[str, Said]) -> None:
    """WCAG 2.2, success criterion 3.2.6: how to report a slip, in the foot."""
    for path, said in pages.items():
        terms = list(said.foot)
        assert terms[-6:][0] == "Found a slip?", (path, terms)


def test_any_note_is_at_most_two_clicks_from_home(pages: dict[str, Said]) -> None:
    def led(path: str) -> set[str]:
        return {
            normpath(join(dirname(path), href.partition("#")[0]))
            for href, _, _ in pages[path].links
            if not re.match("[a-z]+:", href)
        } & set(pages)

    once = led("index.html")
    twice = once.union(*(led(path) for path in once))
    notes = {path for path in pages if path.startswith("n/")}
    standing = {path for path in notes if "no longer stands" not in pages[path].text}
    assert len(standing) > 90
    assert standing <= twice
