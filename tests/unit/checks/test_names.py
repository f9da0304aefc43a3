"""Which registered place a sentence speaks of, and when it is better not to be sure."""

from __future__ import annotations

import pytest

from kbgen.checks.apart import is_set_apart
from kbgen.checks.names import Names
from kbgen.checks.rule import Row
from kbgen.content import Source
from kbgen.content.models import Family, RegisterRow
from kbgen.content.tree import Filed
from kbgen.prose import Statement, Where
from kbgen.units import scan

WHERE = {
    "needle-clamp": "Needle clamp screw in the needle bar",
    "winder-bracket-screw": "Winder bracket to arm",
    "tension-stud": "Tension stud, thumb-nut end",
    "tension-set-screw": "Set screw that holds the tension stud in the face plate",
    "stop-motion-lock": "Lock screw of the stop-motion knob",
    "motor-boss-bolt": "Motor bracket bolt into the boss on the pillar",
    "hub": "Hub screw",
}
FAMILY = Filed(
    "h", Source("content/families/h.yaml", "", {}), Family(name="H", summary="A machine")
)
ROWS = [
    Row(
        f"h/{name}",
        FAMILY,
        number,
        RegisterRow(id=name, where=where, thread="M4x0.7", basis="measured", source="one"),
    )
    for number, (name, where) in enumerate(WHERE.items())
]


def statement(sentence: str, figure: str, row: str = "") -> Statement:
    at = sentence.index(figure)
    (stated,) = [one for one in scan(sentence) if one.span.start == at]
    return Statement("content/notes/0001-a.md", 1, 1, Where.PROSE, stated, None, sentence, at, row)


@pytest.mark.parametrize(
    ("sentence", "figure", "rows"),
    [
        ("The needle clamp screw is M4x0.7.", "M4x0.7", ["needle-clamp"]),
        ("Needle-clamp: M4x0.7.", "M4x0.7", ["needle-clamp"]),
        ("The needle clamp takes an M4x0.7 screw.", "M4x0.7", ["needle-clamp"]),
        ("The needle clamp's thread is M4x0.7.", "M4x0.7", ["needle-clamp"]),
        ("Both needle clamps are M4x0.7.", "M4x0.7", ["needle-clamp"]),
        ("The winder bracket screw is M4x0.7.", "M4x0.7", ["winder-bracket-screw"]),
        ("Tighten the motor bracket bolt to 4 N·m.", "4 N·m", ["motor-boss-bolt"]),
        ("Tighten the motor boss bolt to 4 N·m.", "4 N·m", ["motor-boss-bolt"]),
        ("The tension stud is M4x0.7.", "M4x0.7", ["tension-stud"]),
        ("The winder bracket takes an M4x0.7 screw.", "M4x0.7", ["winder-bracket-screw"]),
        ("Fit the winder bracket with M4x0.7 screws.", "M4x0.7", ["winder-bracket-screw"]),
        # not the place itself
        ("The nut on the winder bracket takes an M4x0.7 screw.", "M4x0.7", []),
        ("The winder bracket rests on an M4x0.7 screw.", "M4x0.7", []),
        ("The winder bracket has an M4x0.7 thread.", "M4x0.7", []),
        ("The tension stud's nut is M4x0.7.", "M4x0.7", []),
        ("The screw in the needle clamp is M4x0.7.", "M4x0.7", []),
        ("An M4x0.7 screw enters the needle clamp.", "M4x0.7", []),
        ("The hub is M4x0.7.", "M4x0.7", []),
        ("The clamp screw is M4x0.7.", "M4x0.7", []),
        ("Any lock screw of M4x0.7 will do.", "M4x0.7", []),
        ("Take the needle clamp out, then the M4x0.7 clamp screw behind it.", "M4x0.7", []),
        # two places: the figure may be either's, or each has its own
        (
            "The needle clamp and the tension stud are M3x0.5.",
            "M3x0.5",
            ["needle-clamp", "tension-stud"],
        ),
        ("The needle clamp is M4x0.7 and the tension stud M3x0.5.", "M3x0.5", ["tension-stud"]),
        ("The needle clamp is M4x0.7 and the tension stud M3x0.5.", "M4x0.7", ["needle-clamp"]),
        ("M4x0.7 for the needle clamp, M3x0.5 for the tension stud.", "M3x0.5", ["tension-stud"]),
        (
            "M4x0.7 and M3x0.5 for the needle clamp and the tension stud.",
            "M3x0.5",
            ["needle-clamp", "tension-stud"],
        ),
    ],
)
def test_the_rows_meant(sentence: str, figure: str, rows: list[str]) -> None:
    figures_at = [one.span.start for one in scan(sentence)]
    found = Names(ROWS).rows_meant(statement(sentence, figure), figures_at)
    assert sorted(found) == sorted(f"h/{row}" for row in rows)


def test_the_first_cell_of_a_row_names_the_place() -> None:
    assert Names(ROWS).rows_meant(statement("M4x0.7", "M4x0.7", "Needle clamp")) == (
        "h/needle-clamp",
    )


def test_two_rows_of_one_name_are_both_meant() -> None:
    twin = RegisterRow(
        id="needle-clamp-late",
        where="Needle clamp screw, late machines",
        thread="M3x0.5",
        basis="measured",
        source="one",
    )
    names = Names([*ROWS, Row("h/needle-clamp-late", FAMILY, 9, twin)])
    found = names.rows_meant(statement("The needle clamp screw is M4x0.7.", "M4x0.7"))
    assert found == ("h/needle-clamp", "h/needle-clamp-late")


@pytest.mark.parametrize(
    ("sentence", "figure", "apart"),
    [
        ("The needle clamp is M4x0.7.", "M4x0.7", False),
        ("Tighten the needle clamp to 4 N·m, not more.", "4 N·m", False),
        ("The needle clamp is M4x0.7, not M3x0.5.", "M4x0.7", False),
        ("The needle clamp is M4x0.7, not M3x0.5.", "M3x0.5", True),
        ("The needle clamp was M3x0.5.", "M3x0.5", True),
        ("The needle clamp is sold as M3x0.5.", "M3x0.5", True),
        ("Use M4x0.7 rather than M3x0.5 in the needle clamp.", "M3x0.5", True),
        ("An M3x0.5 will not start in the needle clamp.", "M3x0.5", True),
        ("An M3x0.5 doesn't start in the needle clamp.", "M3x0.5", True),
        ("The needle clamp looks like M3x0.5.", "M3x0.5", True),
        ("M3x0.5 binds in the needle clamp.", "M3x0.5", True),
        ("Reproduction needle clamps are M3x0.5.", "M3x0.5", True),
        ("If the needle clamp is M3x0.5, somebody tapped it.", "M3x0.5", True),
    ],
)
def test_what_sets_a_figure_apart(sentence: str, figure: str, apart: bool) -> None:
    assert is_set_apart(statement(sentence, figure)) is apart
