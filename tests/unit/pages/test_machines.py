"""What is for machines: feed, list of pages, robots, data blocks, searching from elsewhere.

Sources: RFC 4287 and RFC 3339 (feed), RFC 4151 (names of corrections), Sitemaps 0.9,
RFC 9309 (robots), schema.org 30.1 (schema/schema_org.tsv), OpenSearch 1.1 draft 6, and
ogp.me for OpenGraph.
"""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Iterator
from datetime import date, datetime
from pathlib import Path
from typing import Any
from urllib.parse import urljoin, urlsplit
from urllib.robotparser import RobotFileParser

import pytest
from lxml import etree, html

from kbgen.checks import check
from kbgen.content import load_tree
from kbgen.pages import render_site
from kbgen.pages.machines import Site as Told
from kbgen.pages.machines import search_description, sitemaps
from kbgen.pages.readable import plain, step_lists
from kbgen.pages.structured import duration
from kbgen.pages.views import Page

SCHEMA = Path(__file__).parent / "schema"
BASE = "https://bench.example.org/"
TOLD = Told("Test Bench", "en-GB", BASE, "", "")
ATOM = "{http://www.w3.org/2005/Atom}"
MAP = "{http://www.sitemaps.org/schemas/sitemap/0.9}"
SEARCH = "{http://a9.com/-/spec/opensearch/1.1/}"
Site = dict[str, bytes]


def pages_of(site: Site) -> dict[str, Any]:
    return {path: html.fromstring(text) for path, text in site.items() if path.endswith(".html")}


@pytest.fixture(scope="module")
def pages(site: Site) -> dict[str, Any]:
    """Every page as a parsed document."""
    return pages_of(site)


@pytest.fixture(scope="module")
def renewed(tree: Path, tmp_path_factory: pytest.TempPathFactory) -> Any:
    """A way to build the small tree again after some of its text was changed."""

    def build(**changes: tuple[str, str]) -> Site:
        root = tmp_path_factory.mktemp("changed") / "tree"
        shutil.copytree(tree, root)
        for name, (old, new) in changes.items():
            path = next((root / "content").rglob(f"{name}*.*"))
            text = path.read_text("utf-8")
            assert text.count(old) == 1, (name, old)
            path.write_text(text.replace(old, new), "utf-8")
        checked = check(load_tree(root))
        assert checked.publishable, checked.findings
        return dict(render_site(checked))

    return build


# --- the feed


@pytest.fixture(scope="module")
def schema() -> etree.RelaxNG:
    return etree.RelaxNG.from_rnc_string((SCHEMA / "atom.rnc").read_text("utf-8"))


def entries(site: Site) -> dict[str, Any]:
    """Return the entries of the feed by their ids, in its order."""
    found = etree.fromstring(site["feed.xml"]).findall(f"{ATOM}entry")
    told = {entry.findtext(f"{ATOM}id"): entry for entry in found}
    assert len(told) == len(found), "an id stands twice"
    return told


def test_the_feed_keeps_the_rules_of_atom(site: Site, schema: etree.RelaxNG) -> None:
    feed = etree.fromstring(site["feed.xml"])
    assert schema.validate(feed), schema.error_log
    links = {link.get("rel"): link.get("href") for link in feed.findall(f"{ATOM}link")}
    assert links == {"self": BASE + "feed.xml", "alternate": BASE + "index.html"}
    assert len(feed.findall(f"{ATOM}link")) == 2
    assert feed.findtext(f"{ATOM}id") == BASE + "feed.xml"


@pytest.mark.parametrize(
    ("right", "wrong"),
    [
        (b"2026-03-05T00:00:00Z", b"yesterday"),
        (b"2026-03-05T00:00:00Z", b"2026-03-05T00:00:00"),
        (b"2026-03-05T00:00:00Z", b"2026-02-30T00:00:00Z"),
        (b"<title>Test Bench</title>", b""),
        (b"<name>Test Bench</name>", b"<name> </name>"),
        (b"<id>https://bench.example.org/n/0001.html</id>", b""),
        (b"<rights>", b'<rights type="html">'),
    ],
)
def test_the_schema_would_find_a_fault(
    site: Site, schema: etree.RelaxNG, right: bytes, wrong: bytes
) -> None:
    assert right in site["feed.xml"]
    assert not schema.validate(etree.fromstring(site["feed.xml"].replace(right, wrong)))


