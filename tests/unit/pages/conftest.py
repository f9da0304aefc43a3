"""A small tree with one of everything that a page can show."""

from __future__ import annotations

import textwrap
from pathlib import Path

import pytest

from kbgen.checks import check
from kbgen.content import load_tree
from kbgen.pages import render_site

FILES = {
    "workshop.yaml": """
        name: Test Bench
        language: en-GB
        base_address: https://bench.example.org
        contact: Write to slip@example.org
        disclosure: We were given some of these parts.
        licence: CC BY-SA 4.0
        defaults: {strength: "4.6", nut_factor: "0.20"}
        """,
    "hazards.yaml": """
        - {id: burr, signal: notice, hazard: A burr scratches the bed., avoid: File it off.}
        - {id: pinch, signal: caution, hazard: Levers close., consequence: A bruise.,
           avoid: Belt off.}
        - {id: shock, signal: danger, hazard: Mains inside., consequence: It kills., avoid: Unplug.,
           defer_to: an electrician}
        """,
    "symptoms.yaml": "- {id: winder, heading: The bobbin does not fill, also: [winder slips]}\n",
    "families/one-h.yaml": """
        name: One H
        summary: A flat-bed.
        variants: [{id: boss, name: With boss, differs: A boss on the pillar}]
        fasteners:
          - id: bolt
            where: Motor bolt
            thread: 3/8-24 UNF
            torque: 10 N·m
            basis: measured
            source: pitch leaf, two machines
            variants: [boss]
            corrections: [{date: 2026-03-04, was: 3/8-26 BSF, told_by: a reader}]
          - id: stud
            where: Guard stud
            thread: 3/8-28 UN
            tightness: snug
            basis: measured
            source: pitch leaf, two machines
          - id: nut
            where: Spindle nut
            thread: SM1/4-40 LH
            tightness: snug
            basis: quoted
            source: a letter
        settings:
          - {id: give, what: Belt pressed, value: 6..9 mm, basis: measured, source: a rule}
        lots:
          - {first: A 1, last: A 900, allotted: "1911-03", works: Hill, basis: quoted, source: book}
        """,
    "parts/tyre.yaml": """
        name: Winder tyre
        fits:
          - {family: one-h, verdict: fits but harms, why: It rubs the arm., source: seen}
        offers:
          - {address: "https://shop.example.org/tyre", seen: 2026-01-02, price: 1 GBP, shop: A shop}
        obtained: gift
        """,
    "recordings/evening.yaml": """
        title: An evening
        date: 2026-01-10
        address: https://films.example.org/evening
        length: "48:10"
        chapters:
          - {at: "0:00", title: Welcome}
          - {at: "12:40", title: The tyre, note: 1}
        corrections: [{date: 2026-02-01, at: "12:50", was: 3/8-26 BSF, now: 3/8-24 UNF}]
        """,
    "recordings/evening.vtt": """
        WEBVTT

        00:00:01.000 --> 00:00:03.000
        Good evening.

        00:12:41.000 --> 00:12:43.000
        Now the tyre.
        """,
    "notes/0001-tyre.md": """
        ---
        title: The tyre slips & squeals
        standing: published
        authors: [the bench]
        symptom: [The wheel turns <and> nothing fills]
        headings: [winder]
        families: [one-h]
        causes: [{cause: A hard tyre, tell: No mark, fix: A new one}, {cause: Oil, tell: It shines}]
        fix: Fit a tyre.
        before: {people: one, tools: [5 mm driver], supplies: none, spares: [tyre]}
        parts: [{part: tyre, quantity: 2}]
        fasteners: [one-h/bolt, one-h/nut]
        hazards: [burr, pinch, shock]
        recordings: [{recording: evening, at: "12:40"}]
        works_when: It fills.
        first_published: 2026-01-10
        revised: 2026-03-04
        corrections: [{date: 2026-03-05, what: The driver, was: 4 mm, now: 5 mm}]
        ---
        ## Take it off

        1. Turn the [bolt](fastener:one-h/bolt), a 3/8-24 UNF, with care.
        2. Read [this](note:2) and the [tyre](part:tyre) page.
        """,
    "notes/0002-belt.md": """
        ---
        title: The belt is loose
        standing: published
        authors: [the bench]
        symptom: [The belt flaps]
        headings: [winder]
        families: [one-h]
        causes: [{cause: Age, tell: It is long}]
        fix: Shorten it.
        before: {people: one, tools: none, supplies: none, spares: none}
        works_when: It pulls.
        first_published: 2026-01-11
        revised: 2026-01-11
        ---
        Cut it. See [the tyre](note:1).
        """,
    "notes/0003-old.md": """
        ---
        title: An old way
        standing: withdrawn
        successor: 1
        authors: [the bench]
        symptom: [The wheel turns]
        families: [one-h]
        causes: [{cause: Age, tell: It is long}]
        fix: Glue it.
        before: {people: one, tools: none, supplies: none, spares: none}
        works_when: It holds.
        first_published: 2025-01-11
        revised: 2026-01-11
        ---
        Glue it.
        """,
    "notes/0004-draft.md": """
        ---
        title: Not yet
        standing: draft
        authors: [the bench]
        symptom: [Nothing]
        families: [one-h]
        causes: [{cause: Age, tell: It is long}]
        fix: Wait.
        before: {people: one, tools: none, supplies: none, spares: none}
        works_when: It holds.
        first_published: 2026-01-11
        revised: 2026-01-11
        ---
        Wait.
        """,
}


@pytest.fixture(scope="session")
def tree(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = tmp_path_factory.mktemp("tree")
    for name, text in FILES.items():
        path = root / "content" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(textwrap.dedent(text).lstrip("\n"), encoding="utf-8")
    return root


@pytest.fixture(scope="session")
def site(tree: Path) -> dict[str, bytes]:
    """The site of the small tree, by path."""
    checked = check(load_tree(tree))
    assert checked.publishable, checked.findings
    return dict(render_site(checked, tree / "templates"))
