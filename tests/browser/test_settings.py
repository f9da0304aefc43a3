"""The reader's own settings, another way of opening the site, and addresses that have moved."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from kinds import kind_of
from playwright.sync_api import Browser
from test_reading import audit

from kbgen.build import build
from kbgen.content import LEDGER_PATH
from kbgen.links import load_ledger
from kbgen.links.ledger import Ledger, format_ledger

ROOT = Path(__file__).resolve().parents[2]


def one_of_each_template(site: Path, kinds: list[str]) -> list[str]:
    """Return one page of each kind, of the lists one that is short."""
    return list({kind_of(site, path): path for path in reversed(kinds)}.values())


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_more_contrast_is_given_where_it_is_asked_for(
    browser: Browser, over_http: str, site: Path, kinds: list[str], scheme: str
) -> None:
    context = browser.new_context(color_scheme=scheme, contrast="more")  # type: ignore[arg-type]
    page = context.new_page()
    found = []
    for path in one_of_each_template(site, kinds):
        page.goto(over_http + path)
        soft, ink = page.evaluate(
            "['--soft', '--ink'].map(name => getComputedStyle(document.documentElement)"
            ".getPropertyValue(name).trim())"
        )
        if soft != ink:
            found.append(f"{path}: quiet text is {soft}, text is {ink}")
        found += audit(page)
    context.close()
    assert found == []


def test_colours_of_the_system_leave_everything_readable(
    browser: Browser, over_http: str, site: Path, kinds: list[str]
) -> None:
    """Forced colours: drawings keep their lines, signal words their panel, focus its ring."""
    context = browser.new_context(forced_colors="active")
    page = context.new_page()
    lost = []
    for path in one_of_each_template(site, kinds):
        page.goto(over_http + path)
        lost += [(path, told) for told in page.evaluate(UNSEEN)]
        page.keyboard.press("Tab")
        if page.evaluate("getComputedStyle(document.activeElement).outlineStyle") == "none":
            lost.append((path, "no ring around the focus"))
    context.close()
    assert lost == []


UNSEEN = """() => {
  const ground = getComputedStyle(document.body).backgroundColor;
  const unseen = [];
  const drawings = 'svg.piece, svg.pairing, svg.big, svg.rule, svg.bar';
  for (const path of document.querySelectorAll(drawings)) {
    const shape = path.querySelector('path, rect, use');
    const style = getComputedStyle(shape);
    const ink = style.stroke === 'none' ? style.fill : style.stroke;
    if (ink === ground || ink === 'none') unseen.push(path.outerHTML.slice(0, 80));
  }
  for (const word of document.querySelectorAll('.signal')) {
    const style = getComputedStyle(word);
    if (style.color === style.backgroundColor) unseen.push(word.textContent);
  }
  return unseen;
}"""


def test_from_the_disk_a_page_says_what_it_says_over_http(
    browser: Browser, over_http: str, from_disk: str, kinds: list[str]
) -> None:
    context = browser.new_context()
    page = context.new_page()
    differ = []
    for path in kinds:
        said = []
        for base in (over_http, from_disk):
            page.goto(base + path)
            said.append(page.evaluate("document.body.innerText"))
        if said[0] != said[1]:
            differ.append(path)
    context.close()
    assert differ == []


@pytest.fixture(scope="module")
def moved(tmp_path_factory: pytest.TempPathFactory) -> str:
    """The demonstration after a family and one of its places got other names."""
    tree = tmp_path_factory.mktemp("moved")
    shutil.copytree(ROOT / "content", tree / "content")
    assert build(tree).published
    for path in (tree / "content").rglob("*"):
        if path.suffix in (".yaml", ".md"):
            text = path.read_text("utf-8").replace("halverin-h", "halverin-old")
            path.write_text(text.replace("needle-clamp", "clamp-of-needle"), "utf-8")
    families = tree / "content" / "families"
    (families / "halverin-h.yaml").rename(families / "halverin-old.yaml")
    for part in (tree / "content" / "parts").glob("*needle-clamp*"):
        part.rename(part.with_name(part.name.replace("needle-clamp", "clamp-of-needle")))
    ledger, _ = load_ledger(tree)
    leads = {
        entry.address: entry.leads_to.replace("halverin-h", "halverin-old").replace(
            "needle-clamp", "clamp-of-needle"
        )
        for entry in ledger.entries.values()
    }
    (tree / LEDGER_PATH).write_bytes(format_ledger(Ledger.of(leads)))
    built = build(tree)
    assert built.published, [str(one) for one in built.findings if one.severity == "error"]
    return (tree / "site").as_uri() + "/"


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("m/halverin-h.html", "m/halverin-old.html"),
        ("m/halverin-h.html#needle-clamp", "m/halverin-old.html#clamp-of-needle"),
        ("m/halverin-h.html#hook-timing", "m/halverin-old.html#hook-timing"),
        ("g/halverin-h.html", "g/halverin-old.html"),
        ("p/needle-clamp-h.html", "p/clamp-of-needle-h.html"),
    ],
)
def test_an_old_address_leads_to_the_very_place_with_scripts_and_without(
    browser: Browser, moved: str, old: str, new: str
) -> None:
    for scripts in (True, False):
        context = browser.new_context(java_script_enabled=scripts)
        page = context.new_page()
        page.goto(moved + old)
        if not scripts and old.startswith("m/"):
            anchor = old.partition("#")[2]
            line = page.locator(f"#{anchor} a" if anchor else "main .lead a")
            line.click()
        page.wait_for_url(moved + new)
        assert page.locator("h1").is_visible()
        context.close()
