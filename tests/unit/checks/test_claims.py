"""What a letter states, held to the register of the family it is about."""

from __future__ import annotations

import textwrap
from pathlib import Path

import pytest

from kbgen.checks import Registers, check
from kbgen.content import load_tree

FILES = {
    "workshop.yaml": """
        name: Test Bench
        language: en-GB
        base_address: https://bench.example.org
        contact: Write to slip@example.org
        disclosure: We were given some of these parts.
        """,
    "families/one-h.yaml": """
        name: One H
        summary: A flat-bed.
        fasteners:
          - id: needle-clamp
            where: Needle clamp screw in the needle bar
            thread: SM1/8-44
            tightness: snug
            basis: measured
            source: pitch leaf, two machines
            corrections: [{date: 2026-03-04, was: 1/8-40 BSW, told_by: a reader}]
          - id: lamp-bracket-screw
            where: Lamp bracket to the arm
            thread: SM3/16-32
            torque: 1.2 N·m
            basis: measured
            source: pitch leaf, two machines
            disputed: [{says: 10-32 UNF, source: a letter}]
          - id: presser-foot-screw
            where: Presser-foot clamp screw
            thread: SM9/64-40
            tightness: snug
            basis: measured
            source: pitch leaf, two machines
        """,
    "vocabulary.yaml": """
        - {lay: [screw that holds the foot], trade: [presser-foot screw]}
        """,
}
HOME = ["one-h"]


@pytest.fixture(scope="module")
def registers(tmp_path_factory: pytest.TempPathFactory) -> Registers:
    root: Path = tmp_path_factory.mktemp("tree")
    for name, text in FILES.items():
        path = root / "content" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(textwrap.dedent(text).lstrip(), encoding="utf-8")
    loaded = load_tree(root)
    assert not [one for one in loaded.findings if one.severity == "error"]
    return Registers(check(loaded))


CLAMP, LAMP, FOOT = "one-h/needle-clamp", "one-h/lamp-bracket-screw", "one-h/presser-foot-screw"


@pytest.mark.parametrize(
    ("text", "families", "rows", "agrees"),
    [
        pytest.param("The needle clamp screw is SM1/8-44.", HOME, [CLAMP], True, id="right"),
        pytest.param("The needle clamp screw is M3x0.5.", HOME, [CLAMP], False, id="wrong"),
        pytest.param("The needle clamp is M3x0.5.", [], [], None, id="of no family"),
        pytest.param("The bed bolt is M3x0.5.", HOME, [], None, id="of no place"),
        pytest.param("The lamp bracket screw wants 3 Nm?", HOME, [LAMP], False, id="torque"),
        pytest.param("Needle clamp screw: 3 Nm.", HOME, [CLAMP], None, id="row without one"),
        pytest.param(
            "I lost the screw that holds the foot, a 10-32 UNF.", HOME, [FOOT], False, id="lay"
        ),
        pytest.param(
            "I lost the needle clamp screw. I was told M3x0.5.", HOME, [CLAMP], False, id="before"
        ),
        pytest.param(
            "The needle clamp screw is SM1/8-44. It was M3x0.5 on hers.",
            HOME,
            [CLAMP, None],
            True,
            id="a figure in the sentence before is not taken along",
        ),
        pytest.param(
            "The needle clamp\nscrew is M3x0.5.\n\nThank you.", HOME, [CLAMP], False, id="lines"
        ),
        pytest.param(
            "My needle clamp screw.\n\nIs it M3x0.5?", HOME, [], None, id="another paragraph"
        ),
    ],
)
def test_a_claim_knows_its_place(registers, text, families, rows, agrees):
    claims = registers.claims(text, families)
    assert [claim.rows[0] if claim.rows else None for claim in claims] == (rows or [None])
    assert claims[0].agrees is agrees


@pytest.mark.parametrize(
    ("text", "withdrawn", "disputed", "apart"),
    [
        ("The needle clamp screw is 1/8-40 BSW.", True, False, False),
        ("The needle clamp screw is SM1/8-44.", False, False, False),
        ("The lamp bracket screw is 10-32 UNF.", False, True, False),
        ("The needle clamp screw is not 1/8-40 BSW.", True, False, True),
        ("A 1/8-40 BSW screw binds in the needle clamp.", False, False, True),
    ],
)
def test_what_was_withdrawn_or_is_disputed_is_known(registers, text, withdrawn, disputed, apart):
    (claim,) = registers.claims(text, HOME)
    assert (bool(claim.withdrawn), claim.disputed, claim.apart) == (withdrawn, disputed, apart)


def test_a_contradiction_is_one_without_any_place(registers):
    (claim,) = registers.claims("I need an M4x0.8 screw.", [])
    assert [one.code for one in claim.stated.objections] == ["thread-in-no-series"]


def test_the_withdrawn_figures_of_a_place_are_listed(registers):
    assert [one.value.canonical for one in registers.withdrawn(CLAMP)] == ["1/8-40 BSW"]
    assert registers.withdrawn(LAMP) == ()
    assert set(registers.rows) == {CLAMP, LAMP, FOOT}
