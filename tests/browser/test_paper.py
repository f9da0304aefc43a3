"""On paper: a card is one sheet and true, whatever the sheet; a code leads back to the page."""

from __future__ import annotations

import io
from collections.abc import Iterator
from pathlib import Path

import pytest
import zxingcpp
from kinds import all_pages
from paper import SHEETS, printed
from PIL import Image
from playwright.sync_api import Browser, Page

from kbgen.checks import check
from kbgen.content import load_tree
from kbgen.links import Reference, Scheme, address_of, printed_form

ROOT = Path(__file__).resolve().parents[2]
BASE = "https://larchrow.example.org/"
TRUE_MM = 0.2


@pytest.fixture(scope="module")
def press(browser: Browser) -> Iterator[Page]:
    context = browser.new_context(locale="en-GB")
    yield context.new_page()
    context.close()


def cards(site: Path, folder: str) -> list[str]:
    return [path for path in all_pages(site) if path.startswith(f"{folder}/")]


@pytest.mark.parametrize("sheet", SHEETS)
def test_every_bench_card_is_one_sheet_with_a_true_bar(
    press: Page, from_disk: str, site: Path, sheet: str
) -> None:
    wrong = []
    paths = cards(site, "c")
    assert len(paths) > 90
    for path in paths:
        sheets = printed(press, from_disk + path, sheet)
        words, boxes = sheets.read()
        bars = [box.wide for box in boxes if abs(box.high - 3) < 0.05 and box.wide > 45]
        address = BASE + path.replace("c/", "n/", 1)
        if sheets.pages != 1 or len(bars) != 1 or abs(bars[0] - 50) > TRUE_MM:
            wrong.append((path, sheets.pages, bars))
        if address not in words:
            wrong.append((path, "its address is not on it"))
    assert wrong == []


@pytest.mark.parametrize("sheet", SHEETS)
def test_every_pitch_card_is_one_sheet_and_true_to_the_last_tooth(
    press: Page, from_disk: str, site: Path, sheet: str
) -> None:
    paths = cards(site, "g")
    assert len(paths) > 5
    for path in paths:
        sheets = printed(press, from_disk + path, sheet)
        assert sheets.pages == 1, path
        _, boxes = sheets.read()
        bars = [box.wide for box in boxes if abs(box.high - 3) < 0.05 and box.wide > 45]
        assert bars == pytest.approx([50], abs=TRUE_MM), path
        press.goto(from_disk + path)
        leaves = press.evaluate(
            "[...document.querySelectorAll('.leaf')].map(p => p.getBBox().width)"
        )
        drawn = [box.wide for box in boxes if abs(box.high - 6) < 0.05]
        assert len(leaves) == len(drawn) > 0, path
        assert sorted(drawn) == pytest.approx(sorted(leaves), abs=TRUE_MM), path


@pytest.mark.parametrize("sheet", SHEETS)
def test_a_card_holds_what_is_needed_at_the_machine(
    press: Page, from_disk: str, sheet: str
) -> None:
    """Threads, hand, tightness and cautions of every note, whole, on its one sheet."""
    checked = check(load_tree(ROOT))
    rows = {
        f"{family.id}/{row.id}": row
        for family in checked.tree.families.values()
        for row in family.model.fasteners
    }
    heaviest = sorted(checked.published, key=lambda note: -len(note.front.fasteners))[:4]
    for note in heaviest:
        path = printed_form(address_of(Reference(Scheme.NOTE, str(note.number))))
        bare, _ = printed(press, from_disk + path, sheet).read()
        for key in note.front.fasteners:
            assert isinstance(key, str)
            thread = rows[key].thread.replace(" ", "").removesuffix("LH")
            assert thread in bare, (path, thread)
            tight = rows[key].torque or rows[key].tightness or ""
            assert tight.replace(" ", "").replace("..", "–") in bare, (path, tight)
            assert not rows[key].thread.endswith("LH") or "LEFTHAND" in bare
        for hazard in note.front.hazards:
            told = checked.tree.hazards[hazard]
            assert str(told.signal).upper() in bare
            assert told.avoid.replace(" ", "") in bare, (path, told.avoid)


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
    for path in (*cards(site, "c"), *cards(site, "g")):
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
    for path in (*cards(site, "c"), *cards(site, "g")):
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


@pytest.mark.parametrize("sheet", SHEETS)
def test_the_steel_rule_is_true_on_paper(press: Page, from_disk: str, sheet: str) -> None:
    """The ornament over every page: its lines are as long in the PDF as they say."""
    _, boxes = printed(press, from_disk + "index.html", sheet).read()
    assert any(abs(box.wide - 240) < TRUE_MM and box.high < 0.01 for box in boxes)


def test_no_page_kind_is_shrunk_to_fit_the_sheet(
    press: Page, from_disk: str, kinds: list[str]
) -> None:
    """What stands over the edge would make a printer shrink the page: the rule would lie."""
    for path in kinds:
        if path.startswith(("c/", "g/")):
            continue
        for sheet in SHEETS:
            _, boxes = printed(press, from_disk + path, sheet).read()
            assert any(abs(box.wide - 240) < TRUE_MM for box in boxes), (path, sheet)
