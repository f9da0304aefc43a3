"""What a value says is told apart from where it says it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import pytest

from kbgen.kept import apart


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure that stands somewhere."""

    text: str
    line: int
    column: int


class Link(NamedTuple):
    """A link that stands somewhere."""

    line: int
    column: int
    target: str


def said(*places: tuple[int, int]) -> bytes:
    return apart({"figures": [Figure("M4", *at) for at in places], "line": "3"}).said


def test_lines_that_move_say_the_same_elsewhere() -> None:
    here = apart([Figure("M4", 3, 5), (Link(4, 1, "note:2"), 8.0)])
    there = apart([Figure("M4", 13, 5), (Link(17, 1, "note:2"), 8.0)])
    assert here.said == there.said
    assert here.places != there.places
    assert here == apart([Figure("M4", 3, 5), (Link(4, 1, "note:2"), 8.0)])


@pytest.mark.parametrize(
    "other",
    [
        [Figure("M5", 3, 5), (Link(4, 1, "note:2"), 8.0)],
        [Figure("M4", 3, 5), (Link(4, 1, "note:3"), 8.0)],
        [Figure("M4", 3, 5), (Link(4, 1, "note:2"), 9.0)],
        [Figure("M4", 3, 5)],
        [Figure("M4", 5, 5), (Link(4, 1, "note:2"), 8.0)],
        [Figure("M4", 4, 5), (Link(4, 7, "note:2"), 8.0)],
    ],
)
def test_whatever_else_changes_is_said(other: list[object]) -> None:
    assert apart([Figure("M4", 3, 5), (Link(4, 1, "note:2"), 8.0)]).said != apart(other).said


def test_order_and_lines_in_common_are_said() -> None:
    assert said((1, 1), (1, 9), (4, 2)) == said((2, 5), (2, 6), (3, 1))
    assert said((1, 1), (1, 9), (4, 2)) != said((1, 1), (2, 1), (4, 2))
    assert said((1, 1), (1, 9)) != said((1, 9), (1, 1))
    assert said((1, 1), (1, 1)) != said((1, 1), (1, 2))