def test_notes_and_corrections_are_entries_newest_first(site: Site) -> None:
    told = list(entries(site).values())
    days = [entry.findtext(f"{ATOM}updated") for entry in told]
    assert days == sorted(days, reverse=True)
    assert etree.fromstring(site["feed.xml"]).findtext(f"{ATOM}updated") == days[0]
    assert [entry.findtext(f"{ATOM}title") for entry in told] == [
        "Corrected: The tyre slips & squeals",
        "Corrected: One H: Motor bolt",
        "The tyre slips & squeals",
        "Corrected: An evening",
        "The belt is loose",
    ]
    assert [entry.findtext(f"{ATOM}summary") for entry in told][:2] == [
        "The driver: was 4 mm, is 5 mm.",
        "was 3/8-26 BSF, is 3/8-24 UNF. Told by a reader.",
    ]


def test_every_entry_leads_to_a_page_that_is_there(site: Site, pages: dict[str, Any]) -> None:
    for entry in entries(site).values():
        address = entry.find(f"{ATOM}link").get("href")
        assert address.startswith(BASE)
        path, _, anchor = address.removeprefix(BASE).partition("#")
        assert path in pages
        assert not anchor or pages[path].get_element_by_id(anchor) is not None


def test_days_are_those_of_the_content(site: Site) -> None:
    note = entries(site)[BASE + "n/0001.html"]
    assert note.findtext(f"{ATOM}published") == "2026-01-10T00:00:00Z"
    assert note.findtext(f"{ATOM}updated") == "2026-03-04T00:00:00Z"
    for stamp in re.findall(r"\d{4}-\d{2}-\d{2}T\S+?Z", site["feed.xml"].decode()):
        assert datetime.fromisoformat(stamp).date() <= date(2026, 3, 5)


def test_ids_stay_when_notes_are_revised_and_corrections_added(site: Site, renewed: Any) -> None:
    before = entries(site)
    after = entries(
        renewed(
            **{
                "0001": ("title: The tyre slips & squeals", "title: The winder slips"),
                "0002": ("revised: 2026-01-11", "revised: 2026-04-01"),
                "one-h": (
                    "corrections: [{",
                    "corrections: [{date: 2026-03-04, was: 3/8-28 UN, told_by: a reader}, {",
                ),
            }
        )
    )
    assert set(before) < set(after)
    assert len(after) == len(before) + 1
    assert next(iter(after)) == BASE + "n/0002.html"


def test_a_correction_is_named_by_its_day_and_place(site: Site) -> None:
    """RFC 4151: tag:authority,date:specific, no fragment."""
    names = [name for name in entries(site) if name.startswith("tag:")]
    assert len(names) == 3
    for name in names:
        assert re.fullmatch(
            r"tag:bench\.example\.org,2026-\d\d-\d\d:[nmr]/[\w./-]+/[0-9a-f]{12}", name
        )


def test_the_same_correction_twice_is_one_entry(renewed: Any, site: Site) -> None:
    line = "corrections: [{date: 2026-03-05, what: The driver, was: 4 mm, now: 5 mm}"
    twice = renewed(**{"0001": (line, f"{line}, {line.removeprefix('corrections: [')}")})
    assert list(entries(twice)) == list(entries(site))


# --- the list of pages, and robots


def locations(data: bytes) -> list[str]:
    found = etree.fromstring(data).iter(f"{MAP}loc")
    return [loc.text or "" for loc in found]


@pytest.fixture(scope="module")
def map_schema() -> etree.XMLSchema:
    return etree.XMLSchema(etree.fromstring((SCHEMA / "sitemap.xsd").read_bytes()))


def canonical(page: Any) -> str:
    return "".join(page.xpath("//link[@rel='canonical']/@href"))


