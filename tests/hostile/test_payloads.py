"""Whatever is typed into the content, nothing of it runs in a reader's browser.

Source of the strings: ``data/README.md``; the others are our own, made for the places
where our pages put words. Source of the rule: CWE-79.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import html5lib
import lxml.html
import pytest
from chromium import launched
from hostile_tree import OURS, published_list, scripts_of_the_list, write
from playwright.sync_api import Browser, Error, Page

from kbgen.build import build, inspect

TEXTS = tuple(dict.fromkeys([*OURS, *scripts_of_the_list(), *published_list()]))
TRIED = len({*OURS, *scripts_of_the_list()})  # so many of them, from the first on, in the browser

MARK = """
window.ran = 0;
for (const name of ['alert', 'confirm', 'prompt', 'print', 'open'])
  window[name] = () => { window.ran = 1; };
window.violations = [];
document.addEventListener('securitypolicyviolation',
  (event) => window.violations.push(`${event.violatedDirective} ${event.blockedURI}`));
"""


@pytest.fixture(scope="module")
def refused(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, dict[str, list[Any]]]:
    """The tree, and the findings that are errors by path."""
    root = tmp_path_factory.mktemp("hostile")
    write(root, TEXTS, OURS)
    errors: dict[str, list[Any]] = {}
    for one in inspect(root):
        if one.severity == "error":
            errors.setdefault(one.path, []).append(one)
    return root, errors


@pytest.fixture(scope="module")
def site(refused: tuple[Path, dict[str, list[Any]]]) -> Path:
    """The site of all that was not refused."""
    root, errors = refused
    shutil.copytree(root, root.with_name("clean"))
    root = root.with_name("clean")
    numbers = {int("".join(filter(str.isdigit, Path(path).stem))) for path in errors}
    for number in numbers:
        (root / f"content/notes/{number:04}-a.md").unlink()
        (root / f"content/questions/Q{number:04}-a.md").unlink()
        (root / f"content/parts/part-{number}.yaml").unlink()
    built = build(root)
    assert built.published, [one for one in built.findings if one.severity == "error"][:3]
    return root / "site"


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with launched() as browser:
        yield browser


def test_what_is_refused_is_refused_with_its_place(
    refused: tuple[Path, dict[str, list[Any]]],
) -> None:
    _, errors = refused
    assert set(errors) <= {
        f"content/{folder}"
        for number in range(1, len(TEXTS) + 1)
        for folder in (
            f"notes/{number:04}-a.md",
            f"parts/part-{number}.yaml",
            f"questions/Q{number:04}-a.md",
        )
    }
    codes = {one.code for found in errors.values() for one in found}
    assert codes == {"text-unseen", "text-undecodable", "personal-data"}
    assert all(one.line >= 1 and one.column >= 1 for found in errors.values() for one in found)
    assert len(errors) < len(TEXTS) / 4


def test_no_page_holds_anything_that_could_run(site: Path) -> None:
    pages = sorted(site.rglob("*.html"))
    assert len(pages) > len(TEXTS)
    for path in pages:
        tree = lxml.html.fromstring(path.read_bytes())
        for element in tree.iter():
            if not isinstance(element.tag, str):
                continue
            where = f"{path.relative_to(site)}: <{element.tag} {element.attrib}>"
            names = {name for name in element.attrib if isinstance(name, str)}
            assert not {name for name in names if name.lower().startswith("on")}, where
            assert element.tag not in ("iframe", "object", "embed", "base"), where
            if element.tag == "script" and element.get("type") != "application/ld+json":
                assert element.get("src"), where
                assert not (element.text or "").strip(), where
            for name in ("href", "src", "action", "srcset", "xlink:href"):
                address = (element.get(name) or "").strip().lower()
                assert not address.startswith(("javascript:", "data:text", "vbscript:", "//")), (
                    where
                )


def test_every_word_is_shown_as_it_was_typed(site: Path) -> None:
    for number, text in enumerate(TEXTS[: len(OURS)], 1):
        page = html5lib.parse(
            (site / f"n/{number:04}.html").read_bytes(), namespaceHTMLElements=False
        )
        heading = "".join(page.find(".//h1").itertext())
        assert " ".join(heading.split()) == " ".join(text.split())


def _watched(browser: Browser) -> tuple[Page, list[str], list[str]]:
    page = browser.new_page()
    page.add_init_script(MARK)
    page.route("http*://**", lambda route: route.abort())
    outside: list[str] = []
    dialogs: list[str] = []
    page.on("request", lambda request: outside.append(request.url))
    page.on("dialog", lambda dialog: (dialogs.append(dialog.message), dialog.dismiss()))
    return page, outside, dialogs


def test_none_of_them_runs(site: Path, browser: Browser) -> None:
    page, requests, dialogs = _watched(browser)
    base = site.as_uri() + "/"
    numbers = [n for n in range(1, TRIED + 1) if (site / f"n/{n:04}.html").exists()]
    assert len(numbers) > 240
    paths = [
        *(path.name for path in site.glob("*.html") if path.name != "404.html"),
        *(f"{folder}/all.html" for folder in ("m", "r")),
        "s/winder.html",
        *(f"n/{number:04}.html" for number in numbers),
        *(f"p/part-{number}.html" for number in numbers[: len(OURS)]),
        *(f"q/{number:04}.html" for number in numbers[: len(OURS)]),
    ]
    for path in paths:
        page.goto(base + path, wait_until="load")
        assert page.evaluate("[window.ran, window.violations]") == [0, []], path
    strangers = {url for url in requests if not url.startswith(base)}
    assert strangers == set()
    assert dialogs == []
    page.close()


def test_none_of_them_runs_in_the_search(site: Path, browser: Browser) -> None:
    page, requests, dialogs = _watched(browser)
    base = site.as_uri() + "/"
    page.goto(base + "find.html", wait_until="load")
    shown = 0
    for text in [*OURS, *scripts_of_the_list()[::8]]:
        page.fill("#find-query", text)
        page.keyboard.press("Enter")
        page.wait_for_timeout(60)
        shown += page.locator("#find-results > li").count()
        assert page.evaluate("[window.ran, window.violations]") == [0, []], text
    assert shown > 100
    assert {url for url in requests if not url.startswith(base)} == set()
    assert dialogs == []
    page.close()


def test_a_payload_that_runs_is_seen(tmp_path: Path, browser: Browser) -> None:
    """The same strings, put into a page without care, do run: the mark can be trusted."""
    ran = 0
    for number, text in enumerate(OURS):
        page, _, _ = _watched(browser)
        path = tmp_path / f"{number}.html"
        path.write_text(f"<!doctype html><body><p>{text}</p>", encoding="utf-8", errors="replace")
        try:
            page.goto(path.as_uri(), wait_until="load", timeout=1000)
            page.wait_for_timeout(5)
            ran += bool(page.evaluate("window.ran"))
        except Error:  # it has taken the page to another place
            ran += 1
        page.close()
    assert ran > 12
