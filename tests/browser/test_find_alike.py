"""The page's script says what the bench says: words, stems, threads, and the first ten notes."""

from __future__ import annotations

import random
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from kbgen.checks import check
from kbgen.content import load_tree
from kbgen.search import Bench, Notes
from kbgen.search.analysis import stem, words
from kbgen.search.gather import TreeNotes
from kbgen.search.quantities import read_quantities
from kbgen.search.ranking import LONGEST, Scale, length_steps

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT / "tests" / "benchmarks"))
from slips import with_slips  # noqa: E402

STEMS = ROOT / "tests" / "unit" / "search" / "stems.tsv"
THREADS = [
    "5/16 by 18", "5/16-18 UNC", "five sixteenths eighteen", "5 16ths by 18", "⁵⁄₁₆–18",
    "SM9/64-40", "9/64 by 40", "nine sixty-fourths forty", "SM11/64 x 40", "11/64 40",
    "1/4-20", "quarter twenty", "1/4 BSW", "quarter inch whitworth", "¼-20 UNC", "4 BA", "2BA",
    "M6", "M6x1", "M6 × 1.0", "M4x0,7", "m 5 by 0.8", "M3", "G1/8", "1/8-27 NPS", "10-32",
    "ten thirty-two", "3/16-28 house", "M10x1", "12 N·m", "106 lbf·in", "9 ft-lb", "1.5 Nm",
]  # fmt: skip
SYMPTOMS = [
    "needle keeps falling out", "the little wheel at the back turns but the spool never fills",
    "skips stitches", "thread nests under the cloth", "lamp bracket droops", "motor smells burnt",
    "I get a tingle when I touch it", "foot control runs on", "belt slips", "reverse is stuck",
    "zigzag not centred", "cracked gear quillant", "screw snapped off in the hole",
    "stripped hole in the casting", "wrong bobbin", "machine is seized solid", "squeals",
    "how old is my halverin", "is the old paint lead", "grey pad asbestos", "worn carbon brushes",
    "led bulb", "crank bolt clicks", "needle bar height", "hook timing", "foot does not fit",
    "decals rub off", "rust on the bed", "what is it worth", "print a card", "o ring winder tyre",
    "stop motion washer", "halverin needle clamp screw", "how tight", "left-hand thread",
    "two wires no earth", "110 volts", "cam follower", "feed dog does not rise", "treadle belt",
    "bobin winder slps", "neddle clamp", "stichplate", "presserfoot", "hand wheel", "shut tle",
    "gum", "oil", "brack", "ostr", "needle cl", "xyzzy", "the of and", "...", "N.m", "a/c",
]  # fmt: skip
FIND = """async (questions) => {
  const found = [];
  for (const text of questions) {
    const { hits, question } = await kbgenFind.find(text, 10);
    found.push([hits.map((hit) => [hit.note, hit.score, hit.weak]),
      question.widened.map((row) => [row.said, row.also])]);
  }
  return found;
}"""
IMPACTS = """async ([base, places, counts, holders]) => {
  const rules = await kbgenFind.grammar();
  const list = { places: places.length === holders ? places : [...places,
    ...Array(holders - places.length).fill(0)], counts };
  return Array.from(kbgenFind.impactsOf(base, rules, list)).slice(0, places.length);
}"""
READ = """async (texts) => {
  const rules = await kbgenFind.grammar();
  return texts.map((text) => [rules.words(text), rules.readQuantities(text).map(
    (reading) => [reading.terms, reading.spoken, reading.pair])]);
}"""


@pytest.fixture(scope="module")
def shelf() -> Notes:
    return TreeNotes(check(load_tree(ROOT)))


@pytest.fixture(scope="module")
def page(browser: Browser, from_disk: str) -> Iterator[Page]:
    context = browser.new_context()
    page = context.new_page()
    page.goto(from_disk + "find.html")
    yield page
    context.close()


@pytest.fixture(scope="module")
def bench(shelf: Notes, tmp_path_factory: pytest.TempPathFactory) -> Bench:
    return Bench(tmp_path_factory.mktemp("kept") / "find", lambda: shelf, lambda: "as it is")


def questions(shelf: Notes) -> list[str]:
    """Real and made: symptoms, threads, the notes' own sentences whole, cut and with slips."""
    chance = random.Random(20260301)
    own = [line for number in shelf.keys for line in shelf.shown(number).lines]
    cut = [line[: chance.randint(1, len(line))] for line in own]
    slipped = [with_slips(line, chance, 0.4) for line in own]
    mixed = [" ".join(chance.sample(" ".join(own).split(), 4)) for _ in range(300)]
    return [*THREADS, *SYMPTOMS, *own, *cut, *slipped, *mixed]


def test_the_first_ten_are_the_same_on_both_sides(page: Page, bench: Bench, shelf: Notes) -> None:
    asked = questions(shelf)
    assert len(set(asked)) > 1000
    differ = []
    for text, (hits, widened) in zip(asked, page.evaluate(FIND, asked), strict=True):
        answer = bench.find(text)
        ours = [[r.note, r.score, r.weak] for r in answer.results]
        said = [[w.said, w.also] for w in answer.widened]
        if (hits, widened) != (ours, said):
            differ.append((text, ours, hits))
    assert differ == []


