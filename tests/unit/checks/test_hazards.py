"""What is a mains job and what is not (common practice, no published source)."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kbgen.checks import Material
from kbgen.checks.hazards import _ANY_MAINS, _may_be_mains, hazard_missing, mains_work
from kbgen.content import Tree, load_note
from kbgen.units import HouseThreads

FRONT = """---
title: Belt slips
standing: published
authors: [workshop]
symptom: [The belt slips]
families: []
causes: [{cause: Belt worn, tell: It shines}]
fix: Fit a belt.
before: {people: one, tools: none, supplies: none, spares: none}
works_when: It pulls.
first_published: 2026-01-10
revised: 2026-01-10
---
"""


def reported(body: str) -> list[str]:
    note, findings = load_note("content/notes/0001-belt.md", (FRONT + body).encode())
    assert note is not None
    assert list(findings) == []
    material = Material(Tree(Path(), notes={1: note}), HouseThreads.of([]), (), ())
    assert list(hazard_missing(material)) == []
    return [one.message.split("`")[1] for one in mains_work(material)]


@pytest.mark.parametrize(
    "body",
    [
        "Rewire the plug.",
        "Re-wiring takes an hour.",
        "Join the wiring in the base.",
        "Fit a new flex.",
        "The two-core cable has no earth.",
        "Check the earth lead.",
        "The machine was never earthed.",
        "Put a new mains lead on.",
        "Open the lamp holder.",
        "Loosen the terminal block.",
        "The suppressor has burst.",
        "Replace the capacitor across the motor leads.",
        "The fuse blew.",
        "Fit a new plug.",
        "The insulation has perished.",
        "Measured 240 V at the terminals.",
        "It is made for 110–120 volts.",
        "The customer had an electric shock.",
        "Cut the neutral wire.",
        "Mains goes in at the back.",
        "Fit a new power\nlead.",
        "> Undo the *live*\n> wire.",
    ],
)
def test_a_mains_job(body: str) -> None:
    assert len(reported(body)) == 1


@pytest.mark.parametrize(
    "body",
    [
        "Unplug the machine from the mains first.",
        "Pull the mains plug out of the wall and keep it in sight.",
        "Switch off at the mains, then take the plug out.",
        "With the mains off, turn the wheel.",
        "The main shaft will flex.",
        "Let the spring flex, and do not flex it twice.",
        "It leads to the back. The lead screw is worn.",
        "Lay it on the ground.",
        "A 12 V lamp is in the toy.",
        "A V belt of 230 mm.",
        "The confused customer refused.",
        "See [how to rewire the lamp](note:2) and [fuses](note:3).",
        "The lamp bracket screw is loose.",
        "Hold a strip of paper between the three pins.",
    ],
)
def test_no_mains_job(body: str) -> None:
    assert reported(body) == []


@given(st.text(), st.from_regex(_ANY_MAINS), st.text())
def test_the_first_glance_lets_no_mains_job_go(before: str, words: str, after: str) -> None:
    text = f"{before} {words.strip()} {after}"
    if _ANY_MAINS.search(text.lower()):
        assert _may_be_mains(text)
