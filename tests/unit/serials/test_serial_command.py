"""``kbgen serial`` as a person meets it: words, exit codes, and JSON of a stable shape."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema
import pytest

from kbgen.cli import main

SHAPES = Path(__file__).parent / "shapes"
FAMILY = """\
name: Halverin H
summary: Full-size straight-stitch flat-bed of cast iron.
variants:
  - {id: boss, name: With motor boss, differs: motor boss on the pillar}
lots:
  - {first: HA 1, last: HA 100, allotted: "1908-03", works: Vellmouth works, basis: quoted, source: a book}
  - {first: HA 101, last: HA 150, allotted: "1911-01-16", variant: boss, basis: estimated, source: receipts}
  - {first: HA 150, last: HA 90, allotted: "1912", basis: quoted, source: a torn page}
"""  # noqa: E501
WORKSHOP = """\
name: Test bench
language: en
base_address: https://bench.example.org/
contact: Write to bench@example.org
disclosure: We say how we came by what we link to.
"""


@pytest.fixture
def tree(tmp_path, monkeypatch):
    (tmp_path / "content" / "families").mkdir(parents=True)
    (tmp_path / "content" / "workshop.yaml").write_text(WORKSHOP, encoding="utf-8")
    path = tmp_path / "content" / "families" / "halverin-h.yaml"
    path.write_text(FAMILY, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    return path


@pytest.mark.parametrize(
    ("number", "code", "said"),
    [
        ("HA 100", 0, "HA 100 is number 100 of 100 in the lot HA 1 to HA 100"),
        ("ha-101", 0, "number 1 of 50, not before 1911-01-16, With motor boss"),
        ("HA 101", 0, "estimated: receipts"),
        ("HA 1O1", 1, "HA 101, if that is meant (O read as 0): HA 101 to HA 150"),
        ("HA 151", 1, "No lot covers HA 151"),
        ("HA 1", 0, "not looked at, lot 3: the lot runs backwards"),
    ],
)
@pytest.mark.usefixtures("tree")
def test_it_says_and_ends(number, code, said, capsys):
    assert main(["serial", number, "--family", "halverin-h"]) == code
    assert said in capsys.readouterr().out


def test_two_lots_are_set_side_by_side(tree, capsys):
    tree.write_text(FAMILY.replace("HA 101, last", "HA 100, last"), encoding="utf-8")
    assert main(["serial", "HA", "100", "--family", "halverin-h"]) == 0
    shown = capsys.readouterr().out
    assert shown.startswith("2 lots cover HA 100, and only one of them can be right")
    assert "HA 1 to HA 100: number 100 of 100" in shown
    assert "HA 100 to HA 150: number 1 of 51" in shown


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["serial", "??", "--family", "halverin-h"], "expected a serial number"),
        (["serial", "HA 1", "--family", "halverin"], "did you mean halverin-h?"),
        (["serial", "HA 1", "--family", "zzz"], "known are halverin-h"),
        (["serial", "HA 1"], "--family"),
        (["serial", "--family", "halverin-h"], "NUMBER"),
    ],
)
@pytest.mark.usefixtures("tree")
def test_wrong_use_is_a_sentence_and_two(words, said, capsys):
    assert main(words) == 2
    shown = capsys.readouterr()
    assert shown.out == ""
    assert said in shown.err


@pytest.mark.usefixtures("tree")
def test_what_is_printed_follows_its_schema_and_is_what_was_printed_before(capsys):
    schema = json.loads((SHAPES / "serial.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    golden = json.loads((SHAPES / "golden.json").read_text(encoding="utf-8"))
    for number, before in golden.items():
        code = main(["serial", number, "--family", "halverin-h", "--json"])
        described = json.loads(capsys.readouterr().out)
        jsonschema.Draft202012Validator(schema).validate(described)
        assert described == before
        assert code == (0 if described["lots"] else 1)
    assert {bool(one["other_readings"]) for one in golden.values()} == {True, False}