def test_the_sitemap_is_every_canonical_page_and_nothing_else(
    site: Site, pages: dict[str, Any], map_schema: etree.XMLSchema
) -> None:
    data = site["sitemap.xml"]
    assert len(data) <= 50_000_000
    assert map_schema.validate(etree.fromstring(data)), map_schema.error_log
    listed = locations(data)
    assert len(listed) == len(set(listed))
    own = {BASE + path for path, page in pages.items() if canonical(page) == BASE + path}
    assert set(listed) == own
    assert {BASE + "n/0001.html", BASE + "index.html", BASE + "find.html"} <= own
    assert not {BASE + path for path in ("404.html", "n/0003.html", "n/0004.html")} & own


def test_last_changes_are_those_of_the_content(site: Site) -> None:
    days = {
        url.findtext(f"{MAP}loc"): url.findtext(f"{MAP}lastmod")
        for url in etree.fromstring(site["sitemap.xml"])
    }
    assert days[BASE + "n/0001.html"] == "2026-03-04"
    assert days[BASE + "corrections.html"] == "2026-03-05"
    assert days[BASE + "find.html"] is None


@pytest.mark.parametrize(
    "wrong", ["<loc>n/1.html</loc>", "<loc>https://a.example/x</loc><lastmod>March</lastmod>", ""]
)
def test_the_map_schema_would_find_a_fault(map_schema: etree.XMLSchema, wrong: str) -> None:
    text = f'<urlset xmlns="{MAP[1:-1]}"><url>{wrong}</url></urlset>'
    assert not map_schema.validate(etree.fromstring(text))


def test_more_pages_than_a_list_may_hold_make_a_list_of_lists(map_schema: etree.XMLSchema) -> None:
    many = [Page(f"n/{number:04}.html", "note", "A", "b", None) for number in range(1, 8)]
    files = sitemaps(many, TOLD, most=3)
    assert sorted(files) == ["sitemap-1.xml", "sitemap-2.xml", "sitemap-3.xml", "sitemap.xml"]
    for data in files.values():
        assert map_schema.validate(etree.fromstring(data)), map_schema.error_log
    lists = locations(files["sitemap.xml"])
    assert lists == [BASE + f"sitemap-{number}.xml" for number in (1, 2, 3)]
    listed = [loc for name in lists for loc in locations(files[name.removeprefix(BASE)])]
    assert listed == [BASE + page.path for page in many]


def test_robots_may_read_everything_and_are_told_of_the_map(site: Site) -> None:
    parser = RobotFileParser()
    parser.parse(site["robots.txt"].decode("utf-8").splitlines())
    assert parser.site_maps() == [BASE + "sitemap.xml"]
    assert all(parser.can_fetch("anybody", loc) for loc in locations(site["sitemap.xml"]))


# --- the head of every page


def content(page: Any, name: str) -> list[str]:
    found: list[str] = page.xpath(f"//meta[@property='og:{name}']/@content")
    return found


def test_every_page_has_opengraph_feed_and_search(site: Site, pages: dict[str, Any]) -> None:
    for path, page in pages.items():
        assert content(page, "title") == [page.findtext("head/title").removesuffix(" · Test Bench")]
        assert content(page, "description") == page.xpath("//meta[@name='description']/@content")
        assert content(page, "locale") == ["en_GB"]
        assert content(page, "url") == [canonical(page) or BASE + path]
        kind = {"n": "article", "r": "video.other"}.get(path.partition("/")[0], "website")
        assert content(page, "type") == ["website" if path == "n/0003.html" else kind]
        for relation, name in (("alternate", "feed.xml"), ("search", "opensearch.xml")):
            (href,) = page.xpath(f"//link[@rel='{relation}']/@href")
            assert urljoin(BASE + path, href) == BASE + name
            assert name in site


def test_canonical_addresses_exist_and_the_withdrawn_lead_on(pages: dict[str, Any]) -> None:
    for path, page in pages.items():
        if path != "404.html":
            assert canonical(page).removeprefix(BASE) in pages
    assert canonical(pages["n/0003.html"]) == BASE + "n/0001.html"


def test_a_withdrawn_note_leads_to_the_end_of_the_chain(renewed: Any) -> None:
    """0003 gave way to 0002, and that to 0001."""
    chain = renewed(
        **{
            "0003": ("successor: 1", "successor: 2"),
            "0002": ("standing: published", "standing: withdrawn\nsuccessor: 1"),
        }
    )
    for path in ("n/0002.html", "n/0003.html"):
        page = html.fromstring(chain[path])
        assert canonical(page) == BASE + "n/0001.html"
        assert "0001.html" in page.xpath("//main//a/@href")


