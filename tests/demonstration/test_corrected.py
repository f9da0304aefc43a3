"""One dated line in a register changes a figure everywhere, and finds who was told the old one."""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from lxml import html

from kbgen.build import build
from kbgen.checks import check
from kbgen.content import load_tree
from kbgen.desk import Tellings
from kbgen.findings import Severity
from kbgen.units import scan

CONTENT = Path(__file__).parents[2] / "content"
ROW = "fastener:marrowby-40/needle-clamp"
WAS, NOW = "M3x0.6", "M3.5x0.6"
FILM = "recordings/dating-evening"
LETTER = """\
---
date: 2026-05-30
alias: Hazel B.
came_by: letter
families: [marrowby-40]
standing: answered
answered_by: 66
answered: 2026-06-01
---
Which screw holds the needle of my Marrowby?
"""
# The old figure in letters; a page's address has it too, and leads on to the row.
SPELLED = re.compile(r"\bM ?3 ?(?:x|×|X|\*|by) ?(?:0?[.,]6|nought point six)\b")


def changed(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert text.count(old) == 1, path
    path.write_text(text.replace(old, new), encoding="utf-8")


@pytest.fixture(scope="module")
def root(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy in which one row has another thread, and one dated line that says so."""
    root = tmp_path_factory.mktemp("corrected")
    shutil.copytree(CONTENT, root / "content")
    built = build(root)  # so that the page of the old thread was published once
    assert built.published, built.findings
    (root / "content" / "questions" / "Q0900-needle-screw.md").write_text(LETTER, "utf-8")
    changed(
        root / "content" / "families" / "marrowby-40.yaml",
        f"where: Needle clamp screw, thread: {WAS},",
        f"where: Needle clamp screw, thread: {NOW}, "
        f"corrections: [{{date: 2026-06-20, was: {WAS}, told_by: a viewer}}],",
    )
    return root


@pytest.fixture(scope="module")
def warned(root: Path) -> list[tuple[str, str]]:
    """What an inspection says before anything is written beside the film."""
    found = check(load_tree(root)).findings
    return [(one.code, one.path) for one in found if one.severity is not Severity.ADVICE]


@pytest.fixture(scope="module")
def site(root: Path, warned: list[tuple[str, str]]) -> Path:
    assert warned
    path = root / "content" / f"{FILM}.yaml"
    path.write_text(
        path.read_text(encoding="utf-8") + "corrections:\n"
        f'  - {{date: 2026-06-20, at: "28:55", what: needle clamp screw of the Marrowby, '
        f"was: {WAS}, now: {NOW}}}\n",
        encoding="utf-8",
    )
    built = build(root)
    loud = [one for one in built.findings if one.severity is not Severity.ADVICE]
    assert loud == []
    return root / "site"


def test_the_film_that_says_the_old_figure_is_a_warning(warned: list[tuple[str, str]]) -> None:
    assert warned == [("caption-contradicts-register", f"content/{FILM}.vtt")]


def told(text: str) -> bool:
    """Return whether a text states the old figure, in whatever spelling."""
    stated = any(one.canonical == WAS for one in scan(text))
    return stated or SPELLED.search(text) is not None


def without_corrections(data: Any) -> Any:
    """Return a data block without its corrections."""
    if isinstance(data, dict):
        return {key: without_corrections(one) for key, one in data.items() if key != "correction"}
    return [without_corrections(one) for one in data] if isinstance(data, list) else data


def lines_of(page: html.HtmlElement) -> Iterator[str]:
    """Yield what a page says beside its corrections and its captions, every attribute included."""
    for block in page.xpath("//script[@type='application/ld+json']"):
        yield json.dumps(without_corrections(json.loads(block.text)), ensure_ascii=False)
    for gone in page.xpath("//s | //p[@class='cap'] | //script | //style"):
        gone.drop_tree()
    for element in page.iter():
        yield " ".join(str(value) for value in element.attrib.values())
    for block in page.xpath("//h1 | //h2 | //h3 | //p | //li | //td | //dd | //dt | //title"):
        yield block.text_content()


def test_the_old_figure_stands_in_corrections_and_captions_alone(site: Path) -> None:
    pages = sorted(site.rglob("*.html"))
    assert len(pages) > 400
    wrong = [
        (path.relative_to(site).as_posix(), line)
        for path in pages
        for line in lines_of(html.fromstring(path.read_bytes()))
        if told(line)
    ]
    assert wrong == []


def test_the_search_would_find_the_new_figure_and_not_the_old(site: Path) -> None:
    files = {path.name: path.read_text("utf-8") for path in sorted((site / "find").glob("*.js"))}
    assert any(NOW in text for text in files.values())
    assert [name for name, text in files.items() if WAS in text or SPELLED.search(text)] == []


def test_the_feed_tells_the_old_figure_in_its_corrections_alone(site: Path) -> None:
    entries = re.findall(r"<entry>.*?</entry>", (site / "feed.xml").read_text("utf-8"), re.DOTALL)
    telling = [entry for entry in entries if told(re.sub(r"<[^>]+>", " ", entry))]
    assert len(telling) == 2
    assert all(f"was {WAS}, is {NOW}" in entry for entry in telling)


def test_where_the_old_figure_stands_its_correction_stands_beside_it(site: Path) -> None:
    """On the page of the machine, of the note, of the film, of the question, and on the list."""
    for path in (
        "corrections.html",
        "m/marrowby-40.html",
        "n/0066.html",
        "q/0900.html",
        "r/dating-evening.html",
    ):
        page = html.fromstring((site / path).read_bytes())
        lines = [" ".join(line.text_content().split()) for line in page.xpath("//li[.//s]")]
        assert any(f"was {WAS}, is {NOW}" in line for line in lines), path
    film = html.fromstring((site / "corrections.html").read_bytes())
    (line,) = [
        one.text_content()
        for one in film.xpath("//li[.//s]")
        if "Said in" in one.text_content() and WAS in one.text_content()
    ]
    assert line.endswith("at 28:55.")


def test_the_page_of_the_old_thread_leads_to_the_row(site: Path) -> None:
    page = html.fromstring((site / "t" / "m3x0.6.html").read_bytes())
    assert "../m/marrowby-40.html#needle-clamp" in page.xpath("//main//a/@href")


def test_everybody_who_was_told_is_found(root: Path, site: Path) -> None:
    assert site.is_dir()
    found = {str(one.corrected.place): one for one in Tellings(check(load_tree(root))).all()}
    telling = found[ROW]
    assert [(said.recording, said.at_s, said.corrected) for said, _ in telling.recordings] == [
        ("dating-evening", 28 * 60 + 55, True)
    ]
    letters = {question.number: line for question, line in telling.questions}
    assert letters[900] == (
        "Dear Hazel B., on 1 June 2026 I answered you from a note that said M3x0.6 (Marrowby 40: "
        "Needle clamp screw); it is M3.5x0.6, see "
        "https://larchrow.example.org/m/marrowby-40.html#needle-clamp"
    )
