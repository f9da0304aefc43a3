"""What a file states, with the place of every figure and what it is about."""

from __future__ import annotations

from kbgen.content import load_note
from kbgen.prose import Scan, Statement, Where, scan_note
from kbgen.units import HouseThreads

FRONT = """---
title: A 1/4-20 UNC screw
standing: published
authors: [M6x1]
symptom:
  - >-
    A screw of
    M6x0.75 is stuck
families: [halverin-h]
causes: [{cause: "It's M3x0.5", tell: 'it''s 4 mm wide'}]
fix: See [the M5x0.8](thread:M4x0.7) of [it](fastener:halverin-h/needle-clamp).
before: {people: one, tools: [5 mm driver], supplies: none, spares: none}
fasteners:
  - halverin-h/needle-clamp
  - {where: Lid, thread: M8x1.25, torque: good and hard, basis: measured, source: one}
works_when: It is quiet.
first_published: 2026-01-10
revised: 2026-01-10
corrections:
  - {date: 2026-02-01, what: Lid, was: M8x1, now: M8x1.25}
---
"""
HOUSE = HouseThreads.of(["13/64-32 house"])


def scanned(body: str) -> tuple[Scan, list[str]]:
    text = FRONT + body
    note, findings = load_note("content/notes/0001-a.md", text.encode())
    assert note is not None, findings
    return scan_note(note, HOUSE), text.split("\n")


def seen(found: Scan, lines: list[str], where: Where) -> list[tuple[str, str]]:
    """Return canonical form and the text that stands at the place of each statement."""
    return [
        (one.value.canonical, lines[one.line - 1][one.column - 1 :][:7])
        for one in found.statements
        if one.where is where
    ]


def test_front_matter_is_read_at_its_place() -> None:
    found, lines = scanned("")
    assert seen(found, lines, Where.FRONT) == [
        ("1/4-20 UNC", "1/4-20 "),
        ("M6x0.75", "M6x0.75"),
        ("M3x0.5", 'M3x0.5"'),
        ("4 mm", "4 mm wi"),
        ("M5x0.8", "M5x0.8]"),
        ("M4x0.7", "the M5x"),
        ("5 mm", "5 mm dr"),
        ("M8x1.25", "M8x1.25"),
    ]


def test_corrections_say_what_was_withdrawn() -> None:
    found, lines = scanned("")
    assert seen(found, lines, Where.CORRECTION) == [("M8x1", "M8x1, n"), ("M8x1.25", "M8x1.25")]
    assert [one.withdrawn for one in found.statements if one.where is Where.CORRECTION] == [
        True,
        False,
    ]


def test_a_field_that_is_no_figure_is_unreadable_there() -> None:
    found, lines = scanned("")
    (slip,) = found.unreadable
    assert slip.kind == "torque"
    assert lines[slip.line - 1][slip.column - 1 :].startswith("good and hard")


def test_a_link_in_a_field_names_the_row() -> None:
    found, _ = scanned("")
    rows = {one.value.canonical: one.subject for one in found.statements}
    assert rows["M5x0.8"] == rows["M4x0.7"] == "halverin-h/needle-clamp"
    assert rows["M6x0.75"] is None


def prose(body: str) -> list[Statement]:
    found, _ = scanned(body)
    return [one for one in found.statements if one.where in (Where.PROSE, Where.TABLE)]


def test_markup_between_a_figure_and_its_unit_hides_nothing() -> None:
    (torque,) = prose("Tighten to **12** *N·m*\n(9 lbf·ft).")
    assert (torque.value.canonical, torque.value.dual) == ("12 N·m", "agrees")
    assert (torque.line, torque.column) == (22, 14)


def test_a_fault_is_at_the_smallest_text() -> None:
    (torque,) = prose("> Tighten to 12 N·m\n> (**20 lbf·ft**).")
    (fault,) = torque.faults
    assert fault.code == "torque-units-disagree"
    assert (fault.line, fault.column) == (23, 6)


def test_code_is_read() -> None:
    spans = prose("Use `M6x1`.\n\n```\nthen M5x0.8\n```\n")
    assert [(one.value.canonical, one.line, one.column) for one in spans] == [
        ("M6x1", 22, 6),
        ("M5x0.8", 25, 6),
    ]


def test_a_header_gives_its_cells_their_kind_and_unit() -> None:
    cells = prose(
        "| Place | Thread | Torque (N·m) | Length, mm |\n|---|---|---|---|\n"
        "| [lid](fastener:halverin-h/needle-clamp) | 10-32 | 4 | 8 |\n"
        "| arm | as found | – | short |\n"
    )
    assert [(str(one.value.kind), one.value.as_written, one.column) for one in cells] == [
        ("thread", "10-32", 45),
        ("torque", "4", 53),
        ("length", "8", 57),
    ]
    assert {one.subject for one in cells} == {"halverin-h/needle-clamp"}
    assert {one.row for one in cells} == {"lid"}
    assert cells[1].value.canonical == "4 N·m"


def test_a_thread_link_states_its_thread_once() -> None:
    threads = prose("[M6x1](thread:M6x1), [this](thread:M5x0.8), [that](thread:1/4-20%20UNC).")
    assert [(one.value.canonical, one.column) for one in threads] == [
        ("M6x1", 2),
        ("M5x0.8", 23),
        ("1/4-20 UNC", 46),
    ]


def test_a_link_to_what_is_no_thread_is_left_to_the_links() -> None:
    assert prose("[this](thread:M4x0.8) and [that](thread:lamp).") == []


def test_two_rows_in_a_sentence_leave_the_subject_open() -> None:
    (one, two) = prose(
        "[a](fastener:halverin-h/a) and [b](fastener:halverin-h/b) are M6x1. It is M5x0.8."
    )
    assert (one.subject, one.named) == (None, ("halverin-h/a", "halverin-h/b"))
    assert (two.subject, two.named) == (None, ())
    assert two.sentence == "It is M5x0.8."
    assert two.sentence[two.at :].startswith("M5x0.8")