def test_a_page_of_an_address_that_moved_says_where(tree: Path, tmp_path: Path) -> None:
    root = tmp_path / "tree"
    shutil.copytree(tree, root)
    ledger = "# what was published\nm/old.html\tm/one-h.html\n"
    (root / "content" / "addresses.tsv").write_text(ledger, "utf-8")
    moved = dict(render_site(check(load_tree(root))))
    assert canonical(html.fromstring(moved["m/old.html"])) == BASE + "m/one-h.html"
    assert BASE + "m/old.html" not in locations(moved["sitemap.xml"])


def test_every_page_says_its_source_and_licence(tree: Path, pages: dict[str, Any]) -> None:
    for path, page in pages.items():
        told = {
            row.findtext("dt"): row.find("dd").text_content()
            for row in page.xpath("//footer//dl/div")
        }
        assert told["Licence"] == "CC BY-SA 4.0", path
        assert (tree / told["Written in"]).exists(), (path, told["Written in"])
    assert "content/notes/0001-tyre.md" in pages["n/0001.html"].xpath("//footer//dd/text()")


def test_a_site_without_a_licence_says_so(renewed: Any) -> None:
    bare = renewed(workshop=("licence: CC BY-SA 4.0\n", ""))
    for path, page in pages_of(bare).items():
        assert "not stated" in page.xpath("//footer")[0].text_content(), path
    assert all("license" not in block for _, block in blocks(pages_of(bare)))


def test_the_error_page_works_at_any_depth(site: Site, pages: dict[str, Any]) -> None:
    page = pages["404.html"]
    assert page.xpath("//meta[@name='robots']/@content") == ["noindex"]
    hrefs = [href for href in page.xpath("//*/@href") if not href.startswith(("#", "data:"))]
    assert len(hrefs) > 8
    for href in hrefs:
        assert href.startswith(BASE), href
        assert href.removeprefix(BASE).partition("#")[0] in site, href
    # nothing is loaded from a place that depends on where the page is shown
    assert page.xpath("//script | //img") == []
    # an empty icon of its own: without one a browser asks the host for favicon.ico
    assert page.xpath("//link[@rel='icon']/@href") == ["data:,"]
    assert "url(" not in page.findtext("head/style")


def test_no_draft_is_told_to_machines(site: Site) -> None:
    for path in ("feed.xml", "sitemap.xml", "opensearch.xml", "404.html"):
        assert b"0004" not in site[path]
        assert b"Not yet" not in site[path]


# --- data blocks


def blocks(pages: dict[str, Any]) -> Iterator[tuple[str, dict[str, Any]]]:
    for path, page in pages.items():
        for text in page.xpath("//script[@type='application/ld+json']/text()"):
            yield path, json.loads(text)


ALLOWED: dict[tuple[str, str], set[str]] = {
    (kind, name): set(ranges.split())
    for kind, name, ranges in (
        line.split("\t")
        for line in (SCHEMA / "schema_org.tsv").read_text("utf-8").splitlines()
        if not line.startswith("#")
    )
}
SUBTYPES = {
    "CreativeWork": {"Clip", "HowToSection", "HowToStep"},
    "Thing": {"HowToStep", "Question"},
}


def faults(thing: dict[str, Any]) -> Iterator[str]:
    """Yield what schema.org does not know of a thing and the things in it."""
    kinds = [thing["@type"]] if isinstance(thing["@type"], str) else thing["@type"]
    for name, value in thing.items():
        if name in ("@type", "@context"):
            continue
        expected = set().union(*(ALLOWED.get((kind, name), set()) for kind in kinds))
        if not expected:
            yield f"{kinds} has no {name}"
        for one in value if isinstance(value, list) else [value]:
            if not any(fits(one, kind) for kind in expected):
                yield f"{name} of {kinds} is {one!r} and not {sorted(expected)}"
            if isinstance(one, dict):
                yield from faults(one)


