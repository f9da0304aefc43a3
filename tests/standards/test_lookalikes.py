"""Screw and hole pairs that look alike, against an independent reckoning of them all."""

from __future__ import annotations

import pytest

from kbgen.units.fit import Outcome, fit

from .check_values import designation, rows

PAIRS = rows("lookalikes.csv")
PLACES = ("tight", "middle", "loose")


def expected(label: str) -> Outcome:
    """Return the outcome of a label; what binds is not said to go on, however loose."""
    if label.startswith("will not start"):
        return Outcome.NOT
    if label.startswith("binds"):
        return Outcome.BINDS
    return Outcome.LOOSE if "loose" in label else Outcome.RUNS


@pytest.mark.parametrize("row", PAIRS, ids=lambda row: f"{row['screw']} in {row['nut']}")
def test_a_look_alike_pair(row):
    """Source: lookalikes.csv: same outcome at the middle, turns within 0.3."""
    found = fit(designation(row["screw"]), designation(row["nut"]))
    assert found.outcome is expected(row["label"])
    assert found.nut_turns == pytest.approx(float(row["nut_turns"]), abs=0.06)
    for place in PLACES:
        assert getattr(found.hold_percent, place) == pytest.approx(
            max(float(row[f"hold_{place}"]), 0), abs=1.5
        )
        if found.turns is None:
            assert row[f"turns_{place}"] == ""
        else:
            turns = max(float(row[f"turns_{place}"]), 0)
            assert getattr(found.turns, place) == pytest.approx(turns, abs=0.3)


def test_nine_in_ten_turns_are_within_a_tenth():
    """Source: lookalikes.csv, printed to a tenth of a turn."""
    differences = [
        abs(getattr(found.turns, place) - max(float(row[f"turns_{place}"]), 0))
        for row in PAIRS
        if (found := fit(designation(row["screw"]), designation(row["nut"]))).turns
        for place in PLACES
    ]
    assert len(differences) > 100
    assert sum(difference <= 0.1 for difference in differences) >= 0.9 * len(differences)
