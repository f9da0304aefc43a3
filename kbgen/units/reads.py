"""What a reader of threads is asked, and what it answers."""

from __future__ import annotations

from dataclasses import dataclass

from kbgen.units.complete import HouseThreads
from kbgen.units.designation import Thread
from kbgen.units.length import LengthRead
from kbgen.units.prepared import Prepared

__all__ = ["Asked", "ThreadRead"]


@dataclass(frozen=True, slots=True)
class Asked:
    """A text to read in.

    Shape: ``alone`` says that the text is a designation, so that no context
    need speak for it; ``since`` is where the value before ended: what stands
    before that belongs to it.
    """

    ready: Prepared
    house: HouseThreads
    alone: bool = False
    since: int = 0

    @property
    def low(self) -> str:
        """The prepared text in small letters."""
        return self.ready.low


@dataclass(frozen=True, slots=True)
class ThreadRead:
    """A thread read in a text.

    Shape: ``start`` and ``end`` in the prepared text; ``series_at`` where the
    series is named; ``length`` what follows as a length.
    """

    thread: Thread
    start: int
    end: int
    series_at: tuple[int, int] | None = None
    length: LengthRead | None = None
