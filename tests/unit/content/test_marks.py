"""Packed marks say what the unpacked ones said."""

from __future__ import annotations

import pytest

from kbgen.content.marks import Marks
from kbgen.content.plain_yaml import read_yaml

TEXT = "a: b\nc: ['d', \"e\\n\"]\nf:\n  - {g: |\n  }\nh: >\n  i\n  j\n".replace("|\n  ", "k")
PLAIN = read_yaml(TEXT).marks


def test_nothing_is_lost() -> None:
    packed = Marks(PLAIN)
    assert len(packed) == len(PLAIN) == 9
    assert list(packed.items()) == list(PLAIN.items())
    assert packed == PLAIN
    assert packed == Marks(PLAIN)
    assert packed != Marks({})


def test_what_is_not_there() -> None:
    packed = Marks(PLAIN)
    assert ("c", 2) not in packed
    assert ("c", 1) in packed
    assert packed.get(("x",)) is None
    with pytest.raises(KeyError, match="x"):
        packed[("x",)]
