"""The frozen ranking on the open half of the test data: what it reached may not be lost.

The whole comparison, page and libraries included, is tests/benchmarks/relevance.py.
"""

from __future__ import annotations

import random
import sys
from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest

TESTS = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(TESTS / "benchmarks"))
from collections_read import TestCollection, read_collection  # noqa: E402
from libraries import sqlite_fts5  # noqa: E402
from measures import TOP, ndcg  # noqa: E402
from slips import with_slips  # noqa: E402

from kbgen.search.collection import Collection  # noqa: E402
from kbgen.search.hits import rank  # noqa: E402
from kbgen.search.questions import ask  # noqa: E402

GOALS = [("symptom-to-note", 0.92, 0.05), ("question-to-answer", 0.60, 0.02)]


@cache
def opened(name: str) -> tuple[TestCollection, Collection]:
    collection = read_collection(TESTS / "search-data" / name)
    return collection, Collection(collection.shelf())


def reached(name: str, change: Callable[[str], str] = str) -> float:
    collection, index = opened(name)
    found = 0.0
    for id_, text in collection.questions:
        hits = rank(ask(change(text), index), index, TOP)
        found += ndcg(collection.ids([hit.number for hit in hits]), collection.right[id_])
    return found / len(collection.questions)


@pytest.mark.parametrize(("name", "goal", "ahead"), GOALS, ids=[row[0] for row in GOALS])
def test_the_goals_are_reached(name: str, goal: float, ahead: float) -> None:
    collection, _ = opened(name)
    library = sqlite_fts5(collection)
    theirs = [ndcg(library(text), collection.right[id_]) for id_, text in collection.questions]
    ours = reached(name)
    assert ours >= goal
    assert ours >= sum(theirs) / len(theirs) + ahead


@pytest.mark.parametrize("name", [row[0] for row in GOALS])
def test_slips_cost_little(name: str) -> None:
    chance = random.Random(20260301)
    assert reached(name, lambda text: with_slips(text, chance)) >= 0.97 * reached(name)
