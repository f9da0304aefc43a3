"""Questions among the links: whose page they stand on, what leads where, and for how long."""

from __future__ import annotations

import textwrap
from pathlib import Path

import pytest

from kbgen.checks import Checked, check
from kbgen.content import load_tree
from kbgen.links import format_ledger, forwards

BASE = Path(__file__).parents[2] / "cases" / "base" / "content"
FRONT = "date: 2026-03-06\nalias: Hazel B.\ncame_by: letter\n"
ANSWERED = "standing: answered\nanswered_by: 1\nanswered: 2026-03-27\n"
ABOUT = 'about: {recording: winder-evening, at: "13:00"}\nfamilies: [halverin-h]\n'


def asked(root: Path, **questions: str) -> Checked:
    """Return the base with questions, by their number as ``q1``: keys of their front matter."""
    for path in BASE.rglob("*"):
        if path.is_file():
            copy = root / "content" / path.relative_to(BASE)
            copy.parent.mkdir(parents=True, exist_ok=True)
            copy.write_bytes(path.read_bytes())
    folder = root / "content" / "questions"
    folder.mkdir(exist_ok=True)
    for path in folder.iterdir():
        path.unlink()
    for name, keys in questions.items():
        text = f"---\n{FRONT}{textwrap.dedent(keys)}---\nIt [slips](note:99).\n"
        (folder / f"Q{int(name[1:]):04}-asked.md").write_text(text, encoding="utf-8")
    return check(load_tree(root))


def edges(found: Checked) -> list[tuple[str, str, str]]:
    return [
        (str(edge.origin), str(edge.relation), str(edge.target))
        for edge in found.graph.edges
        if "question" in (edge.origin.scheme, edge.target.scheme)
    ]


def standing(found: Checked) -> dict[str, str]:
    """Return where the addresses of questions lead."""
    entries = found.ledger.entries.values()
    return {one.address: one.leads_to for one in entries if one.address.startswith("q/")}


def renewed(root: Path, found: Checked) -> None:
    (root / "content" / "addresses.tsv").write_bytes(format_ledger(found.ledger))


def test_a_question_leads_to_its_note_its_machine_and_its_moment(tmp_path: Path) -> None:
    found = asked(tmp_path, q1=ABOUT + ANSWERED)
    assert [one.code for one in found.findings] == []
    assert edges(found) == [
        ("question:1", "about", "recording:winder-evening@13:00"),
        ("question:1", "family", "family:halverin-h"),
        ("question:1", "answer", "note:1"),
    ]
    assert standing(found) == {"q/0001.html": "q/0001.html"}


@pytest.mark.parametrize(
    "keys",
    ["", "standing: set aside\n", ANSWERED + "page: kept back\n"],
    ids=["waiting", "set aside", "kept back"],
)
def test_what_no_reader_sees_leads_nowhere_and_has_no_address(tmp_path: Path, keys: str) -> None:
    found = asked(tmp_path, q1=keys + ABOUT)
    assert (edges(found), standing(found)) == ([], {})


def test_those_that_ask_the_same_stand_on_the_page_of_the_first(tmp_path: Path) -> None:
    found = asked(tmp_path, q1=ANSWERED, q2=ANSWERED + "same_as: 1\n" + ABOUT, q3="same_as: 1\n")
    assert ("question:1", "about", "recording:winder-evening@13:00") in edges(found)
    assert {origin for origin, _, _ in edges(found)} == {"question:1"}
    assert standing(found) == {"q/0001.html": "q/0001.html"}


def test_the_page_is_that_of_the_earliest_that_is_shown(tmp_path: Path) -> None:
    kept_back = ANSWERED + "page: kept back\n"
    found = asked(
        tmp_path, q1=kept_back, q2=ANSWERED + "same_as: 1\n", q3=ANSWERED + "same_as: 2\n"
    )
    assert standing(found) == {"q/0002.html": "q/0002.html"}


@pytest.mark.parametrize(
    ("later", "leads"),
    [
        pytest.param(
            {"q1": ANSWERED, "q2": ANSWERED + "same_as: 1\n"}, "q/0001.html", id="found to repeat"
        ),
        pytest.param(
            {"q1": ANSWERED, "q2": ANSWERED + "page: kept back\n"}, "n/0001.html", id="kept back"
        ),
    ],
)
def test_an_address_that_was_given_out_leads_on(
    tmp_path: Path, later: dict[str, str], leads: str
) -> None:
    before = asked(tmp_path, q1=ANSWERED, q2=ANSWERED)
    renewed(tmp_path, before)
    found = asked(tmp_path, **later)
    assert [one.code for one in found.findings] == []
    assert standing(found)["q/0002.html"] == leads
    assert [(one.old, one.new) for one in forwards(found.ledger)] == [("q/0002.html", leads)]
    renewed(tmp_path, found)
    again = asked(tmp_path, q1=ANSWERED, q2=ANSWERED)
    assert standing(again)["q/0002.html"] == "q/0002.html"
    assert [one.code for one in again.findings] == []


def test_a_question_that_is_taken_away_must_be_led_on_by_hand(tmp_path: Path) -> None:
    renewed(tmp_path, asked(tmp_path, q1=ANSWERED))
    (lost,) = asked(tmp_path).findings
    assert (lost.code, lost.path) == ("address-would-be-lost", "content/addresses.tsv")
    assert "set page: kept back instead of removing the question" in lost.hint
    ledger = tmp_path / "content" / "addresses.tsv"
    text = ledger.read_text(encoding="utf-8")
    ledger.write_text(text.replace("\tq/0001.html", "\tn/0001.html"), encoding="utf-8")
    found = asked(tmp_path)
    assert [one.code for one in found.findings] == []
    assert standing(found) == {"q/0001.html": "n/0001.html"}


def test_a_question_that_cannot_be_read_keeps_its_address(tmp_path: Path) -> None:
    renewed(tmp_path, asked(tmp_path, q1=ANSWERED))
    found = asked(tmp_path, q1="standing: [\n")
    assert "address-would-be-lost" not in {one.code for one in found.findings}