def test_impacts_are_reckoned_the_same(page: Page) -> None:
    """Doubles are reckoned in the same order on both sides: not one whole number differs."""
    chance = random.Random(20260301)
    differ, compared = [], 0
    for notes in (1, 2, 17, 358, 10_000, 999_983):
        lengths = [length_steps(chance.randint(1, 40_000)) for _ in range(3000)]
        scale = Scale(notes, max(notes, sum(lengths) * notes // 3000 + chance.randint(0, 99)))
        counts = [chance.randint(1, LONGEST) // chance.choice([1, 9, 400]) + 1 for _ in lengths]
        base = {"notes": notes, "length": scale.length, "rarities": scale.rarities()}
        for holders in {1, 2, 3, notes // 3 + 1, notes - 1 or 1, notes}:
            places = list(range(min(holders, 3000)))
            theirs = page.evaluate(IMPACTS, [{**base, "lengths": lengths}, places, counts, holders])
            for place, impact in zip(places, theirs, strict=True):
                ours = scale.impact(counts[place], lengths[place], holders)
                compared += 1
                if impact != ours:
                    differ.append((notes, holders, counts[place], lengths[place], ours, impact))
    assert compared > 10_000
    assert differ == []


def test_stems_are_the_golden_ones(page: Page) -> None:
    pairs = [line.split("\t") for line in STEMS.read_text(encoding="utf-8").splitlines()]
    stems = page.evaluate("(words) => words.map(kbgenFind.stem)", [word for word, _ in pairs])
    assert [(p, s) for p, s in zip(pairs, stems, strict=True) if p[1] != s] == []
    assert stem("stitches") == "stitch"


def test_the_published_vocabulary_of_snowball_stems_the_same(page: Page) -> None:
    lines = STEMS.with_name("snowball_sample.tsv").read_text(encoding="utf-8").splitlines()
    listed = [line.split("\t")[0] for line in lines if not line.startswith("#")]
    assert len(listed) == 1000
    assert page.evaluate("(words) => words.map(kbgenFind.stem)", listed) == [
        stem(word) for word in listed
    ]


def test_words_threads_and_torques_are_read_the_same(page: Page, shelf: Notes) -> None:
    texts = questions(shelf)
    differ = []
    for text, (said, readings) in zip(texts, page.evaluate(READ, texts), strict=True):
        ours = [[list(r.terms), list(r.spoken), r.pair] for r in read_quantities(text)]
        if said != words(text) or readings != ours:
            differ.append((text, ours, readings))
    assert differ == []


def test_one_question_loads_only_what_it_needs(browser: Browser, from_disk: str) -> None:
    page = browser.new_page()
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url.rpartition("/")[2]))
    page.goto(from_disk + "find.html?q=bobbin+winder+tyre")
    expect(page.locator("#find-results li").first).to_be_visible()
    assert not [name for name in asked if name.startswith("all")]
    assert len([name for name in asked if name.startswith(("w", "p"))]) <= 8
    page.close()


@pytest.fixture
def fresh(browser: Browser, base: str) -> Iterator[Page]:
    context = browser.new_context()
    page = context.new_page()
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda problem: said.append(str(problem)))
    page.goto(base + "find.html")
    yield page
    context.close()
    assert said == []


def test_a_thread_leads_to_its_own_page_first(fresh: Page) -> None:
    fresh.locator("#find-query").fill("nine sixty-fourths by forty")
    first = fresh.locator("#find-results li a").first
    expect(first).to_have_text("SM9/64-40")
    first.click()
    expect(fresh.locator("h1")).to_be_visible()
    assert "/t/sm9_64-40.html" in fresh.url


def test_words_on_offer_are_taken_with_the_keyboard(fresh: Page) -> None:
    field = fresh.locator("#find-query")
    field.press_sequentially("needle cla")
    expect(fresh.locator("[role=option]").first).to_be_visible()
    expect(field).to_have_attribute("aria-expanded", "true")
    field.press("ArrowDown")
    chosen = fresh.locator("[role=option][aria-selected=true]")
    expect(chosen).to_have_count(1)
    expect(field).to_have_attribute("aria-activedescendant", chosen.get_attribute("id") or "")
    word = chosen.inner_text()
    field.press("Enter")
    expect(field).to_have_value(f"needle {word} ")
    expect(field).to_have_attribute("aria-expanded", "false")


def test_escape_puts_the_words_on_offer_away(fresh: Page) -> None:
    field = fresh.locator("#find-query")
    field.press_sequentially("cla")
    expect(fresh.locator("[role=option]").first).to_be_visible()
    field.press("Escape")
    expect(fresh.locator("[role=option]")).to_have_count(0)
    expect(field).to_have_value("cla")


def test_narrowing_stands_in_the_address_and_goes_back(fresh: Page) -> None:
    fresh.locator("#find-query").fill("needle")
    expect(fresh.locator("#find-results li").first).to_be_visible()
    before = fresh.locator("#find-status").inner_text()
    fresh.locator("details.narrow summary").click()
    select = fresh.get_by_role("combobox", name="Family", exact=True)
    expect(select.locator("option").nth(1)).to_be_attached()
    select.select_option("brackmoor-vs")
    expect(fresh.locator("#find-status")).to_contain_text("narrowed")
    assert "family=brackmoor-vs" in fresh.url
    for text in fresh.locator("#find-results li").all_inner_texts():
        assert "Brackmoor" in text
    fresh.reload()
    expect(fresh.locator("#find-status")).to_contain_text("narrowed")
    fresh.go_back()
    expect(fresh.locator("#find-status")).to_have_text(before)


def test_nothing_found_offers_lists(fresh: Page) -> None:
    fresh.locator("#find-query").fill("xylophone qwrtz")
    expect(fresh.locator("#find-lists a").first).to_be_visible()
    expect(fresh.locator("#find-status")).to_contain_text("Nothing found")
