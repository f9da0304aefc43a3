"""The running order in a real browser: no wider than the screen, and right on paper.

That what is said aloud is read from across a bench is common practice, no published
source: answers are held to 14 points and figures to 20.
"""

from __future__ import annotations

import datetime
import json
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
import yaml
from paper import printed
from playwright.sync_api import Browser, Page

from kbgen.checks import check
from kbgen.content import load_tree
from kbgen.desk import Matcher, Rundown, render_rundown_page, rundown_of

ROOT = Path(__file__).resolve().parents[2]
ASKED = ROOT / "tests" / "unit" / "desk" / "questions.yaml"
POINT = 96 / 72
"""A point in pixels of a style."""


def ask(folder: Path, rows: list[dict[str, object]]) -> None:
    """Write questions into a tree, a day apart."""
    for row in rows:
        day = datetime.date(2026, 1, 1) + datetime.timedelta(days=int(str(row["id"])))
        front = f"date: {day}\nalias: Asker {row['id']}\ncame_by: letter\n"
        if "family" in row:
            front += f"families: [{row['family']}]\n"
        for key in ("same_as", "about"):
            if key in row:
                front += f"{key}: {json.dumps(row[key])}\n"
        path = folder / f"Q{row['id']:04}-asked.md"
        path.write_text(f"---\n{front}---\n{row['words']}\n", encoding="utf-8")


@pytest.fixture(scope="module")
def rundown(tmp_path_factory: pytest.TempPathFactory) -> tuple[Rundown, str]:
    """The running order of 140 questions to the demonstration, and the address of its page."""
    root = tmp_path_factory.mktemp("asked")
    shutil.copytree(ROOT / "content", root / "content")
    questions = root / "content" / "questions"
    shutil.rmtree(questions, ignore_errors=True)
    questions.mkdir()
    ask(questions, yaml.safe_load(ASKED.read_text(encoding="utf-8")))
    checked = check(load_tree(root))
    made = rundown_of(checked, Matcher(checked), datetime.date(2026, 6, 30), 60)
    page = root / "rundown.html"
    page.write_bytes(render_rundown_page(checked, made))
    return made, page.as_uri()


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    context = browser.new_context(locale="en-GB")
    opened = context.new_page()
    yield opened
    context.close()


@pytest.mark.parametrize("width", [320, 360, 768, 1280])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_it_is_no_wider_than_the_screen(
    page: Page, rundown: tuple[Rundown, str], width: int, scheme: str
) -> None:
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    page.set_viewport_size({"width": width, "height": 800})
    page.emulate_media(color_scheme=scheme)  # type: ignore[arg-type]
    page.goto(rundown[1])
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert said == []


@pytest.mark.parametrize("sheet", ["A4", "Letter"])
def test_paper_holds_every_figure_to_say_and_not_to_say(
    page: Page, rundown: tuple[Rundown, str], sheet: str
) -> None:
    made, address = rundown
    assert len(made.items) > 20
    page.goto(address)
    paper = printed(page, sheet)
    needed = []
    for item in made.items:
        assert item.reply is not None
        needed += [item.short, item.reply.fix]
        needed += [f"{hazard.signal.upper()}{hazard.hazard}" for hazard in item.reply.cautions]
        needed += [screw.thread.removesuffix(" LH") for screw in item.say]
        needed += [f"NOT{one.figure}" for one in item.not_to_say]
    missing = [words for words in needed if "".join(words.split()) not in paper.text]
    assert missing == []
    assert paper.sheets <= len(made.items)


@pytest.mark.parametrize(("wide_mm", "high_mm"), [(184, 269), (189.9, 251.4)], ids=["A4", "Letter"])
def test_on_paper_it_is_large_and_nothing_is_cut(
    page: Page, rundown: tuple[Rundown, str], wide_mm: float, high_mm: float
) -> None:
    width, height = (int(side / 25.4 * 96) for side in (wide_mm, high_mm))
    page.set_viewport_size({"width": width, "height": height})
    page.emulate_media(media="print")
    page.goto(rundown[1])
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    tall = "[...document.querySelectorAll('.item')].map(i => i.getBoundingClientRect().height)"
    assert max(page.evaluate(tall)) <= height  # each subject is whole on one sheet
    sizes = """s => [...document.querySelectorAll(s)].map(
        one => parseFloat(getComputedStyle(one).fontSize))"""
    assert min(page.evaluate(sizes, ".answer")) >= 14 * POINT
    assert min(page.evaluate(sizes, ".say .th")) >= 20 * POINT
    breaks = "getComputedStyle(document.querySelector('.over')).breakBefore"
    assert page.evaluate(breaks) == "page"  # the leftovers are a sheet of their own
