"""The find page answers with no server: over http and from the disk alike."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Browser, Page, expect


@pytest.fixture
def page(browser: Browser, base: str) -> Page:
    context = browser.new_context()
    page = context.new_page()
    page.goto(base + "find.html")
    yield page
    context.close()


@pytest.mark.parametrize("words", ["bobbin winder slips", "needle breaks", "SM11/64-40"])
def test_it_answers_as_you_type(page: Page, words: str) -> None:
    page.locator("#find-query").press_sequentially(words)
    expect(page.locator("#find-results li").first).to_be_visible()
    expect(page.locator("#find-status")).to_have_text(re.compile(r"\d"))
    link = page.locator("#find-results a").first
    link.click()
    expect(page.locator("h1")).to_be_visible()
    assert "find.html" not in page.url.partition("?")[0]


def test_a_question_in_the_address_is_answered(browser: Browser, base: str) -> None:
    page = browser.new_page()
    page.goto(base + "index.html")
    page.locator("#find-query").fill("squeals")
    page.locator("form button").click()
    expect(page).to_have_url(re.compile(r"find\.html\?q=squeals"))
    expect(page.locator("#find-query")).to_have_value("squeals")
    expect(page.locator("#find-results li").first).to_be_visible()
    page.close()


def test_words_that_are_nowhere_are_said_to_be_nowhere(page: Page) -> None:
    page.locator("#find-query").press_sequentially("xylophone qwrtz")
    expect(page.locator("#find-status")).not_to_have_text("")
    expect(page.locator("#find-results li")).to_have_count(0)
