"""Progress of long work, shown on a terminal and nowhere else."""

from __future__ import annotations

import math
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager

__all__ = ["Progress", "progress_shown"]

Progress = Callable[[str, int, int], None]

_EVERY_S = 0.1


@contextmanager
def progress_shown() -> Iterator[Progress | None]:
    """Yield a function that shows ``(stage, done, total)``, or None without a terminal."""
    if not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, TaskID, TextColumn
    from rich.progress import Progress as Bars

    columns = (TextColumn("{task.description:<12}"), BarColumn(), MofNCompleteColumn())
    # No thread that draws by the clock: beside one, work would be shared with nobody.
    with Bars(*columns, console=Console(stderr=True), transient=True, auto_refresh=False) as bars:
        stages: dict[str, TaskID] = {}
        drawn_s = -math.inf

        def show(stage: str, done: int, total: int) -> None:
            nonlocal drawn_s
            if stage not in stages:
                stages[stage] = bars.add_task(stage, total=total)
            bars.update(stages[stage], completed=done, total=total)
            if time.monotonic() >= drawn_s + _EVERY_S:
                bars.refresh()
                drawn_s = time.monotonic()

        yield show
