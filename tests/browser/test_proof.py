"""The proof in a real browser: the page follows every save, its findings beside it."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Literal

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, ConsoleMessage, Page, Route, expect

ROOT = Path(__file__).resolve().parents[2]
NOTE = "content/notes/0039-winder-tyre-slips.md"
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
LONGEST_S = 20
"""From save to reloaded page, on a machine that runs other tests at the same time."""


@pytest.fixture(scope="module")
def tree(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = tmp_path_factory.mktemp("proof") / "tree"
    shutil.copytree(ROOT / "content", root / "content")
    return root


@pytest.fixture(scope="module")
def address(tree: Path) -> Iterator[str]:
    running = subprocess.Popen(
        [sys.executable, "-m", "kbgen", "proof", "--tree", str(tree)],
        stdout=subprocess.PIPE,
        text=True,
        env=os.environ | {"PYTHONUNBUFFERED": "1"},
    )
    assert running.stdout
    yield running.stdout.readline().split()[-1]
    running.terminate()
    running.communicate(timeout=20)


@pytest.fixture
def page(browser: Browser, address: str) -> Iterator[Page]:
    context = browser.new_context(viewport={"width": 1280, "height": 800})
    opened = context.new_page()
    complaints: list[str] = []
    opened.on("console", lambda said: _heard(said, complaints))
    opened.on("pageerror", lambda error: complaints.append(str(error)))
    opened.goto(f"{address}n/0039.html", timeout=LONGEST_S * 1000)
    yield opened
    context.close()
    assert complaints == []


def _heard(said: ConsoleMessage, complaints: list[str]) -> None:
    """Note a complaint, but for the page that is asked for before it is there."""
    if said.type == "error" and "404" not in said.text:
        complaints.append(said.text)


@pytest.fixture
def note(tree: Path) -> Iterator[Path]:
    """The note, put back as it was after the test."""
    before = (tree / NOTE).read_bytes()
    yield tree / NOTE
    (tree / NOTE).write_bytes(before)


def write(note: Path, more: str) -> float:
    """Write more below a note, and return when that was."""
    text = note.read_text(encoding="utf-8")
    note.write_text(f"{text}\n{more}\n", encoding="utf-8")
    return time.monotonic()


def test_the_page_follows_a_save(
    page: Page, note: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Measured and printed; what is demanded is far above it."""
    expect(page.locator("#_proof")).to_contain_text("Nothing was found on this page.")
    page.evaluate("scrollTo(0, 300)")
    page.route("**/page.js", _late)
    taken = []
    for number in range(3):
        began = write(note, f"Marked {number} by the test.")
        shown = page.get_by_text(f"Marked {number} by the test.")
        expect(shown).to_be_attached(timeout=LONGEST_S * 1000)
        taken.append(time.monotonic() - began)
    page.wait_for_function("document.getElementById('_proof').shadowRoot")
    assert page.evaluate("scrollY") == 300
    with capsys.disabled():
        print(f" save to reloaded page: {', '.join(f'{one:.2f}' for one in taken)} s", end="")


def _late(route: Route) -> None:
    """Let the page be laid out before what makes room beside it is there."""
    time.sleep(0.5)
    route.continue_()


def test_an_error_stands_beside_the_page_as_it_was(page: Page, note: Path) -> None:
    expect(page.get_by_text("by the test")).to_have_count(0, timeout=LONGEST_S * 1000)
    expect(page.locator("#_proof")).to_contain_text("Nothing was found on this page.")
    page.evaluate("window.stillHere = true")
    write(note, "Use a screw M4x0.8 there.")
    beside = page.locator("#_proof")
    expect(beside).to_contain_text("M4x0.8 is not in ISO 261", timeout=LONGEST_S * 1000)
    expect(beside.locator("mark")).to_have_text("M4x0.8")
    expect(beside).to_contain_text("This is the page as it was before the errors.")
    expect(page.get_by_text("Use a screw")).to_have_count(1)  # in the excerpt alone
    assert page.evaluate("window.stillHere") is True
    note.write_text(note.read_text(encoding="utf-8").replace("M4x0.8", "M4x0.7"), encoding="utf-8")
    expect(page.locator("main")).to_contain_text("Use a screw", timeout=LONGEST_S * 1000)
    expect(beside).to_contain_text("Nothing was found on this page.")


