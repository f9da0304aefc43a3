"""Two hundred messages: none lost, none twice, nobody given away, no abuser named."""

from __future__ import annotations

import datetime
import re
import shutil
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

import pytest
from mailbag import PEOPLE, Bag, bag, secrets

from kbgen.build import build
from kbgen.content import load_tree, set_keys
from kbgen.content.models import CameBy
from kbgen.desk.intake import Askers, Incoming, Report, load_askers, messages_in, take_in

BASE = Path(__file__).parents[3] / "cases" / "base"
DAY = datetime.date(2026, 11, 25)


@dataclass(frozen=True)
class Run:
    """The tree after the bag was taken in, twice, and built."""

    root: Path
    bag: Bag
    messages: list[Incoming]
    first: Report
    second: Report


@pytest.fixture(scope="module")
def run(tmp_path_factory: pytest.TempPathFactory) -> Run:
    root = tmp_path_factory.mktemp("measured") / "tree"
    shutil.copytree(BASE, root)
    columns = (
        "intake:\n  columns: {words: comment, name: author, date: written, about: film, key: id, "
        "parent: reply_to}\n"
    )
    workshop = root / "content" / "workshop.yaml"
    workshop.write_text(workshop.read_text("utf-8") + columns, "utf-8")
    whole = bag()
    files = [
        ("inbox.mbox", whole.mailbox),
        *((f"{number}.eml", data) for number, data in enumerate(whole.letters)),
        ("comments.csv", whole.table),
        ("comments.jsonl", whole.lines),
    ]
    mapped = load_tree(root).tree.workshop
    assert mapped is not None
    messages = [
        message
        for name, data in files
        for message in messages_in(name, data, mapped.intake.columns, CameBy.COMMENT)
    ]
    first = take_in(root, messages, DAY, Askers(root))
    second = take_in(root, messages, DAY, Askers(root))
    for question in load_tree(root).tree.questions.values():
        values = {"standing": "answered", "answered_by": 1, "answered": DAY}
        set_keys(root, question.source.path, values)
    return Run(root, whole, messages, first, second)


def texts_of(folder: Path) -> str:
    return "\n".join(
        path.name + "\n" + path.read_bytes().decode("utf-8", "replace")
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    )


def test_the_bag_has_two_hundred_messages(run: Run) -> None:
    assert len(run.bag.sent) == 200
    assert len(run.messages) == 200


def test_every_message_is_in_one_list_and_in_no_other(run: Run) -> None:
    labels = Counter(
        one.message for one in (*run.first.taken, *run.first.known, *run.first.set_aside)
    )
    assert labels == Counter(message.label for message in run.messages)
    assert max(labels.values()) == 1


def test_each_is_in_the_list_where_it_belongs(run: Run) -> None:
    wanted = Counter(one.becomes for one in run.bag.sent)
    got = {
        "taken": len(run.first.taken),
        "known": len(run.first.known),
        "set aside": len(run.first.set_aside),
    }
    assert got == wanted, [(one.message, one.why) for one in run.first.set_aside]


def test_no_question_is_lost_and_none_is_there_twice(run: Run) -> None:
    files = [path.read_text("utf-8") for path in (run.root / "content" / "questions").iterdir()]
    for one in run.bag.sent:
        times = sum(one.word in text.partition("\n---\n")[2] for text in files)
        assert times == (0 if one.becomes == "set aside" else 1), one.word


def test_the_same_again_adds_nothing(run: Run) -> None:
    assert run.second.taken == ()
    assert len(run.second.known) == len(run.first.taken) + len(run.first.known)
    assert {one.message for one in run.second.set_aside} == {
        one.message for one in run.first.set_aside
    }


def test_nobody_is_given_away(run: Run) -> None:
    built = build(run.root)
    errors = [one for one in built.findings if str(one.severity) == "error"]
    assert errors == []
    assert built.published
    for folder in ("content", "site"):
        everything = texts_of(run.root / folder).casefold()
        digits = re.sub(r"[^\d\n]", "", everything)
        for secret in secrets():
            assert secret.casefold() not in everything, (folder, secret)
            number = re.sub(r"\D", "", secret)[-9:]
            assert len(number) < 9 or number not in digits, (folder, secret)
    assert "swatch003" in texts_of(run.root / "site"), "the words do stand in the site"


def test_every_abusive_name_is_withheld_and_what_was_asked_is_kept(run: Run) -> None:
    questions = load_tree(run.root).tree.questions.values()
    abusive = {one.word for one in run.bag.sent if one.person.abusive and one.becomes == "taken"}
    assert len(abusive) > 20
    for question in questions:
        word = re.search(r"swatch\d{3}", question.words)
        assert word is not None
        assert (question.front.alias == "withheld") == (word[0] in abusive), question.words
        assert not re.search(r"(?i)idiots|f\*\*\*|wanker|fuck", question.words), question.words
        assert "What should I do?" in question.words


def test_who_asked_stands_in_the_private_file_alone(run: Run) -> None:
    askers = load_askers(run.root / "private" / "askers.jsonl")
    assert {one.question for one in askers} == {one.question for one in run.first.taken}
    kept = {one.name for one in askers}
    assert {person.name for person in PEOPLE} <= kept


def test_every_letter_is_readable(run: Run) -> None:
    for question in load_tree(run.root).tree.questions.values():
        assert "\ufffd" not in question.words
        assert not re.search(r"=[0-9A-F]{2}|&lt;|<p>|alert", question.words), question.words
        assert "It holds." not in question.words, "a quotation stayed"
        assert "Sent from" not in question.words
