"""Progress of long work, shown on a terminal and nowhere else."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

__all__ = ["Progress", "progress_shown"]

Progress = Callable[[str, int, int], None]


@contextmanager
def progress_shown() -> Iterator[Progress | None]:
    """Yield a function that shows ``(stage, done, total)``, or None without a terminal."""
    if not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, TextColumn
    from rich.progress import Progress as Bars

    columns = (TextColumn("{task.description:<12}"), BarColumn(), MofNCompleteColumn())
    with Bars(*columns, console=Console(stderr=True), transient=True) as bars:
        stages: dict[str, int] = {}

        def show(stage: str, done: int, total: int) -> None:
            if stage not in stages:
                stages[stage] = bars.add_task(stage, total=total)
            bars.update(stages[stage], completed=done, total=total)  # type: ignore[arg-type]

        yield show
