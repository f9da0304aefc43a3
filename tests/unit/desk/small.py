"""A small tree with one of everything that a question can meet, and how to write it down."""

from __future__ import annotations

import textwrap
from collections.abc import Mapping
from pathlib import Path

from kbgen.checks import Checked, check
from kbgen.content import load_tree

NOTE = """
    ---
    title: {title}
    standing: published
    authors: [workshop]
    symptom: [{symptom}]
    headings: [{heading}]
    families: [{families}]
    causes: [{{cause: Wear, tell: Look}}]
    fix: {fix}
    before: {{people: one, tools: none, supplies: none, spares: none}}
    {more}
    works_when: A spool fills.
    first_published: 2026-01-10
    revised: 2026-03-04
    ---
    Steps.
    """


def note(
    title: str,
    symptom: str,
    fix: str,
    families: str = "",
    heading: str = "winder",
    more: str = "{}",
) -> str:
    """Return the text of a note; ``more`` are lines of its front matter."""
    text = textwrap.dedent(NOTE).lstrip()
    lines = "" if more == "{}" else textwrap.dedent(more).strip()
    return text.format(
        title=title,
        symptom=symptom,
        fix=fix,
        families=families,
        heading=heading,
        more=lines or "photos: []",
    )


def question(words: str, keys: str = "", day: str = "2026-03-06", alias: str = "Hazel B.") -> str:
    """Return the text of a question; ``keys`` are lines of its front matter."""
    front = f"date: {day}\nalias: {alias}\ncame_by: letter\n"
    return f"---\n{front}{textwrap.dedent(keys)}---\n{words}\n"


FILES: dict[str, str] = {
    "workshop.yaml": """
        name: Test Bench
        language: en-GB
        base_address: https://bench.example.org
        contact: bench@example.org
        disclosure: Gifts are named where they stand.
        rundown: {words_a_minute: 120, pause: 25}
        """,
    "hazards.yaml": """
        - {id: burr, signal: notice, hazard: A burr scratches the bed., avoid: File it off.}
        - {id: pinch, signal: caution, hazard: Levers close, consequence: A bruise, avoid: Belt off}
        - {id: shock, signal: danger, hazard: Mains inside., consequence: It kills., avoid: Unplug.,
           defer_to: an electrician}
        """,
    "symptoms.yaml": """
        - {id: winder, heading: The bobbin does not fill, also: [winder slips]}
        - {id: lamp, heading: The lamp is loose}
        """,
    "vocabulary.yaml": """
        - {lay: [little wheel at the back], trade: [winder tyre]}
        """,
    "families/one-h.yaml": """
        name: Onehart H
        summary: A flat-bed.
        also_called: [the big one]
        fasteners:
          - id: bracket-screw
            where: Winder bracket screw
            thread: SM11/64-40
            torque: 1.0 N·m
            basis: measured
            source: pitch leaf, two machines
            corrections: [{date: 2026-03-04, was: SM9/64-40, told_by: a reader}]
          - id: motor-bolt
            where: Motor boss bolt
            thread: 3/8-24 UNF
            tightness: snug
            basis: measured
            source: pitch leaf, two machines
          - id: guard-stud
            where: Belt guard stud
            thread: 3/8-28 UN
            basis: measured
            source: pitch leaf, two machines
          - id: lamp-screw
            where: Lamp bracket screw
            thread: SM3/16-32
            tightness: snug
            basis: estimated
            source: by eye
            disputed: [{says: 10-32 UNF, source: a letter}]
        """,
    "families/two-v.yaml": """
        name: Twoway V
        summary: A free arm.
        fasteners:
          - {id: lamp-screw, where: Lamp bracket screw, thread: M4x0.7, torque: 1 N·m,
             basis: measured, source: pitch leaf}
        """,
    "parts/tyre.yaml": """
        name: Winder tyre
        fits:
          - {family: one-h, verdict: fits, why: it is soft, source: four machines}
          - {family: two-v, verdict: does not fit, why: no winder, source: two machines}
        obtained: gift
        """,
    "recordings/evening.yaml": """
        title: Winder evening
        date: 2026-01-09
        address: https://video.example.org/w
        length: "30:00"
        chapters:
          - {at: "01:00", title: Tyres, note: 1}
          - {at: "10:00", title: The lamp, note: 2}
        corrections:
          - {date: 2026-03-04, at: "02:00", what: thread of the bracket screw, was: SM9/64-40,
             now: SM11/64-40}
          - {date: 2026-03-05, at: "11:00", what: how to hold the lamp, was: by its glass,
             now: by its cap}
        """,
    "notes/0001-winder-slips.md": note(
        "The bobbin winder slips",
        "The little wheel turns and the spool stays empty",
        "Replace the [winder tyre](part:tyre) and *reset* it.",
        "one-h",
        more="""
            fasteners: [one-h/bracket-screw, one-h/motor-bolt]
            hazards: [burr, shock, pinch]
            parts: [{part: tyre, quantity: 2}]
            recordings: [{recording: evening, at: "01:00"}]
            """,
    ),
    "notes/0002-lamp-droops.md": note(
        "The lamp droops",
        "The lamp hangs down on to the cloth",
        "Tighten the bracket that moves.",
        "one-h, two-v",
        "lamp",
        more="""
            fasteners: [one-h/lamp-screw, two-v/lamp-screw]
            hazards: [shock]
            corrections: [{date: 2026-02-01, what: when to oil, was: every 9 days, now: never}]
            """,
    ),
    "notes/0003-general.md": note(
        "Keep a diary of repairs", "I forget what I did", "Write it down."
    ),
    "questions/Q0001-spool-empty.md": question(
        "The little wheel turns and the spool stays empty. Why does the bobbin winder slip?",
        "families: [one-h]\nin_short: The winder turns and the spool stays empty\n",
    ),
    "questions/Q0002-lamp.md": question(
        "My lamp droops, it hangs down on to the cloth whatever I do to the lamp bracket.",
        day="2026-03-01",
        alias="withheld",
    ),
    "questions/Q0003-shoes.md": question(
        "Which polish do you use on brown walking boots?", day="2026-02-01", alias="Otto"
    ),
    "questions/Q0004-spool-again.md": question(
        "The spool stays empty, the winder slips, the little wheel turns.",
        "families: [one-h]\nsame_as: 1\n",
        day="2026-04-01",
        alias="Fern",
    ),
}


def written(root: Path, changes: Mapping[str, str | None] | None = None) -> Path:
    """Write the small tree below a folder; ``changes`` replace files, None leaves one out."""
    for name, text in {**FILES, **(changes or {})}.items():
        if text is not None:
            path = root / "content" / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(textwrap.dedent(text).lstrip(), encoding="utf-8")
    return root


def checked(root: Path, changes: Mapping[str, str | None] | None = None) -> Checked:
    """Write the small tree and check it."""
    return check(load_tree(written(root, changes)))
