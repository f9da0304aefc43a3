"""On paper: a card is one sheet and true, whatever the sheet; a code leads back to the page."""

from __future__ import annotations

import io
from collections.abc import Iterator
from pathlib import Path

import pytest
import zxingcpp
from kinds import all_pages
from paper import SHEETS, Printed, printed
from PIL import Image
from playwright.sync_api import Browser, Page

from kbgen.checks import check
from kbgen.content import load_tree
from kbgen.links import Reference, Scheme, address_of, printed_form

ROOT = Path(__file__).resolve().parents[2]
BASE = "https://larchrow.example.org/"
TRUE_MM = 0.2


Cards = dict[str, dict[str, Printed]]


@pytest.fixture(scope="module")
def press(browser: Browser) -> Iterator[Page]:
    context = browser.new_context(locale="en-GB")
    yield context.new_page()
    context.close()


def on_every_sheet(press: Page, address: str) -> dict[str, Printed]:
    press.goto(address)
    press.evaluate("document.fonts.ready.then(() => null)")
    return {sheet: printed(press, sheet) for sheet in SHEETS}


def cards(site: Path, *folders: str) -> list[str]:
    return [path for path in all_pages(site) if path.partition("/")[0] in folders]


@pytest.fixture(scope="module")
def bench_cards(press: Page, from_disk: str, site: Path) -> Cards:
    """Every bench card of the demonstration on every sheet."""
    found = {path: on_every_sheet(press, from_disk + path) for path in cards(site, "c")}
    assert len(found) > 90
    return found


def test_every_bench_card_is_one_sheet_with_a_true_bar(bench_cards: Cards) -> None:
    wrong = []
    for path, sheets in bench_cards.items():
        for sheet, card in sheets.items():
            bars = card.wide(high=3, least=45)
            if card.sheets != 1 or len(bars) != 1 or abs(bars[0] - 50) > TRUE_MM:
                wrong.append((path, sheet, card.sheets, bars))
    assert wrong == []


def test_a_card_holds_what_is_needed_at_the_machine(bench_cards: Cards) -> None:
    """Threads, hand, tightness, cautions and address of every note, whole, on one sheet."""
    checked = check(load_tree(ROOT))
    rows = {
        f"{family.id}/{row.id}": row
        for family in checked.tree.families.values()
        for row in family.model.fasteners
    }
    missing = []
    for note in checked.published:
        page = address_of(Reference(Scheme.NOTE, str(note.number)))
        needed = [BASE + page]
        for row in (rows[key] for key in note.front.fasteners if isinstance(key, str)):
            needed += [row.thread.removesuffix(" LH"), row.torque or row.tightness or ""]
            needed += ["LEFT HAND"] if row.thread.endswith(" LH") else []
        for hazard in (checked.tree.hazards[name] for name in note.front.hazards):
            needed += [str(hazard.signal).upper(), hazard.hazard, hazard.avoid]
        for sheet, card in bench_cards[printed_form(page)].items():
            text = card.text.replace("–", "..")
            missing += [
                (page, sheet, words)
                for words in needed
                if "".join(words.split()).replace("–", "..") not in text
            ]
    assert missing == []


def test_every_pitch_card_is_one_sheet_and_true_to_the_last_tooth(
    press: Page, from_disk: str, site: Path
) -> None:
    paths = cards(site, "g")
    assert len(paths) > 5
    for path in paths:
        sheets = on_every_sheet(press, from_disk + path)
        said = press.evaluate("[...document.querySelectorAll('.leaf')].map(p => p.getBBox().width)")
        for sheet, card in sheets.items():
            assert card.sheets == 1, (path, sheet)
            assert card.wide(high=3, least=45) == pytest.approx([50], abs=TRUE_MM), (path, sheet)
            leaves = card.wide(high=6, least=45)
            assert len(leaves) == len(said) > 0, (path, sheet)
            assert sorted(leaves) == pytest.approx(sorted(said), abs=TRUE_MM), (path, sheet)


