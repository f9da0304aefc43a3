"""From files to questions: formats, marks, numbers, what is set aside, and being killed."""

from __future__ import annotations

import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from kbgen.content import load_tree
from kbgen.content.models import CameBy
from kbgen.desk.intake import Incoming, Report
from kbgen.desk.intake.comments import ColumnsMissing, day_in

Take = Callable[..., Report]
Read = Callable[..., list[Incoming]]

LETTER = (
    "From: Hazel Brightwater <hazel@example.org>\r\nSubject: Re: Winder evening at 12:40\r\n"
    "Date: Fri, 6 Mar 2026 21:04:11 +0100\r\nMessage-ID: <{id}@example.org>\r\n\r\n"
    "Why does the tyre slip on my Halverin H?\r\n"
)


def letter(identity: str = "1", *headers: str) -> bytes:
    head, _, body = LETTER.format(id=identity).partition("\r\n\r\n")
    return "\r\n".join([head, *headers, "", body]).encode()


def box(*letters: bytes) -> bytes:
    return b"".join(b"From x Fri Mar  6 21:04:11 2026\n" + one + b"\n\n" for one in letters)


def test_a_letter_becomes_a_question(take: Take, tree: Path) -> None:
    (taken,) = take("a.eml", letter()).taken
    assert taken.path == "content/questions/Q0001-winder-evening-at-12-40.md"
    question = load_tree(tree).tree.questions[1]
    front = question.front
    assert (str(front.date), front.alias, front.came_by) == ("2026-03-06", "H. B.", CameBy.LETTER)
    assert (front.about.recording, front.about.at) == ("winder-evening", "12:40")
    assert front.families == ("halverin-h",)
    assert question.words == "Why does the tyre slip on my Halverin H?"
    assert front.mark is not None
    assert "hazel" not in front.mark


def test_a_mailbox_and_its_letters_are_the_same(take: Take) -> None:
    first = take("in.mbox", box(letter("1"), letter("2").replace(b"tyre", b"belt")))
    assert len(first.taken) == 2
    again = take("1.eml", letter("1"))
    assert [(one.message, one.question) for one in again.known] == [("1.eml", 1)]


def test_a_sentence_that_begins_with_from_parts_no_message(read: Read) -> None:
    words = b"\n\nFrom what I saw on Friday 6 March 2026 it slips.\n>From the side too.\n"
    messages = read("in.mbox", box(letter() + words))
    assert len(messages) == 1
    assert "From what I saw" in messages[0].words
    assert "\nFrom the side" in messages[0].words


def test_a_letter_without_an_id_is_known_by_its_words_and_day(take: Take) -> None:
    bare = letter().replace(b"Message-ID: <1@example.org>\r\n", b"")
    assert len(take("a.eml", bare).taken) == 1
    assert len(take("in.mbox", box(bare)).known) == 1
    assert len(take("b.eml", bare.replace(b"6 Mar", b"7 Mar")).taken) == 1


@pytest.mark.parametrize(
    ("header", "why"),
    [
        ("Auto-Submitted: auto-replied", "RFC 3834"),
        ("Precedence: bulk", "bulk"),
        ("List-Id: <x.example.org>", "list"),
        ("X-Spam-Flag: YES", "spam"),
        ("Return-Path: <>", "machine"),
        ("Content-Type: multipart/report; boundary=x", "did not arrive"),
    ],
)
def test_what_no_person_wrote_is_set_aside_with_a_reason(header: str, why: str, take: Take) -> None:
    (aside,) = take("a.eml", letter("1", header)).set_aside
    assert why in aside.why


def test_a_letter_that_a_person_sent_is_not(take: Take) -> None:
    assert (
        len(take("a.eml", letter("1", "Auto-Submitted: no", "Precedence: first-class")).taken) == 1
    )


@pytest.mark.parametrize(
    ("words", "why"),
    [
        ("> all of it\n> is quoted", "nothing is left"),
        ("   \n", "no words"),
        ("Fuck off, idiots!", "abuse and nothing else"),
        ("Cheap SEO and backlinks, click here https://x.example.org", "advertisement"),
    ],
)
def test_what_asks_nothing_is_set_aside(words: str, why: str, take: Take) -> None:
    head = letter().partition(b"\r\n\r\n")[0]
    (aside,) = take("a.eml", head + b"\r\n\r\n" + words.encode()).set_aside
    assert why in aside.why


