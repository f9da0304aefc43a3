from __future__ import annotations

import os
import random
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kbgen.content import LEDGER_PATH
from kbgen.links import (
    Forward,
    Ledger,
    format_ledger,
    forwards,
    kept_anchors,
    load_ledger,
    merged_ledger,
    parse_ledger,
)
from kbgen.links.renewal import renew

HEAD = format_ledger(Ledger()).decode()


def ledger(*lines: str) -> Ledger:
    """Return the ledger of lines "ADDRESS" (it stands) or "ADDRESS SUCCESSOR"."""
    text = "".join("\t".join((line.split() * 2)[:2]) + "\n" for line in lines)
    found, damage = parse_ledger((HEAD + text).encode())
    assert damage == ()
    return found


def leads(found: Ledger) -> dict[str, str]:
    return {address: entry.leads_to for address, entry in found.entries.items()}


ADDRESSES = st.from_regex(r"\A[mnprst]/[a-z0-9]{1,8}(-[a-z0-9]{1,4})?\.html(#[a-z]{1,5})?\Z")


@given(st.dictionaries(ADDRESSES, ADDRESSES))
def test_a_ledger_reads_back(written: dict[str, str]) -> None:
    data = format_ledger(Ledger.of(written))
    found, damage = parse_ledger(data)
    assert damage == ()
    assert leads(found) == written
    assert format_ledger(found) == data


@given(st.binary(max_size=300))
def test_any_bytes_are_a_ledger_or_a_finding(data: bytes) -> None:
    for text in (data, HEAD.encode() + data):
        found, damage = parse_ledger(text)
        for finding in damage:
            assert finding.code == "address-ledger-damaged"
            assert finding.line >= 1
        if not damage:
            assert leads(parse_ledger(format_ledger(found))[0]) == leads(found)


@pytest.mark.parametrize(
    ("text", "place"),
    [
        pytest.param("", (1, 1), id="an empty file"),
        pytest.param("index.html\tindex.html\n", (1, 1), id="no head line"),
        pytest.param(f"{HEAD}index.html\n", (2, 1), id="no tab"),
        pytest.param(f"{HEAD}index.html\tindex.html\n\n", (3, 1), id="an empty line"),
        pytest.param(f"{HEAD}<<<<<<< mine\n", (2, 1), id="a merge"),
        pytest.param(f"{HEAD}a.html\t../b.html\n", (2, 8), id="out of the site"),
        pytest.param(f"{HEAD}a.html\thttps://example.org/\n", (2, 8), id="elsewhere"),
        pytest.param(f"{HEAD}A.html\ta.html\n", (2, 1), id="capitals"),
        pytest.param(f"{HEAD}a.html\ta.html\ta.html\n", (2, 8), id="three columns"),
        pytest.param(f"{HEAD}a.html\ta.html\na.html\tb.html\n", (3, 1), id="twice"),
    ],
)
def test_a_damaged_line_is_found_where_it_stands(text: str, place: tuple[int, int]) -> None:
    _, damage = parse_ledger(text.encode())
    assert [(found.line, found.column) for found in damage] == [place]


def test_bytes_that_are_not_utf_8_are_found_in_their_line() -> None:
    _, damage = parse_ledger(HEAD.encode() + b"index.html\t\xff\n")
    assert [(found.line, found.column) for found in damage] == [(2, 1)]


def test_line_ends_and_order_of_another_editor_do_no_harm() -> None:
    text = f"\ufeff{HEAD}n/0002.html\tn/0002.html\nindex.html\tindex.html\n"
    found, damage = parse_ledger(text.replace("\n", "\r\n").encode())
    assert damage == ()
    assert list(leads(found)) == ["index.html", "n/0002.html"]


def test_no_ledger_yet_is_an_empty_one(tmp_path: Path) -> None:
    assert load_ledger(tmp_path) == (Ledger(), ())


def test_what_is_no_plain_file_is_damage(tmp_path: Path) -> None:
    path = tmp_path / LEDGER_PATH
    path.parent.mkdir()
    for make in (os.mkfifo, Path.mkdir, lambda place: place.symlink_to(place.name)):
        make(path)
        ledger, damage = load_ledger(tmp_path)
        assert ledger == Ledger()
        assert [one.code for one in damage] == ["address-ledger-damaged"]
        path.rmdir() if path.is_dir() else path.unlink()


def test_what_is_published_first_stands() -> None:
    found, wrong = renew(Ledger(), {"index.html", "m/a.html#row"}, {})
    assert wrong == []
    assert leads(found) == {"index.html": "index.html", "m/a.html#row": "m/a.html#row"}


def test_an_address_that_goes_is_an_error_at_its_second_column() -> None:
    _, wrong = renew(ledger("index.html", "m/a.html"), {"index.html", "m/b.html"}, {})
    assert [(found.code, found.line, found.column) for found in wrong] == [
        ("address-would-be-lost", 3, 10)
    ]
    assert "did you mean m/b.html?" in wrong[0].hint


def test_a_named_successor_is_followed_to_its_end() -> None:
    old = ledger("m/a.html m/b.html", "m/b.html m/c.html", "m/c.html")
    found, wrong = renew(old, {"m/c.html"}, {})
    assert wrong == []
    assert leads(found) == {"m/a.html": "m/c.html", "m/b.html": "m/c.html", "m/c.html": "m/c.html"}


def test_a_successor_that_is_not_there_is_an_error() -> None:
    _, wrong = renew(ledger("m/a.html m/x.html"), {"m/b.html"}, {})
    assert [found.code for found in wrong] == ["address-would-be-lost"]
    assert "m/x.html" in wrong[0].message


