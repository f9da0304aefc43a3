"""Work shared between processes, in order: the results are those of one process alone.

Processes are forked, so that each sees what was loaded before without a copy being sent;
where a system cannot fork, one process does it all. A pair of hands that dies, or a person
who interrupts, ends the others too.
"""

from __future__ import annotations

import gc
import multiprocessing
import os
import pickle
import signal
import sys
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from multiprocessing.connection import Connection
from typing import Any, TypeVar

__all__ = ["Work", "beside", "in_order", "worth_sharing"]

I = TypeVar("I")  # noqa: E741 - what goes in
O = TypeVar("O")  # noqa: E741 - what comes out

Work = Callable[[I], O]
"""What is done with one item; its result can be pickled."""


_lent = False  # true in a process that works for another: it shares its work with nobody


def hands() -> int:
    """Return how many processes there are cores for, 1 where work cannot be shared."""
    if sys.platform != "linux" or threading.active_count() > 1:
        return 1
    return len(os.sched_getaffinity(0))


def worth_sharing(items: int, least: int) -> bool:
    """Return whether so many items are worth the start of other processes."""
    return items >= least and not _lent and hands() > 1


def in_order(work: Work[I, O], items: Sequence[I], parcel: int, least: int) -> Iterator[O]:
    """Yield the result for every item, in order.

    Shape: ``parcel`` items travel together; fewer than ``least`` are done here.
    Raises: whatever the work raises; ChildProcessError where a process was ended.
    """
    if not worth_sharing(len(items), least):
        yield from map(work, items)
        return
    parcels = [items[at : at + parcel] for at in range(0, len(items), parcel)]
    crew = _Crew(work, hands(), parcels)
    try:
        for results in crew.results():
            yield from results
    finally:
        crew.end()


@contextmanager
def beside(work: Callable[[], O], worthwhile: bool) -> Iterator[Callable[[], O]]:
    """Do one thing in a process of its own meanwhile; yield what waits for its result.

    Shape: where that is not ``worthwhile``, or work cannot be shared, it is done when the
    result is asked for. A block that ends without asking ends the process too.
    Raises: whatever the work raises; ChildProcessError where its process was ended.
    """
    if not (worthwhile and worth_sharing(1, 1)):
        yield work
        return
    crew = _Crew(lambda _: work(), 1, [[None]])
    try:
        yield lambda: next(crew.results())[0]
    finally:
        crew.end()


class _Crew:
    """Forked processes that take parcels in turn and send back what becomes of them."""

    def __init__(self, work: Work[Any, Any], count: int, parcels: Sequence[Sequence[Any]]) -> None:
        self._parcels = parcels
        context = multiprocessing.get_context("fork")
        self._ends: list[Connection] = []
        self._processes = []
        gc.freeze()  # what is shared now is not touched by the collector of any of them
        sys.stdout.flush()
        sys.stderr.flush()
        for number in range(count):
            mine, theirs = context.Pipe(duplex=False)
            # An interrupt reaches all; until a process passes it over, it has to wait.
            waiting = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
            process = context.Process(
                target=_toil,
                args=(work, parcels, number, count, theirs, mine, tuple(self._ends)),
                daemon=True,
            )
            process.start()
            signal.pthread_sigmask(signal.SIG_SETMASK, waiting)
            theirs.close()
            self._ends.append(mine)
            self._processes.append(process)

    def results(self) -> Iterator[Sequence[Any]]:
        """Yield the results of every parcel, in order."""
        for at in range(len(self._parcels)):
            try:
                failed, results = pickle.loads(self._ends[at % len(self._ends)].recv_bytes())
            except EOFError:
                raise ChildProcessError("a process of this build was ended from outside") from None
            if failed is not None:
                raise failed
            yield results

    def end(self) -> None:
        """End every process, whatever it is doing, and wait for it."""
        for end in self._ends:
            end.close()
        for process in self._processes:
            if process.is_alive():
                process.terminate()
        for process in self._processes:
            process.join()
        gc.unfreeze()


def _toil(
    work: Work[Any, Any],
    parcels: Sequence[Sequence[Any]],
    first: int,
    step: int,
    out: Connection,
    mine: Connection,
    others: Sequence[Connection],
) -> None:
    """Do every so many parcels and send the results; in a process of its own."""
    global _lent
    _lent = True
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the one that gathers is told, and ends us
    signal.pthread_sigmask(signal.SIG_UNBLOCK, {signal.SIGINT})
    for end in (mine, *others):
        end.close()
    for at in range(first, len(parcels), step):
        try:
            whole = pickle.dumps((None, [work(item) for item in parcels[at]]), protocol=5)
        except BaseException as error:
            whole = pickle.dumps((_sendable(error), None))
        try:
            out.send_bytes(whole)
        except OSError:  # nobody listens any more
            return


def _sendable(error: BaseException) -> BaseException:
    """Return an error that can be sent, in words where it cannot be itself."""
    try:
        pickle.loads(pickle.dumps(error))
    except Exception:
        return RuntimeError(f"{type(error).__name__}: {error}")
    return error