def test_comments_of_a_table_and_of_json_lines(take: Take, tree: Path) -> None:
    table = (
        "id;author;comment;written;film;reply_to\n"
        "1;quilter47;13:20 nine sixty fourths?;2026-05-01T10:00:00Z;winder-evening;\n"
        "2;Larch Row Bench;It is 11/64.;2026-05-02;winder-evening;1\n"
        "3;Moss;ok thanks;2026-05-02;winder-evening;1\n"
        "4;Jo;me too, mine has that as well;2026-05-02;winder-evening;1\n"
    )
    report = take("c.csv", table.encode())
    assert [one.alias for one in report.taken] == ["quilter47"]
    assert [one.why for one in report.set_aside] == [
        "the workshop wrote it itself",
        "it praises or agrees and asks nothing",
        "it replies to another comment and asks nothing",
    ]
    front = load_tree(tree).tree.questions[1].front
    assert (front.about.recording, front.about.at, str(front.date)) == (
        "winder-evening", "13:20", "2026-05-01",
    )  # fmt: skip
    again = take("c.jsonl", b'{"id": 1, "comment": "13:20 nine sixty fourths?"}\n')
    assert len(again.known) == 1


def test_columns_that_are_not_there_are_named(read: Read) -> None:
    with pytest.raises(ColumnsMissing) as missing:
        read("c.csv", b"text,who\nWhy?,Jo\n")
    assert missing.value.columns == ("text", "who")


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("2026-03-06", "2026-03-06"),
        ("2026-03-06T23:59:00Z", "2026-03-06"),
        ("Fri, 6 Mar 2026 21:04:11 +0100", "2026-03-06"),
        ("6.3.2026", "2026-03-06"),
        ("27/03/2026", "2026-03-27"),
        ("03/27/2026", "2026-03-27"),
        ("03/04/2026", "None"),
        ("1772838251", "2026-03-06"),
        ("1772838251000", "2026-03-06"),
        ("2026-02-30", "None"),
        ("yesterday", "None"),
        ("99999999999999999999", "None"),
    ],
)
def test_days_of_exports(text: str, day: str) -> None:
    assert str(day_in(text)) == day


def test_pasted_texts(read: Read) -> None:
    lines = (
        b"alias: Marigold\ncame by: telephone\nWhy does it slip?\n\nIt is old.\n---\nAnd mine?\n"
    )
    first, second = read("-", lines)
    assert (first.alias, first.came_by, first.words) == (
        "Marigold", CameBy.TELEPHONE, "Why does it slip?\n\nIt is old.",
    )  # fmt: skip
    assert second.came_by is CameBy.LETTER
    assert [one.words for one in read("-", b"Why?\n\nHow?\nAnd when?\n")] == [
        "Why?", "How?\nAnd when?",
    ]  # fmt: skip


def test_what_is_no_text_is_set_aside(take: Take) -> None:
    assert "no text" in take("x.zip", b"PK\x03\x04\x00\x00\x00").set_aside[0].why


def test_numbers_that_were_ever_used_are_not_used_again(take: Take, tree: Path) -> None:
    ledger = "# Every address\nq/0041.html\tn/0001.html\n"
    (tree / "content" / "addresses.tsv").write_text(ledger, "utf-8")
    assert take("a.eml", letter()).taken[0].question == 42


def test_a_question_that_asks_the_same_names_the_first(take: Take) -> None:
    first = letter("1")
    second = letter("2").replace(b"Why does the tyre slip", b"The tyre slips, why,")
    third = letter("3").replace(b"Why does the tyre slip", b"Why would the tyre slip")
    report = take("in.mbox", box(first, second, third))
    assert [one.same_as for one in report.taken] == [None, 1, 1]


KILLED = """
import sys, datetime
from pathlib import Path
from kbgen.desk.intake import messages_in, take_in
from kbgen.content.models import CameBy
root, data = Path(sys.argv[1]), Path(sys.argv[2]).read_bytes()
take_in(root, messages_in("in.mbox", data, None, CameBy.LETTER), datetime.date(2026, 11, 25))
"""


def test_an_intake_that_is_killed_is_carried_on(take: Take, tree: Path, tmp_path: Path) -> None:
    data = box(*(letter(str(number)) for number in range(40)))
    path = tmp_path / "in.mbox"
    path.write_bytes(data)
    questions = tree / "content" / "questions"
    for least in (1, 12, 25):
        running = subprocess.Popen([sys.executable, "-c", KILLED, str(tree), str(path)])
        while running.poll() is None and (
            not questions.is_dir() or len(list(questions.iterdir())) < least
        ):
            time.sleep(0.01)
        running.send_signal(signal.SIGKILL)
        running.wait()
        loaded = load_tree(tree)
        assert [one for one in loaded.findings if one.path.startswith("content/questions")] == []
    report = take("in.mbox", data)
    assert len(report.taken) + len(report.known) == 40
    marks = [one.front.mark for one in load_tree(tree).tree.questions.values()]
    assert len(marks) == len(set(marks)) == 40


def test_two_intakes_at_once_take_each_message_once(tree: Path, tmp_path: Path) -> None:
    path = tmp_path / "in.mbox"
    path.write_bytes(box(*(letter(str(number)) for number in range(12))))
    command = [sys.executable, "-c", KILLED, str(tree), str(path)]
    both = [subprocess.Popen(command) for _ in range(2)]
    assert [one.wait() for one in both] == [0, 0]
    assert len(load_tree(tree).tree.questions) == 12
