"""The tools with an answer in them: axe, narrow screens, wide spacing, targets, keyboard, speed."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser, Page, expect
from test_reading import FOCUSED, SPACING, audit

ANSWERED = {
    "measure": "part=screw&diameter=4.83+mm&pitch=0.8+mm&within=0.02+mm",
    "serial": "family=halverin-h&number=HA+24OO1",
    "torque": "torque=4+N%C2%B7m+%2835+lbf%C2%B7ft%29&thread=SM11%2F64-40&strength=&factor=",
}
TARGETS = (
    "[...document.querySelectorAll('form button, form input, form select, summary, .des a')]"
    ".map(e => [e.id || e.textContent.trim(), e.getBoundingClientRect().height])"
    ".filter(([, high]) => high < 47.5)"
)


@pytest.fixture(params=sorted(ANSWERED))
def address(request: pytest.FixtureRequest, over_http: str) -> str:
    return f"{over_http}{request.param}.html?{ANSWERED[request.param]}"


def opened(page: Page, address: str) -> None:
    page.goto(address)
    expect(page.locator(".labels .label").first).to_be_visible()
    page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true; })")


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_in_an_answer(browser: Browser, address: str, scheme: str) -> None:
    context = browser.new_context(color_scheme=scheme)  # type: ignore[arg-type]
    page = context.new_page()
    opened(page, address)
    found = audit(page)
    context.close()
    assert found == []


def test_an_answer_fits_320_px_with_wide_spacing_and_every_target_is_large(
    browser: Browser, address: str
) -> None:
    context = browser.new_context(viewport={"width": 320, "height": 640}, bypass_csp=True)
    page = context.new_page()
    opened(page, address)
    small = page.evaluate(TARGETS)
    page.add_style_tag(content=SPACING)
    over = page.evaluate(
        "document.scrollingElement.scrollWidth - document.documentElement.clientWidth"
    )
    context.close()
    assert (over, small) == (0, [])


def test_the_form_is_filled_with_the_keyboard_alone(browser: Browser, address: str) -> None:
    page = browser.new_page()
    page.goto(address.partition("?")[0])
    page.evaluate("kbgenReady()")
    page.locator("form :is(select, input)").first.focus()
    lost = []
    for _ in range(6):
        told = page.evaluate(FOCUSED)
        if told:
            lost.append(told)
        page.keyboard.press("Tab")
    page.close()
    assert lost == []


def test_forced_colours_keep_the_fields_visible(browser: Browser, address: str) -> None:
    context = browser.new_context(forced_colors="active")
    page = context.new_page()
    opened(page, address)
    edges = page.evaluate(
        "[...document.querySelectorAll('form input, form select')].map("
        "e => getComputedStyle(e).borderBottomStyle + getComputedStyle(e).borderBottomWidth)"
    )
    context.close()
    assert set(edges) == {"solid3px"}


def test_an_answer_is_there_within_a_frame_on_a_slow_phone(browser: Browser, address: str) -> None:
    """The handler of one key stroke, its processor slowed four times; the median of thirty."""
    context = browser.new_context()
    page = context.new_page()
    opened(page, address)
    session = context.new_cdp_session(page)
    session.send("Emulation.setCPUThrottlingRate", {"rate": 4})
    field = "form input:not([name=within])"
    took = page.evaluate(
        "(field) => { const e = document.querySelector(field); const took = [];"
        " for (let i = 0; i < 30; i += 1) { const start = performance.now();"
        " e.dispatchEvent(new InputEvent('input', { bubbles: true }));"
        " took.push(performance.now() - start); }"
        " return took.sort((a, b) => a - b)[15]; }",
        field,
    )
    context.close()
    assert took < 16