def fits(value: object, kind: str) -> bool:
    if isinstance(value, dict):
        return value["@type"] in {kind, *SUBTYPES.get(kind, ())}
    if isinstance(value, int):
        return kind in ("Number", "Integer")
    assert isinstance(value, str)
    match kind:
        case "Text":
            return True
        case "URL":
            return urlsplit(value).scheme in ("http", "https")
        case "Date":
            return bool(re.fullmatch(r"\d{4}-\d\d-\d\d", value))
        case "Duration":
            return bool(re.fullmatch(r"PT(?=\d)(\d+H)?(\d+M)?(\d+S)?", value))
        case _:
            return False


def test_data_blocks_hold_what_schema_org_allows(pages: dict[str, Any]) -> None:
    told = dict(blocks(pages))
    assert {path: block["@type"] for path, block in told.items()} == {
        "n/0001.html": ["TechArticle", "HowTo"],
        "n/0002.html": "TechArticle",
        "p/tyre.html": "Product",
        "r/evening.html": "VideoObject",
        "m/one-h.html": "WebPage",
        "corrections.html": "CollectionPage",
    }
    for path, block in told.items():
        assert block["@context"] == "https://schema.org"
        assert list(faults(block)) == [], path


def test_the_table_would_find_a_fault() -> None:
    assert list(faults({"@type": "Product", "headline": "x"}))
    assert list(faults({"@type": "TechArticle", "datePublished": "in March"}))
    assert list(faults({"@type": "HowTo", "tool": [{"@type": "Clip", "name": "x"}]}))
    assert list(faults({"@type": "Clip", "startOffset": "0"}))


def strings(thing: object, name: str = "") -> Iterator[tuple[str, str]]:
    """Yield every text of a block with the property that it is the value of."""
    if isinstance(thing, dict):
        for key, value in thing.items():
            if key not in ("@type", "@context"):
                yield from strings(value, key)
    elif isinstance(thing, list):
        for value in thing:
            yield from strings(value, name)
    elif isinstance(thing, str):
        yield name, thing


def unseen(path: str, page: Any, block: dict[str, Any], base: str = BASE) -> list[tuple[str, str]]:
    """Return the texts of a block that a reader of its page does not see.

    A date or a length of time counts where a ``time`` element holds it with words in it,
    an address where a link with words leads to it, or a picture shows it.
    """
    body = page.find("body")
    shown = "".join(body.text_content().split())
    times = {time.get("datetime") for time in body.iter("time") if "".join(time.itertext()).strip()}
    leads = {
        urljoin(urljoin(base, path), link.get("href"))
        for link in body.iter("a")
        if link.text_content().strip()
    }
    pictures = {urljoin(urljoin(base, path), image.get("src")) for image in body.iter("img")}
    return [
        (name, text)
        for name, text in strings(block)
        if "".join(text.split()) not in shown and text not in times | leads | pictures
    ]


def test_every_text_of_a_data_block_stands_on_its_page(pages: dict[str, Any]) -> None:
    count = 0
    for path, block in blocks(pages):
        assert unseen(path, pages[path], block) == [], path
        count += len(list(strings(block)))
    assert count > 40


def test_the_blocks_of_the_golden_site_are_allowed_and_shown() -> None:
    """A larger tree, with corrections in words, fractions and Markdown in its fields."""
    root = Path(__file__).parents[2] / "golden" / "tree"
    pages = pages_of(dict(render_site(check(load_tree(root)))))
    told = dict(blocks(pages))
    assert len(told) > 5
    for path, block in told.items():
        assert list(faults(block)) == [], path
        assert unseen(path, pages[path], block, canonical(pages["index.html"])) == [], path


def test_a_text_that_is_not_shown_would_be_found(pages: dict[str, Any]) -> None:
    hidden = {"@type": "Product", "name": "Not on any page", "url": BASE + "p/other.html"}
    assert len(unseen("p/tyre.html", pages["p/tyre.html"], hidden)) == 2


def test_clips_follow_one_another_inside_the_recording(pages: dict[str, Any]) -> None:
    block = dict(blocks(pages))["r/evening.html"]
    assert block["duration"] == "PT48M10S"
    spans = [(clip["startOffset"], clip["endOffset"]) for clip in block["hasPart"]]
    assert spans == [(0, 760), (760, 2890)]
    for clip in block["hasPart"]:
        assert clip["url"] == f"https://films.example.org/evening#t={clip['startOffset']}"


