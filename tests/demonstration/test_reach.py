"""Each note is reached from its symptoms, machines, parts and threads; nothing stands alone."""

from __future__ import annotations

import shutil
from functools import cache
from pathlib import Path
from posixpath import dirname, join, normpath

import pytest
from lxml import html

from kbgen.build import build, checked_tree
from kbgen.checks import Checked
from kbgen.content import Tree
from kbgen.content.models import Standing
from kbgen.links import load_ledger, plain_thread, thread_slug
from kbgen.prose import Where
from kbgen.units import Thread

ROOT = Path(__file__).parents[2]


@cache
def checked() -> Checked:
    return checked_tree(ROOT)


def tree() -> Tree:
    return checked().tree


@cache
def threads() -> dict[str, set[str]]:
    """Return the pages of the threads that each row of a register states."""
    found: dict[str, set[str]] = {}
    for statement in checked().statements:
        value = statement.value.value
        if statement.where is not Where.REGISTER or statement.withdrawn:
            continue
        if statement.subject and isinstance(value, Thread):
            page = f"t/{thread_slug(plain_thread(value))}.html"
            found.setdefault(statement.subject, set()).add(page)
    return found


PUBLISHED = [
    number
    for number, note in sorted(tree().notes.items())
    if note.front.standing is Standing.PUBLISHED
]


@pytest.fixture(scope="module")
def leads(tmp_path_factory: pytest.TempPathFactory) -> dict[str, set[str]]:
    """Every page of the built demonstration with the pages that it links to."""
    root = tmp_path_factory.mktemp("tree")
    shutil.copytree(ROOT / "content", root / "content")
    site = root / "site"
    built = build(root, site)
    assert built.published, built.findings
    found = {}
    for path in site.rglob("*.html"):
        here = path.relative_to(site).as_posix()
        hrefs = html.fromstring(path.read_bytes()).xpath("//a/@href")
        found[here] = {
            normpath(join(dirname(here), href.partition("#")[0])) if href[0] != "#" else here
            for href in hrefs
            if "://" not in href and not href.startswith("mailto:")
        }
    return found


def moved() -> set[str]:
    """Return the pages that lead on to another: they are for those who still have the address."""
    ledger, damage = load_ledger(ROOT)
    assert not damage
    return {one.address for one in ledger.entries.values() if one.leads_to != one.address}


def test_every_page_is_reached_from_the_first(leads: dict[str, set[str]]) -> None:
    seen, ahead = set(), ["index.html"]
    while ahead:
        page = ahead.pop()
        if page in leads and page not in seen:
            seen.add(page)
            ahead.extend(leads[page])
    withdrawn = {
        f"n/{number:04}.html"
        for number, note in tree().notes.items()
        if note.front.standing is Standing.WITHDRAWN
    }
    assert sorted(set(leads) - seen - withdrawn - moved() - {"404.html"}) == []


@pytest.mark.parametrize("number", PUBLISHED)
def test_a_note_is_reached_from_all_that_it_names(number: int, leads: dict[str, set[str]]) -> None:
    front = tree().notes[number].front
    page = f"n/{number:04}.html"
    rows = [row for row in front.fasteners if isinstance(row, str)]
    entrances = [
        *(f"s/{heading}.html" for heading in front.headings),
        *(f"m/{family}.html" for family in front.families),
        *(f"p/{use.part}.html" for use in front.parts),
        *(page for row in rows for page in threads()[row]),
    ]
    assert front.headings
    assert front.families
    assert [entrance for entrance in entrances if page not in leads[entrance]] == []


def test_nothing_stands_alone() -> None:
    """Every part, row, hazard, heading and moment is spoken of by some note."""
    text = "\n".join(
        (ROOT / note.source.path).read_text(encoding="utf-8")
        for note in tree().notes.values()
        if note.front.standing is Standing.PUBLISHED
    )
    alone = [
        name
        for name in (
            *(f"part:{part})" for part in tree().parts),
            *(f"{f.id}/{row.id}" for f in tree().families.values() for row in f.model.fasteners),
            *tree().hazards,
            *tree().headings,
            *(f"recording: {recording}," for recording in tree().recordings),
        )
        if name not in text and name.replace("part:", "part: ").replace(")", ",") not in text
    ]
    assert alone == []
