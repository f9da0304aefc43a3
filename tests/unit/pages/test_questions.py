"""Questions on the site: the words as written, the answer with its cautions, who else asked."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path

import pytest
from lxml import html
from markupsafe import Markup

from kbgen.checks import check
from kbgen.content import askings, load_tree
from kbgen.pages import render_site
from kbgen.pages.asked import as_written

Pages = dict[str, html.HtmlElement]

FRONT = "date: {date}\nalias: {alias}\ncame_by: {by}\n{keys}"
ANSWERED = "standing: answered\nanswered_by: 1\nanswered: {day}\n"
WORDS = """\
Dear <both>,

the little wheel turns & the spool stays empty; I have pressed it with my thumb until
it hurt. Is [this](note:99) the *M4x0.8* screw?
  * or
  * is it the motor?
"""


def question(
    words: str, keys: str, date: str = "2026-01-12", alias: str = "Hazel B.", by: str = "letter"
) -> str:
    front = FRONT.format(date=date, alias=alias, by=by, keys=keys)
    return f"---\n{front}---\n{words}"


QUESTIONS = {
    1: question(
        WORDS,
        "subject: Winder\nin_short: Is it the 5/16 screw, or <the motor>?\nfamilies: [one-h]\n"
        + ANSWERED.format(day="2026-01-30")
        + "answer: |\n  Press it.\n\n  The [bolt](fastener:one-h/bolt) is a 3/8-24 UNF.\n",
    ),
    2: question(
        "mine too",
        "about: {recording: evening, at: '12:45'}\nsame_as: 1\n"
        + ANSWERED.format(day="2026-02-20"),
        "2026-02-02",
        "withheld",
        "comment",
    ),
    3: question("It flaps.", "", "2026-03-01", "T.", "telephone"),
    4: question(
        "Shall I oil it?",
        ANSWERED.format(day="2026-05-01") + "about: {recording: evening}\n",
        "2026-04-01",
        "K.",
        "visit",
    ),
    5: question(
        "And mine?", ANSWERED.format(day="2026-04-02") + "page: kept back\n", "2026-04-01", "Z."
    ),
}


@pytest.fixture(scope="module")
def asked(tree: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = tmp_path_factory.mktemp("asked") / "tree"
    shutil.copytree(tree, root)
    (root / "content" / "questions").mkdir()
    for number, text in QUESTIONS.items():
        path = root / "content" / "questions" / f"Q{number:04}-asked.md"
        path.write_text(text, encoding="utf-8")
    return root


@pytest.fixture(scope="module")
def pages(asked: Path) -> Pages:
    checked = check(load_tree(asked))
    assert checked.publishable, checked.findings
    files = render_site(checked)
    return {path: html.fromstring(data) for path, data in files if path.endswith(".html")}


def section(page: html.HtmlElement, heading: str) -> html.HtmlElement:
    (found,) = page.xpath("//section[h2=$heading]", heading=heading)
    return found


def words(element: html.HtmlElement) -> str:
    return " ".join(element.text_content().replace("\u00a0", " ").split())


def links(element: html.HtmlElement) -> list[str]:
    return [link.get("href") for link in element.iter("a")]


def test_only_answered_questions_that_are_shown_have_pages(pages: Pages) -> None:
    assert sorted(path for path in pages if path.startswith("q/")) == ["q/0001.html", "q/0004.html"]


def test_the_words_stand_as_they_were_written_and_nothing_in_them_is_markup(pages: Pages) -> None:
    asked = section(pages["q/0001.html"], "As it was asked").find(".//blockquote")
    assert [paragraph.text_content() for paragraph in asked] == [
        "Dear <both>,",
        "the little wheel turns & the spool stays empty; I have pressed it with my thumb until "
        "it hurt. Is [this](note:99) the *M4x0.8* screw?* or* is it the motor?",
    ]
    assert [child.tag for child in asked.iter()] == ["blockquote", "p", "p", "br", "br"]


def test_the_title_is_the_question_in_one_line(pages: Pages) -> None:
    page = pages["q/0001.html"]
    assert words(page.find(".//h1")) == "Is it the 5/16 screw, or <the motor>?"
    assert words(pages["q/0004.html"].find(".//h1")) == "Question 4"


def test_who_asked_how_and_when_and_about_what(pages: Pages) -> None:
    facts = words(pages["q/0001.html"].xpath("//p[@class='facts']")[0])
    assert facts == (
        "Hazel B., by letter, 12 January 2026. Answered 30 January 2026. Holds for One H."
    )
    facts = pages["q/0004.html"].xpath("//p[@class='facts']")[0]
    assert words(facts) == "K., on a visit, 1 April 2026, about An evening. Answered 1 May 2026."
    assert links(facts) == ["../r/evening.html"]


def test_cautions_stand_before_the_answer_most_severe_first(pages: Pages) -> None:
    page = pages["q/0001.html"]
    headings = [words(heading) for heading in page.iter("h2")]
    assert headings[:4] == ["As it was asked", "Stop if", "The answer", "Also asked by"]
    signals = [words(one) for one in section(page, "Stop if").xpath(".//p[@class='signal']")]
    assert signals[0] == "DANGER"
    assert len(signals) == 3


def test_the_answer_is_our_own_or_the_fix_of_the_note(pages: Pages) -> None:
    own = section(pages["q/0001.html"], "The answer")
    assert words(own).startswith("The answer Press it. The bolt is a 3/8-24 UNF. Answered from")
    assert "../m/one-h.html#bolt" in links(own)
    assert own.xpath(".//b[@class='th']")
    fix = section(pages["q/0004.html"], "The answer")
    assert words(fix).startswith("The answer Fit a tyre. In full")
    assert links(fix) == ["../n/0001.html"]


def test_what_was_corrected_since_is_shown_and_nothing_older(pages: Pages) -> None:
    assert "Corrected since it was answered" in words(pages["q/0001.html"])
    line = words(section(pages["q/0001.html"], "The answer").xpath(".//ul[@class='ledger']/li")[-1])
    assert "was" in line
    assert "Corrected since" not in words(pages["q/0004.html"])


def test_who_asks_the_same_stands_on_the_page_of_the_first(pages: Pages) -> None:
    again = words(section(pages["q/0001.html"], "Also asked by"))
    assert again == (
        "Also asked by Somebody, in a comment, 2 February 2026 mine too Answered 20 February 2026."
    )


def test_the_note_says_who_asked_how_often(pages: Pages, asked: Path) -> None:
    told = section(pages["n/0001.html"], "Who asked")
    assert words(told).startswith(
        "Who asked Asked 4 times, 2 by letter, 1 in a comment and 1 on a visit: first on "
        "12 January 2026, last on 1 April 2026."
    )
    assert links(told) == ["../q/0001.html", "../q/0004.html"]
    assert askings(load_tree(asked).tree)[1] == 4
    assert not pages["n/0002.html"].xpath("//h2[.='Who asked']")


def test_families_and_recordings_list_their_questions(pages: Pages) -> None:
    assert links(section(pages["m/one-h.html"], "What people asked of it")) == ["../q/0001.html"]
    recording = section(pages["r/evening.html"], "What people asked of it")
    assert links(recording) == ["../q/0001.html", "../q/0004.html"]
    assert "Hazel B., by letter, 12 January 2026, and 1 more after that" in words(recording)


def test_the_list_is_by_subject_and_says_how_many_wait(pages: Pages) -> None:
    page = pages["questions.html"]
    assert words(page.xpath("//p[@class='facts']")[0]).startswith(
        "What people asked, in their own words, with our answers. 1 waits for one."
    )
    (group,) = page.xpath("//section[h2='The bobbin does not fill']")
    assert links(group) == ["q/0001.html", "q/0004.html"]
    assert "questions.html" in links(page.find(".//nav"))


def test_machines_are_told_one_question_and_its_answer(pages: Pages) -> None:
    (text,) = pages["q/0001.html"].xpath("//script[@type='application/ld+json']/text()")
    told = json.loads(text)
    assert told["@type"] == "QAPage"
    assert told["dateModified"] >= "2026-02-20"
    asked = told["mainEntity"]
    assert asked["author"] == {"@type": "Person", "name": "Hazel B."}
    assert asked["text"].startswith("Dear <both>, the little wheel turns & the spool")
    assert asked["acceptedAnswer"]["text"] == "Press it. The bolt is a 3/8-24 UNF."
    assert asked["acceptedAnswer"]["url"].endswith("/n/0001.html")


def test_the_answer_is_held_to_the_register_and_the_words_are_not(asked: Path) -> None:
    path = asked / "content" / "questions" / "Q0001-asked.md"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("is a 3/8-24 UNF", "is a 3/8-28 UN"), encoding="utf-8")
    found = [one for one in check(load_tree(asked)).findings if "questions" in one.path]
    path.write_text(text, encoding="utf-8")
    assert [(one.code, one.line) for one in found] == [("prose-contradicts-register", 14)]
    assert [one for one in check(load_tree(asked)).findings if "questions" in one.path] == []


LONG = "x" * 30 + " " + "y" * 30


@pytest.mark.parametrize(
    ("written", "shown"),
    [
        ("one\ntwo", "<p>one<br>two</p>"),
        ("one\n\n  \ntwo", "<p>one</p><p>two</p>"),
        ("one\n\u2003\ntwo", "<p>one</p><p>two</p>"),
        (f"{LONG}\nand more", f"<p>{LONG} and more</p>"),
        (f"{LONG}\n- and more", f"<p>{LONG}<br>- and more</p>"),
        (f"{LONG}\n> and more", f"<p>{LONG}<br>&gt; and more</p>"),
        (f"{LONG}\n2. and more", f"<p>{LONG}<br>2. and more</p>"),
        (f"{LONG}\nshort\nand more", f"<p>{LONG} short<br>and more</p>"),
        ("<script>alert(1)</script>", "<p>&lt;script&gt;alert(1)&lt;/script&gt;</p>"),
        ("", "<p></p>"),
    ],
)
def test_breaks_that_a_writer_made_are_kept(written: str, shown: str) -> None:
    assert as_written(written) == Markup(shown)


def test_no_page_of_a_question_is_longer_than_what_was_said(pages: Pages) -> None:
    assert not re.search(r"kept back|And mine", "".join(words(page) for page in pages.values()))
