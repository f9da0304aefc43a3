"""Fifty renames over ten builds: every address ever given out still leads to its thing.

The way is walked in the files of the built site as a browser without scripts walks it: a
page that refreshes is followed, a place that has moved by the link in its own line.
"""

from __future__ import annotations

import random
import re
import textwrap
from dataclasses import dataclass
from html.parser import HTMLParser
from pathlib import Path
from posixpath import dirname, join, normpath

from kbgen.build import build
from kbgen.content import LEDGER_PATH
from kbgen.links import format_ledger, load_ledger
from kbgen.links.ledger import Ledger

FAMILIES, PARTS, RECORDINGS, BUILDS, RENAMES = 4, 5, 4, 10, 5
Names = dict[str, str]


def lay(root: Path, path: str, text: str) -> None:
    file = root / "content" / path
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text(textwrap.dedent(text).lstrip("\n"), "utf-8")


def tree(root: Path, names: Names) -> None:
    """Write the tree in which each thing has its present name; what it says never changes."""
    for folder in ("families", "parts", "recordings"):
        for file in (root / "content" / folder).glob("*"):
            file.unlink()
    lay(
        root,
        "workshop.yaml",
        """
        name: Test Bench
        language: en-GB
        base_address: https://bench.example.org
        contact: slip@example.org
        disclosure: Nothing was given to us.
        """,
    )
    for n in range(FAMILIES):
        rows = "".join(
            f"  - {{id: {names[f'row {n} {k}']}, where: Row {n} {k}, thread: M{4 + k}x{p}, "
            "tightness: snug, basis: measured, source: a leaf}\n"
            for k, p in enumerate(("0.7", "0.8"))
        )
        lay(
            root,
            f"families/{names[f'family {n}']}.yaml",
            f"name: Family {n}\nsummary: A machine.\nfasteners:\n{rows}",
        )
    for n in range(PARTS):
        lay(root, f"parts/{names[f'part {n}']}.yaml", f"name: Part {n}\nobtained: bought\n")
    for n in range(RECORDINGS):
        lay(
            root,
            f"recordings/{names[f'recording {n}']}.yaml",
            f"""
            title: Recording {n}
            date: 2026-01-10
            address: https://films.example.org/{n}
            length: "48:10"
            chapters: [{{at: "{names[f"moment {n}"]}", title: Moment {n}}}]
            """,
        )


def addresses(names: Names) -> dict[str, str]:
    """Return where each thing stands today."""
    found = {}
    for thing, name in names.items():
        kind, _, number = thing.partition(" ")
        match kind:
            case "family":
                found[thing] = f"m/{name}.html"
                found[f"card {number}"] = f"g/{name}.html"
            case "row":
                found[thing] = f"m/{names[f'family {number.split()[0]}']}.html#{name}"
            case "part":
                found[thing] = f"p/{name}.html"
            case "recording":
                found[thing] = f"r/{name}.html"
            case "moment":
                at = name.replace(":", "-")
                found[thing] = f"r/{names[f'recording {number}']}.html#t-{at}"
    return found


@dataclass
class Place:
    """An element with an id: the words in it and the first link of it."""

    words: str = ""
    link: str = ""


class Walked(HTMLParser):
    """A page as a browser without scripts has it."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.refresh = ""
        self.body = ""
        self.places: dict[str, Place] = {}
        self._open: list[tuple[str, str]] = []
        self._lead = 0
        self.lead = ""
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = {name: value or "" for name, value in attrs}
        if tag == "meta" and told.get("http-equiv") == "refresh":
            self.refresh = told["content"].partition("url=")[2]
        if tag == "body":
            self.body = told.get("class", "")
        if told.get("id"):
            self.places[told["id"]] = Place()
        if tag == "a" and told.get("href"):
            for _, name in self._open:
                if name and not self.places[name].link:
                    self.places[name].link = told["href"]
            if self._lead and not self.lead:
                self.lead = told["href"]
        if tag not in ("meta", "link", "img", "br", "input", "path", "hr"):
            self._open.append((tag, told.get("id", "")))
            self._lead += told.get("class") == "lead"

    def handle_endtag(self, tag: str) -> None:
        while self._open and self._open.pop()[0] != tag:
            pass

    def handle_data(self, data: str) -> None:
        for _, name in self._open:
            if name:
                self.places[name].words += data


def walk(site: Path, address: str) -> tuple[str, str]:
    """Return where an address leads in the end, and what is read there."""
    for _ in range(4):
        page, _, anchor = address.partition("#")
        html = (site / page).read_text("utf-8")
        walked = Walked(html)
        place = walked.places.get(anchor)
        moved = walked.body == "k-forward"
        if anchor and place is None:
            raise AssertionError(f"{address}: {page} has no such place")
        if moved and not anchor:
            href = walked.refresh or walked.lead
        elif place is not None and f"{anchor} is now at" in place.words:
            href = place.link
        else:
            heading = re.search(r"<h1.*?>(.*?)</h1>", html, re.DOTALL)
            assert heading
            return address, place.words if place else heading[1]
        assert href, address
        address = normpath(join(dirname(page), href)) if not href.startswith("#") else page + href
    raise AssertionError(f"{address} leads on and on")


def named_successors(root: Path, was: dict[str, str], now: dict[str, str]) -> None:
    """Write into the ledger what took the place of each thing that was renamed."""
    kept, damage = load_ledger(root)
    assert damage == ()
    leads = {entry.address: entry.leads_to for entry in kept.entries.values()}
    for thing, address in was.items():
        if address != now[thing] and leads.get(address) == address:
            leads[address] = now[thing]
    (root / LEDGER_PATH).write_bytes(format_ledger(Ledger.of(leads)))


def test_fifty_renames_over_ten_builds_lose_no_address_of_the_built_site(tmp_path: Path) -> None:
    root, site, dice = tmp_path / "tree", tmp_path / "site", random.Random(20260311)
    names = {
        **{f"family {n}": f"family-{n}" for n in range(FAMILIES)},
        **{f"row {n} {k}": f"row-{k}" for n in range(FAMILIES) for k in range(2)},
        **{f"part {n}": f"part-{n}" for n in range(PARTS)},
        **{f"recording {n}": f"recording-{n}" for n in range(RECORDINGS)},
        **{f"moment {n}": f"{n + 1}:00" for n in range(RECORDINGS)},
    }
    given_out: dict[str, str] = {}
    before: dict[str, str] = {}
    renamed = 0
    for round_ in range(BUILDS + 1):
        now = addresses(names)
        tree(root, names)
        if round_:
            refused = build(root, site)  # it names every address that would be lost
            assert not refused.published
            assert {
                finding.code for finding in refused.findings if finding.severity == "error"
            } == {"address-would-be-lost"}
            named_successors(root, before, now)
        built = build(root, site)
        assert built.published, [str(finding) for finding in built.findings]
        given_out |= {address: thing for thing, address in now.items()}
        for address, thing in given_out.items():
            at, words = walk(site, address)
            assert at == now[thing], (round_, address, thing)
            kind, _, number = thing.partition(" ")
            said = f"Family {number}" if kind == "card" else thing.capitalize()
            assert said in words, (round_, address, thing, words[:80])
        before = now
        for thing in dice.sample(sorted(names), RENAMES):
            fresh = f"{round_ + 11}:{dice.randrange(10, 59)}" if thing.startswith("moment") else ""
            names[thing] = fresh or f"{thing.replace(' ', '-')}-in-{round_}"
            renamed += round_ < BUILDS
    assert renamed == 50
    assert len(given_out) > len(now) + 50
