"""Questions that ask the same are found together, on a set whose other half set the figures."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
import yaml

from kbgen.checks import Checked
from kbgen.desk.alike import SAME, Alike
from kbgen.desk.matching import Asked
from kbgen.desk.matching_words import families_named
from kbgen.search import open_bench

QUESTIONS: list[dict[str, Any]] = yaml.safe_load(
    (Path(__file__).parent / "questions.yaml").read_text("utf-8")
)
FIRST = {one["id"]: one.get("same_as", one["id"]) for one in QUESTIONS}


@dataclass
class Grouped:
    """How a run over the questions of one half went."""

    repeated: int = 0
    right: int = 0
    wrong: int = 0
    alone: int = 0
    false: int = 0


def asked(checked: Checked, one: dict[str, Any]) -> Asked:
    families = (one["family"],) if "family" in one else families_named(checked.tree, one["words"])
    about = one.get("about", {})
    return Asked(one["words"], families, about.get("note"), about.get("recording"), about.get("at"))


@pytest.fixture(scope="module")
def halves(demonstration: Checked, tmp_path_factory: pytest.TempPathFactory) -> list[Grouped]:
    """What was grouped of the even groups and of the odd ones, all 140 asked in their order."""
    bench = open_bench(tmp_path_factory.mktemp("alike"), demonstration)
    alike = Alike(demonstration, bench)
    halves = [Grouped(), Grouped()]
    for one in QUESTIONS:
        question = asked(demonstration, one)
        nearest = alike.nearest(question)
        alike.add(one["id"], question)
        half = halves[FIRST[one["id"]] % 2]
        found = nearest is not None and nearest.likeness >= SAME
        if "same_as" in one:
            half.repeated += 1
            same = nearest is not None and FIRST[nearest.number] == FIRST[one["id"]]
            half.right += found and same
            half.wrong += found and not same
        else:
            half.alone += 1
            half.false += found
    return halves


def test_of_the_half_that_did_not_set_the_figures_four_in_five_are_found(
    halves: list[Grouped],
) -> None:
    reported = halves[0]
    assert reported.right / reported.repeated >= 0.8, reported
    assert reported.wrong <= 1, reported
    assert reported.false / reported.alone <= 0.06, reported


def test_of_all_forty_four_in_five_are_found(halves: list[Grouped]) -> None:
    assert sum(half.repeated for half in halves) == 40
    assert sum(half.right for half in halves) >= 32, halves


def test_the_same_words_are_surely_the_same(demonstration: Checked, tmp_path: Path) -> None:
    alike = Alike(demonstration, open_bench(tmp_path, demonstration))
    question = Asked("The little wheel spins and the spool stays empty")
    assert alike.nearest(question) is None
    alike.add(7, question)
    nearest = alike.nearest(question)
    assert nearest is not None
    assert nearest.number == 7
    assert nearest.likeness == pytest.approx(1)


def test_another_machine_is_another_question(demonstration: Checked, tmp_path: Path) -> None:
    alike = Alike(demonstration, open_bench(tmp_path, demonstration))
    alike.add(1, Asked("Which belt does it take?", ("halverin-h",)))
    same = alike.nearest(Asked("Which belt does it take?", ("halverin-h",)))
    other = alike.nearest(Asked("Which belt does it take?", ("ostrell-treadle",)))
    assert same is not None
    assert other is not None
    assert other.likeness < same.likeness
