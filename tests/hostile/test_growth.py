"""No parser's time grows faster than the text it is given, whatever the text is.

Source: CWE-1333 (inefficient regular expressions), CWE-407 (inefficient algorithms).
"""

from __future__ import annotations

import time

import pytest
from texts import PARSERS, PIECES

LENGTH = 12_000
QUICK_S = 0.05  # what took no longer tells nothing about its growth
FACTOR = 8


def seconds(name: str, text: str) -> float:
    """Return the processor time of the better of two runs."""
    best = float("inf")
    for _ in range(2):
        start = time.process_time()
        PARSERS[name](text)
        best = min(best, time.process_time() - start)
        if best < QUICK_S:
            break
    return best


@pytest.mark.parametrize("name", PARSERS)
def test_the_time_is_in_proportion_to_the_text(name: str) -> None:
    slow = {}
    for piece in PIECES:
        times = LENGTH // len(piece)
        long_s = seconds(name, piece * times)
        if long_s <= QUICK_S:
            continue
        short_s = min(seconds(name, piece * (times // FACTOR)) for _ in range(2))
        growth = long_s / max(short_s, 1e-4)
        if growth > 2 * FACTOR:  # squared growth would be 64
            slow[piece] = f"{short_s:.4f} s to {long_s:.4f} s"
    assert slow == {}


def test_a_squared_growth_is_seen() -> None:
    PARSERS["squared"] = lambda text: [text[place:].count("a") for place in range(len(text))]
    try:
        text = "a" * LENGTH
        assert seconds("squared", text) > 2 * FACTOR * seconds("squared", text[::FACTOR])
    finally:
        del PARSERS["squared"]
