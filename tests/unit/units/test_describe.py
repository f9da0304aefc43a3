"""The shapes that the bench commands print: held to their schemas and to golden outputs."""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path

import jsonschema
import pytest

from kbgen.units.describe import describe_fit, describe_identify, describe_thread, describe_torque
from kbgen.units.designation import System, Thread
from kbgen.units.torque import Torque

from .shapes.renew import golden

SHAPES = Path(__file__).parent / "shapes"
COMMANDS = ("thread", "fit", "torque", "identify")


@pytest.mark.parametrize("command", COMMANDS)
def test_what_is_printed_follows_its_schema(command):
    schema = json.loads((SHAPES / f"{command}.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    for described in golden()[command]:
        jsonschema.Draft202012Validator(schema).validate(described)


@pytest.mark.parametrize("command", COMMANDS)
def test_what_is_printed_is_what_was_printed_before(command):
    written = json.loads((SHAPES / "golden.json").read_text(encoding="utf-8"))
    assert json.loads(json.dumps(golden()[command])) == written[command]


def test_inch_limits_stand_beside_millimetres_to_four_places():
    described = describe_thread(Thread(System.UNIFIED, "1/4", Fraction(20), series="UNC"), "3A")
    external, internal = described["limits"]["external"], described["limits"]["internal"]
    assert (external["class"], internal["class"]) == ("3A", "3B")
    assert external["major_in"] == [0.2419, 0.25]
    assert external["major_mm"] == [6.1443, 6.35]
    assert internal["minor_diameter_in"] == [0.196, 0.2067]
    assert external["minor_diameter_in"][0] is None


def test_a_thread_said_in_part_has_no_figures():
    described = describe_thread(Thread(System.UNKNOWN, None, Fraction(20)))
    assert described["verdict"] == "unstated"
    assert described["major_mm"] is None
    assert described["limits"] == {"external": None, "internal": None}


def test_a_fit_of_a_thread_said_in_part_is_refused():
    with pytest.raises(ValueError, match="must both be stated"):
        describe_fit(Thread(System.UNKNOWN, None, Fraction(20)), Thread(System.BA, "4"))


def test_a_torque_without_a_unit_is_refused():
    with pytest.raises(ValueError, match="unit"):
        describe_torque(Torque(Fraction(12), Fraction(12), None))


def test_an_open_torque_is_null_on_its_open_side():
    described = describe_torque(Torque(None, Fraction(2)))
    assert (described["low_nm"], described["high_nm"]) == (None, 2)
    assert described["in_units"]["lbf·in"] == [None, 17.7015]


def test_a_bore_is_named_as_such():
    described = describe_identify(4.2, 0.8, bore=True)
    assert described["measured"] == {"bore_mm": 4.2, "pitch_mm": 0.8, "within_mm": 0.02}
    assert [one["canonical"] for one in described["candidates"]] == ["M5x0.8", "10-32 UNF"]