def test_a_draft_is_shown_and_marked(page: Page, tree: Path, address: str) -> None:
    draft = tree / "content" / "notes" / "0900-a-draft.md"
    text = (tree / NOTE).read_text(encoding="utf-8")
    title = "title: Only for its writer\n"
    lines = [title if line.startswith("title:") else line for line in text.splitlines(True)]
    draft.write_text("".join(lines).replace("standing: published", "standing: draft"), "utf-8")
    try:
        link = page.locator("#_proof a", has_text="Only for its writer")
        expect(link).to_be_visible(timeout=LONGEST_S * 1000)
        link.click()
        expect(page.locator("h1")).to_have_text("Only for its writer")
        expect(page.locator("#_proof .draft")).to_contain_text("A draft: not published")
        page.goto(f"{address}notes.html")
        listed = page.locator("main a", has_text="Only for its writer")
        mark = listed.evaluate("one => getComputedStyle(one, '::after').content")
        assert mark == '" (draft)"'
    finally:
        draft.unlink()


def test_a_page_that_is_not_there_yet_comes_by_itself(page: Page, tree: Path, address: str) -> None:
    answer = page.goto(f"{address}n/0901.html")
    assert answer is not None
    assert answer.status == 404
    expect(page.locator("#_proof")).to_contain_text("There is no such page.")
    note = tree / "content" / "notes" / "0901-new.md"
    shutil.copyfile(tree / NOTE, note)
    try:
        expect(page.locator(".docket")).to_contain_text("0901", timeout=LONGEST_S * 1000)
    finally:
        note.unlink()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_panel_can_be_read_by_everybody(
    page: Page, note: Path, address: str, scheme: Literal["light", "dark"]
) -> None:
    """With an error, a warning and advice shown, on a wide and on a narrow screen."""
    write(note, f"Use a screw M4x0.8 at 12 lb in the {scheme}.")
    page.emulate_media(color_scheme=scheme)
    beside = page.locator("#_proof")
    # with this save every one before it was read, and no page is loaded again
    expect(beside).to_contain_text(f"in the {scheme}", timeout=LONGEST_S * 1000)
    options = {"runOnly": {"type": "tag", "values": TAGS}, "preload": False}
    for width in (1280, 360):
        page.set_viewport_size({"width": width, "height": 800})
        for path in ("n/0039.html", "m/halverin-h.html"):
            page.goto(f"{address}{path}")
            expect(beside).to_contain_text("Findings: hide")
            found = Axe().run(page, context="#_proof", options=options).response
            assert [one["id"] for one in found["violations"]] == []


def test_the_panel_leaves_the_page_alone(page: Page) -> None:
    """It can be shut, stays shut on the next page, and is not printed."""
    beside = page.locator("#_proof")
    page.get_by_role("button", name="Findings: hide").click()
    expect(beside).to_have_class("shut")
    page.reload()
    expect(beside).to_have_class("shut")
    page.get_by_role("button", name="Findings").press("Enter")
    expect(beside).not_to_have_class("shut")
    main, panel = page.locator("main").bounding_box(), beside.bounding_box()
    assert main
    assert panel
    assert main["x"] + main["width"] <= panel["x"]
    page.emulate_media(media="print")
    expect(beside).to_be_hidden()
    page.emulate_media(media="screen")
    page.set_viewport_size({"width": 360, "height": 700})
    panel = beside.bounding_box()
    assert panel
    assert (panel["x"], panel["width"]) == (0, 360)
    assert panel["height"] <= 0.46 * 700
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