def test_how_a_part_was_come_by_is_told_on_paper_too(
    press: Page, from_disk: str, site: Path
) -> None:
    """16 CFR 255.5: in the same way as what it is told about, and before it."""
    told = [
        path
        for path in all_pages(site)
        if 'class="ties"' in (site / path).read_text("utf-8") and path.startswith(("n/", "p/"))
    ]
    offers = [path for path in told if path.startswith("p/")]
    assert len(told) > 5
    for path in (told[0], told[-1], *offers[:1]):
        press.goto(from_disk + path)
        names = press.locator(".ties").inner_text()
        text = printed(press, "A4").text
        start = text.index("".join(names.split()))
        assert start < text.index("".join(press.locator("section h2").first.inner_text().split()))
    tied = next(
        path
        for path in all_pages(site)
        if path.startswith("p/") and 'rel="sponsored' in (site / path).read_text("utf-8")
    )
    press.goto(from_disk + tied)
    text = printed(press, "A4").text
    disclosure = "".join(press.locator(".disclosure").inner_text().split())
    offer = press.locator('a[rel~="sponsored"]').first.get_attribute("href") or "no offer"
    assert text.index(disclosure) < text.index(offer)


def scanned(page: Page, dots: float) -> list[str]:
    """Return what a reader of codes makes of the code on a page."""
    picture = Image.open(io.BytesIO(page.locator("svg.qr").screenshot()))
    small = picture.resize((round(picture.width * dots), round(picture.height * dots)))
    return [code.text for code in zxingcpp.read_barcodes(small)]


def test_the_code_of_every_card_leads_to_its_page(
    browser: Browser, from_disk: str, site: Path
) -> None:
    context = browser.new_context(viewport={"width": 800, "height": 800}, color_scheme="dark")
    page = context.new_page()
    wrong = []
    for path in cards(site, "c", "g"):
        page.goto(from_disk + path)
        leads = BASE + path.replace("c/", "n/", 1).replace("g/", "m/", 1)
        if scanned(page, 1.0) != [leads]:
            wrong.append(path)
    context.close()
    assert wrong == []


@pytest.mark.parametrize(("wide", "high"), [(190, 277), (195.9, 259.4), (128, 190)])
def test_nothing_on_a_card_stands_over_the_edge(
    browser: Browser, from_disk: str, site: Path, wide: float, high: float
) -> None:
    size = {"width": int(wide * 96 / 25.4), "height": int(high * 96 / 25.4)}
    context = browser.new_context(viewport=size)  # type: ignore[arg-type]
    page = context.new_page()
    page.emulate_media(media="print")
    over = []
    for path in cards(site, "c", "g"):
        page.goto(from_disk + path)
        found = page.evaluate(
            "() => { const card = document.querySelector('.card').getBoundingClientRect();"
            " return [...document.querySelectorAll('.card *')].filter(e => {"
            " if (e.closest('.quiet')) return false;"
            " const b = e.getBoundingClientRect();"
            " return b.right > innerWidth + 0.5 || b.left < -0.5 || b.bottom > card.bottom + 0.5"
            " }).map(e => e.outerHTML.slice(0, 60)) }"
        )
        over += [(path, told) for told in found]
    context.close()
    assert over == []


def test_the_steel_rule_is_true_on_every_page_kind_and_nothing_is_shrunk(
    press: Page, from_disk: str, kinds: list[str]
) -> None:
    """What stands over the edge would make a printer shrink the page: the rule would lie."""
    wrong = []
    for path in kinds:
        if path.startswith(("c/", "g/")):
            continue  # they have no rule over them, but a bar
        for sheet, paper in on_every_sheet(press, from_disk + path).items():
            # the edge of the rule, told with the width of its stroke all round
            edges = [box.wide - box.high for box in paper.boxes if box.high < 0.5]
            if not any(abs(edge - 240) < TRUE_MM for edge in edges):
                wrong.append((path, sheet))
    assert wrong == []
