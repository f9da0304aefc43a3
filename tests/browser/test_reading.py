"""Every page kind in a real browser: nothing leaves, nothing complains, everything fits."""

from __future__ import annotations

from pathlib import Path

from axe_playwright_python.sync_playwright import Axe
from kinds import kind_of
from playwright.sync_api import Browser, ConsoleMessage, Page, Request

# WCAG 2.2 AA and axe's best practices; target-size runs only when asked for by its tag.
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
# The text spacing that WCAG 1.4.12 asks a page to bear.
SPACING = (
    "*{line-height:1.5!important;letter-spacing:.12em!important;word-spacing:.16em!important}"
    "p{margin-bottom:2em!important}"
)
WATCH = """
document.addEventListener('securitypolicyviolation',
  event => console.error('policy: ' + event.violatedDirective));
"""


def test_no_request_leaves_and_nothing_complains(
    browser: Browser, base: str, kinds: list[str]
) -> None:
    requests: list[str] = []
    complaints: list[str] = []
    context = browser.new_context(locale="en-GB")
    context.add_init_script(WATCH)
    page = context.new_page()

    def asked(request: Request) -> None:
        requests.append(request.url)

    def failed(request: Request) -> None:
        # the browser gives up an icon that has not come when the next page is asked for
        if not (request.url.endswith("/icon.svg") and "ABORTED" in (request.failure or "")):
            complaints.append(f"failed: {request.url}: {request.failure}")

    def said(message: ConsoleMessage) -> None:
        complaints.append(f"{page.url}: {message.text}")

    page.on("request", asked)
    page.on("console", said)
    page.on("pageerror", lambda error: complaints.append(f"{page.url}: {error}"))
    page.on("requestfailed", failed)
    for path in kinds:
        page.goto(base + path)
        page.evaluate("document.fonts.ready.then(() => null)")
    page.wait_for_timeout(200)
    context.close()
    assert complaints == []
    assert len(requests) >= len(kinds)
    assert [url for url in requests if not url.startswith((base, "data:"))] == []


def audit(page: Page) -> list[str]:
    """Return what axe finds wrong, and what it cannot decide."""
    options = {"runOnly": {"type": "tag", "values": TAGS}, "preload": False}
    response = Axe().run(page, options=options).response
    return [
        f"{page.url}: {verdict}: {rule['id']}: {node['target']} {node.get('failureSummary', '')}"
        for verdict in ("violations", "incomplete")
        for rule in response[verdict]
        for node in rule["nodes"]
    ]


def test_axe_finds_nothing_and_decides_everything(
    browser: Browser, over_http: str, kinds: list[str]
) -> None:
    found = []
    for scheme in ("light", "dark"):
        context = browser.new_context(color_scheme=scheme)  # type: ignore[arg-type]
        page = context.new_page()
        for path in kinds:
            page.goto(over_http + path)
            found += [f"{scheme}: {line}" for line in audit(page)]
        context.close()
    assert found == []


def test_axe_would_find_a_fault(browser: Browser) -> None:
    page = browser.new_page()
    page.set_content("<html><body><img src=x><button></button></body></html>")
    found = audit(page)
    page.close()
    assert any("image-alt" in line for line in found)


def test_320_px_with_wide_spacing_does_not_scroll_sideways(
    browser: Browser, over_http: str, kinds: list[str]
) -> None:
    context = browser.new_context(viewport={"width": 320, "height": 640}, bypass_csp=True)
    page = context.new_page()
    wide = []
    for path in kinds:
        page.goto(over_http + path)
        page.add_style_tag(content=SPACING)
        over = page.evaluate(
            "document.scrollingElement.scrollWidth - document.documentElement.clientWidth"
        )
        if over > 0:
            wide.append((path, over))
    context.close()
    assert wide == []


def test_keyboard_alone_sees_where_it_is(
    browser: Browser, over_http: str, kinds: list[str]
) -> None:
    """Every stop of the Tab key is outlined, in the window and not covered (WCAG 2.4.7, 2.4.11)."""
    context = browser.new_context(viewport={"width": 800, "height": 700})
    page = context.new_page()
    lost = []
    for path in kinds:
        page.goto(over_http + path)
        stops = ["a[href]", "button", "input", "summary", "[tabindex='0']"]
        count = page.locator(", ".join(f"{stop}:visible" for stop in stops)).count()
        for _ in range(min(count, 60)):
            page.keyboard.press("Tab")
            told = page.evaluate(FOCUSED)
            if told is not None:
                lost.append((path, told))
    context.close()
    assert lost == []


FOCUSED = """() => {
  const e = document.activeElement;
  if (e === document.body) return 'focus went nowhere';
  const s = getComputedStyle(e), b = e.getClientRects()[0];
  if (!b) return e.outerHTML.slice(0, 90) + ' has no box';
  if (s.outlineStyle === 'none' || parseFloat(s.outlineWidth) < 2)
    return e.outerHTML.slice(0, 90) + ' has no outline';
  const top = document.elementFromPoint(b.x + b.width / 2, b.y + b.height / 2);
  if (!top || !(e === top || e.contains(top) || top.contains(e)))
    return e.outerHTML.slice(0, 90) + ' is covered';
  return null;
}"""


def test_targets_at_the_bench_are_48_px_high_where_they_stand_alone(
    browser: Browser, over_http: str, kinds: list[str]
) -> None:
    """Links inside a sentence are exempt, as in WCAG 2.5.8."""
    context = browser.new_context(viewport={"width": 360, "height": 800})
    page = context.new_page()
    small = []
    for path in kinds:
        page.goto(over_http + path)
        small += [
            (path, *told)
            for told in page.evaluate(
                "[...document.querySelectorAll('nav a, .rows a, .des a, button, input')]"
                ".map(e => [e.textContent.trim().slice(0, 30), e.getBoundingClientRect().height])"
                ".filter(([, high]) => high < 47.5)"
            )
        ]
    context.close()
    assert small == []


def test_cautions_stand_before_the_first_step_on_screen_on_paper_and_without_scripts(
    browser: Browser, over_http: str, site: Path, kinds: list[str]
) -> None:
    path = next(path for path in kinds if kind_of(site, path) == "note")
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(over_http + path)
    for media in ("screen", "print"):
        page.emulate_media(media=media)  # type: ignore[arg-type]
        cautions = page.locator(".caution")
        assert cautions.count() > 0
        first_step = page.locator("#_fix")
        for number in range(cautions.count()):
            box, step = cautions.nth(number).bounding_box(), first_step.bounding_box()
            assert box is not None and step is not None
            assert box["height"] > 40
            assert box["y"] + box["height"] <= step["y"]
            assert page.locator(".caution .signal").nth(number).is_visible()
    context.close()


def test_the_rule_is_true_on_paper(browser: Browser, over_http: str) -> None:
    """50 mm of the rule in CSS millimetres: 188.98 px at 96 px to the inch."""
    page = browser.new_page()
    page.goto(over_http + "index.html")
    page.emulate_media(media="print")
    wide, long = page.evaluate(
        "() => { const r = document.querySelector('.rule');"
        " return [r.getBoundingClientRect().width, r.viewBox.baseVal.width]; }"
    )
    page.close()
    assert abs(50 * wide / long - 50 * 96 / 25.4) < 0.2 * 96 / 25.4
