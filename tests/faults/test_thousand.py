"""A share of the faults that ``thousand.py`` strikes with, and proof that a loss is seen."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from thousand import OPERATIONS, prepared, strike, struck

from kbgen.publish.publication import Publication


def test_nothing_is_lost() -> None:
    said: list[str] = []
    done, lost = strike(12 * len(OPERATIONS), said.append)
    assert lost == []
    assert done >= 11 * len(OPERATIONS)
    assert len(said) == len(OPERATIONS)


def test_a_loss_is_seen(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    def carelessly(self: Publication, data: bytes) -> None:
        path = self._root / "content" / "addresses.tsv"
        path.write_bytes(data[: len(data) // 2])
        with path.open("ab") as file:
            file.write(data[len(data) // 2 :])

    monkeypatch.setattr(Publication, "write_ledger", carelessly)
    kills = [fault for fault in prepared(OPERATIONS[0], tmp_path) if fault[0] == "kill"]
    lost = [
        one
        for kind, at in kills[-12:]
        for one in struck(OPERATIONS[0], kind, at, tmp_path / "struck")
    ]
    assert any("addresses.tsv is neither old nor new" in one for one in lost)
