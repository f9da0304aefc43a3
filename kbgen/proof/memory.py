"""What is kept between two readings of a tree, in memory alone: a proof writes nothing."""

from __future__ import annotations

from collections.abc import Iterable

from kbgen.kept import Record, Store

__all__ = ["Memory"]


class Memory(Store):
    """Records that end with the process."""

    def __init__(self) -> None:
        super().__init__(None)
        self._stages: dict[str, dict[str, Record]] = {}

    def records(self, stage: str) -> dict[str, Record]:
        """Return the records of a stage by name."""
        return dict(self._stages.get(stage, {}))

    def keep(self, stage: str, records: Iterable[tuple[str, Record]]) -> None:
        """Put records into their slots."""
        self._stages.setdefault(stage, {}).update(records)

    def forget(self, stage: str, names: Iterable[str]) -> None:
        """Empty the slots of what is no more."""
        for name in names:
            self._stages.get(stage, {}).pop(name, None)
