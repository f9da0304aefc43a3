"""What an intake came to: every message is in exactly one of three lists."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

__all__ = ["Known", "Report", "SetAside", "Taken"]


@dataclass(frozen=True, slots=True)
class Taken:
    """A message that became a question; ``same_as`` is the earlier one that asks the same."""

    message: str
    question: int
    path: str
    alias: str
    same_as: int | None
    attachments: tuple[str, ...]
    remarks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Known:
    """A message that became a question at an earlier time, or that stands here twice."""

    message: str
    question: int


@dataclass(frozen=True, slots=True)
class SetAside:
    """A message that asks nothing, and why that is thought."""

    message: str
    why: str
    attachments: tuple[str, ...]
    remarks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Report:
    """The three lists, each in the order in which the messages came."""

    taken: tuple[Taken, ...]
    known: tuple[Known, ...]
    set_aside: tuple[SetAside, ...]

    def shape(self) -> dict[str, Any]:
        """Return the report as JSON has it."""
        return {
            "taken": [
                {
                    "message": one.message,
                    "question": one.question,
                    "path": one.path,
                    "alias": one.alias,
                    "same_as": one.same_as,
                    "attachments": list(one.attachments),
                    "remarks": list(one.remarks),
                }
                for one in self.taken
            ],
            "known": [{"message": one.message, "question": one.question} for one in self.known],
            "set_aside": [
                {
                    "message": one.message,
                    "why": one.why,
                    "attachments": list(one.attachments),
                    "remarks": list(one.remarks),
                }
                for one in self.set_aside
            ],
            "counts": {
                "taken": len(self.taken),
                "known": len(self.known),
                "set_aside": len(self.set_aside),
            },
        }