def test_a_part_is_said_to_serve_only_what_it_fits(pages: dict[str, Any]) -> None:
    """The tyre of the small tree fits One H and harms it."""
    assert "isAccessoryOrSparePartFor" not in dict(blocks(pages))["p/tyre.html"]


def test_a_part_that_fits_is_said_to_serve_the_family(renewed: Any) -> None:
    changed = pages_of(renewed(tyre=("verdict: fits but harms", "verdict: fits")))
    block = dict(blocks(changed))["p/tyre.html"]
    (family,) = block["isAccessoryOrSparePartFor"]
    assert family == {"@type": "Product", "name": "One H", "url": BASE + "m/one-h.html"}
    assert list(faults(block)) == []
    assert unseen("p/tyre.html", changed["p/tyre.html"], block) == []


def test_a_block_cannot_be_ended_by_what_a_note_says(renewed: Any) -> None:
    evil = "fix: 'Fit a tyre. </script><script>x</script> & <!-- done.'"
    text = renewed(**{"0001": ("fix: Fit a tyre.", evil)})["n/0001.html"].decode("utf-8")
    page = html.fromstring(text)
    assert [script.get("src") for script in page.iter("script")] == [None]
    (_, block), *_ = blocks({"n/0001.html": page})
    assert block["description"] == "Fit a tyre. </script><script>x</script> & <!-- done."


@pytest.mark.parametrize(
    ("seconds", "written"),
    [(0, "PT0S"), (59, "PT59S"), (60, "PT1M"), (2890, "PT48M10S"), (3600, "PT1H")],
)
def test_durations_are_written_as_iso_8601(seconds: int, written: str) -> None:
    assert duration(seconds) == written


def test_steps_are_the_numbered_lists_that_are_not_in_others() -> None:
    markup = (
        "<ol><li>Zero <b>&amp;</b> all.</li></ol><h3>Take it <i>off</i></h3>"
        "<ul><li>no step<ol><li>nor this</li></ol></li></ul>"
        "<ol><li><p>One.</p><p>More of it.</p></li><li>Two<ul><li>and so</li></ul></li></ol>"
    )
    found = [(listed.heading, listed.steps) for listed in step_lists(markup)]
    assert found == [
        ("", ("Zero & all.",)),
        ("Take it off", ("One. More of it.", "Two and so")),
    ]
    assert plain(markup).startswith("Zero & all. Take it off")


# --- searching from elsewhere


def test_the_search_description_is_within_its_limits(site: Site, pages: dict[str, Any]) -> None:
    """OpenSearch 1.1: ShortName 16 characters, LongName 48, Description 1,024, no markup."""
    root = etree.fromstring(site["opensearch.xml"])
    assert root.tag == f"{SEARCH}OpenSearchDescription"
    for name, most in (("ShortName", 16), ("LongName", 48), ("Description", 1024)):
        assert 0 < len(root.findtext(f"{SEARCH}{name}")) <= most
    (url,) = root.findall(f"{SEARCH}Url")
    assert url.get("template") == BASE + "find.html?q={searchTerms}"
    assert url.get("type") == "text/html"
    assert pages["find.html"].xpath("//form[@method='get']//input[@name='q']")


@pytest.mark.parametrize(
    ("name", "short"),
    [
        ("Larch Row Bench", "Larch Row Bench"),
        ("Sixteen signs ok", "Sixteen signs ok"),
        ("The Workshop, at Larch Row", "The Workshop, at"),
        ("The Workshop & Co: Larch", "The Workshop &"),
        ("Donaudampfschiffwerkstatt", "Donaudampfschiff"),
    ],
)
def test_a_long_name_is_cut_between_words(name: str, short: str) -> None:
    told = Told(name, "en", BASE, "", "")
    root = etree.fromstring(search_description(told, "Find " * 400))
    assert root.findtext(f"{SEARCH}ShortName") == short
    assert len(root.findtext(f"{SEARCH}Description")) <= 1024