def test_successors_that_lead_round_are_an_error_each() -> None:
    _, wrong = renew(ledger("m/a.html m/b.html", "m/b.html m/a.html"), {"m/c.html"}, {})
    assert [found.line for found in wrong] == [2, 3]


def test_anchors_of_a_page_that_moves_go_along_by_name() -> None:
    old = ledger("m/a.html m/b.html", "m/a.html#kept", "m/a.html#lost")
    found, wrong = renew(old, {"m/b.html", "m/b.html#kept"}, {})
    assert leads(found)["m/a.html#kept"] == "m/b.html#kept"
    assert [(one.code, one.line) for one in wrong] == [("address-would-be-lost", 4)]
    assert "this anchor" in wrong[0].message


def test_an_anchor_is_not_saved_by_a_page_that_only_has_the_name() -> None:
    _, wrong = renew(ledger("m/a.html", "m/a.html#row"), {"m/a.html", "m/b.html#row"}, {})
    assert [one.line for one in wrong] == [3]


def test_a_withdrawn_note_leads_to_its_successor_by_its_own_word() -> None:
    old = ledger("n/0001.html", "n/0002.html")
    found, wrong = renew(old, {"n/0002.html"}, {"n/0001.html": "n/0002.html"})
    assert wrong == []
    assert leads(found)["n/0001.html"] == "n/0002.html"


def test_a_note_that_was_withdrawn_from_the_start_has_an_address_too() -> None:
    found, wrong = renew(Ledger(), {"n/0002.html"}, {"n/0001.html": "n/0002.html"})
    assert wrong == []
    assert leads(found)["n/0001.html"] == "n/0002.html"


def test_a_number_used_again_is_an_error() -> None:
    old = ledger("n/0001.html n/0002.html", "n/0002.html")
    _, wrong = renew(old, {"n/0001.html", "n/0002.html"}, {})
    assert [(one.code, one.line, one.column) for one in wrong] == [("address-taken-again", 2, 13)]
    back = ledger("n/0001.html", "n/0002.html")
    assert renew(back, {"n/0001.html", "n/0002.html"}, {})[1] == []


def test_a_family_that_gets_its_old_name_back_is_none() -> None:
    found, wrong = renew(ledger("m/a.html m/b.html", "m/b.html m/a.html"), {"m/a.html"}, {})
    assert wrong == []
    assert leads(found) == {"m/a.html": "m/a.html", "m/b.html": "m/a.html"}


def test_pages_that_lead_on_know_their_anchors() -> None:
    found = ledger("m/a.html m/b.html", "m/a.html#x m/b.html#x", "m/b.html", "m/b.html#x")
    assert forwards(found) == (Forward("m/a.html", "m/b.html", (("x", "m/b.html#x"),)),)
    assert kept_anchors(found) == {}


def test_a_standing_page_keeps_the_anchors_that_lead_on() -> None:
    found = ledger("m/b.html", "m/b.html#new", "m/b.html#old m/b.html#new", "p/c.html")
    assert kept_anchors(found) == {"m/b.html": (("old", "m/b.html#new"),)}
    assert forwards(found) == ()


def test_what_a_killed_build_published_is_added_and_nothing_taken() -> None:
    now = ledger("index.html", "m/a.html m/b.html", "m/b.html")
    pending = ledger("index.html", "m/a.html", "m/b.html", "m/c.html")
    assert leads(merged_ledger(now, pending)) == {
        "index.html": "index.html",
        "m/a.html": "m/b.html",
        "m/b.html": "m/b.html",
        "m/c.html": "m/c.html",
    }


def test_fifty_renames_over_ten_builds_lose_nothing() -> None:
    """Every address ever published still leads to the page of the thing it named."""
    dice = random.Random(20260310)
    names = {thing: f"start-{thing}" for thing in range(25)}
    named: dict[str, int] = {}
    kept = Ledger()
    for round_ in range(11):
        published = {f"m/{name}.html" for name in names.values()}
        published |= {f"m/{name}.html#row" for name in names.values()}
        found, wrong = renew(kept, published, {})
        lines = leads(kept) | {}
        for one in wrong:
            assert one.code == "address-would-be-lost"
            entry = next(entry for entry in kept.entries.values() if entry.line == one.line)
            page, hash_, anchor = entry.address.partition("#")
            lines[entry.address] = f"m/{names[named[page]]}.html" + hash_ + anchor
        if wrong:
            assert round_ > 0
            edited, damage = parse_ledger(format_ledger(Ledger.of(lines)))
            assert damage == ()
            found, wrong = renew(edited, published, {})
        assert wrong == []
        named |= {f"m/{name}.html": thing for thing, name in names.items()}
        kept = parse_ledger(format_ledger(found))[0]
        for page, thing in named.items():
            assert leads(kept)[page] == f"m/{names[thing]}.html"
            assert leads(kept)[page + "#row"] == f"m/{names[thing]}.html#row"
        for thing in dice.sample(sorted(names), 5):
            names[thing] = f"round-{round_}-{thing}"
    assert len(named) == 25 + 50


def test_a_ledger_that_vanishes_while_it_is_read_is_not_one_that_never_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "content").mkdir()
    assert load_ledger(tmp_path) == (Ledger(), ())
    (tmp_path / LEDGER_PATH).write_text("# head\nindex.html\tindex.html\n", encoding="utf-8")

    def vanished(path: Path) -> bytes:
        raise FileNotFoundError(2, "No such file or directory", str(path))

    monkeypatch.setattr(Path, "read_bytes", vanished)
    with pytest.raises(FileNotFoundError):
        load_ledger(tmp_path)
