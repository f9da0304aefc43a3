"""Work shared between processes, in order: the results are those of one process alone.

Processes are forked, so that each sees what was loaded before without a copy being sent;
where a system cannot fork, one process does it all. A pair of hands that dies, or a person
who interrupts, ends the others too.
"""

from __future__ import annotations

import contextlib
import gc
import multiprocessing
import os
import pickle
import signal
import sys
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from functools import partial
from multiprocessing.connection import Connection, wait
from multiprocessing.process import BaseProcess
from typing import Any, TypeVar

__all__ = ["Work", "beside", "elsewhere", "in_order", "worth_sharing"]

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
        for errand in tuple(_errands):
            errand.set_out()
        yield from map(work, items)
        return
    parcels = [items[at : at + parcel] for at in range(0, len(items), parcel)]
    crew = _Crew(work, hands(), parcels, _errands.pop() if _errands else None)
    try:
        for results in crew.results():
            yield from results
    finally:
        crew.end()


@contextmanager
def beside(work: Callable[[], O], worthwhile: bool) -> Iterator[Callable[[], O]]:
    """Do one thing beside the next work that is done in order; yield what waits for its result.

    Shape: where that work is shared, one of those who share it does this first and then
    joins in, so that no more processes are held than there are cores for; else it has a
    process of its own. Where it is not ``worthwhile``, or nothing is done meanwhile, it is
    done when the result is asked for. A block that ends without asking ends it too.
    Raises: whatever the work raises; ChildProcessError where its process was ended.
    """
    if not (worthwhile and worth_sharing(1, 1)):
        yield work
        return
    errand = _Errand(work)
    _errands.append(errand)
    try:
        yield errand.result
    finally:
        errand.end()


def elsewhere(work: Callable[[Callable[..., None]], O], tell: Callable[..., None]) -> O:
    """Do one thing in a process of its own, and wait; what it held is given back with it.

    Shape: whatever the work tells meanwhile is told here. The work may be shared further.
    Raises: whatever the work raises; ChildProcessError where its process was ended.
    """
    context = multiprocessing.get_context("fork")
    ours, theirs = context.Pipe(duplex=False)
    process = context.Process(target=_do_elsewhere, args=(work, ours, theirs))
    _fork(process)
    theirs.close()
    try:
        while isinstance(told := pickle.loads(ours.recv_bytes()), tuple):
            tell(*told)
    except EOFError:
        raise ChildProcessError("a process of this build was ended from outside") from None
    except BaseException:
        process.terminate()
        raise
    finally:
        ours.close()
        process.join()
    assert isinstance(told, _Told)
    became: O = told.result()
    return became


def _do_elsewhere(work: Callable[..., Any], ours: Connection, theirs: Connection) -> None:
    ours.close()
    _pass_over_interrupts()
    with contextlib.suppress(OSError):  # nobody listens any more

        def tell(*what: Any) -> None:
            theirs.send_bytes(pickle.dumps(what))

        theirs.send_bytes(_done(0, partial(work, tell)))


def _fork(process: BaseProcess) -> None:
    """Start a process. An interrupt reaches all; until this one passes it over, it has to wait."""
    sys.stdout.flush()
    sys.stderr.flush()
    waiting = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    process.start()
    signal.pthread_sigmask(signal.SIG_SETMASK, waiting)


def _pass_over_interrupts() -> None:
    """Leave an interrupt to the process that waits for this one: it is told, and ends it."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    signal.pthread_sigmask(signal.SIG_UNBLOCK, {signal.SIGINT})


class _Errand:
    """One thing to be done beside other work, whoever does it."""

    def __init__(self, work: Callable[[], Any]) -> None:
        self.work = work
        self.told: _Told | None = None
        self._crew: _Crew | None = None

    def set_out(self) -> None:
        """Do it in a process of its own from now on."""
        _errands.remove(self)
        self._crew = _Crew(_nothing, 1, [], self)

    def result(self) -> Any:
        """Return what became of it, once it is done."""
        if self._crew is not None:
            for _ in self._crew.results():
                pass
        if self.told is None:
            return self.work()
        return self.told.result()

    def end(self) -> None:
        """End it, done or not."""
        if self in _errands:
            _errands.remove(self)
        if self._crew is not None:
            self._crew.end()


_errands: list[_Errand] = []
"""What waits to be done beside the next work that is done in order."""


def _nothing(_: Any) -> None:
    """Do nothing: who has an errand alone."""


@dataclass(frozen=True, slots=True)
class _Told:
    """What a process tells of a parcel or an errand: what became of it, or what failed."""

    at: int
    became: Any
    failed: BaseException | None = None

    def result(self) -> Any:
        """Return what became of it. Raises: what failed."""
        if self.failed is not None:
            raise self.failed
        return self.became


_ERRAND = -1
_AHEAD = 2  # so many parcels are sent to a process before it has told of the first


class _Crew:
    """Forked processes that are sent parcels, and send back what becomes of them.

    Shape: the first of them does the errand before its first parcel, where there is one.
    """

    def __init__(
        self,
        work: Work[Any, Any],
        count: int,
        parcels: Sequence[Sequence[Any]],
        errand: _Errand | None = None,
    ) -> None:
        self._count = len(parcels)
        self._errand = errand
        self._sent = 0
        self._owing: dict[Connection, int] = {}
        self._processes = []
        context = multiprocessing.get_context("fork")
        gc.freeze()  # what is shared now is not touched by the collector of any of them
        for number in range(count):
            ours, theirs = context.Pipe()
            first = errand.work if errand and not number else None
            process = context.Process(
                target=_toil,
                args=(work, parcels, first, theirs, (ours, *self._owing)),
                daemon=True,
            )
            _fork(process)
            theirs.close()
            self._owing[ours] = 1 if first else 0
            self._processes.append(process)

    def results(self) -> Iterator[Sequence[Any]]:
        """Yield the results of every parcel, in order."""
        early: dict[int, _Told] = {}
        for end, owing in self._owing.items():
            self._send(end, 0 if owing else _AHEAD)
        for at in range(self._count):
            while at not in early:
                self._receive(early)
            yield early.pop(at).result()
        while any(self._owing.values()):
            self._receive(early)

    def _send(self, end: Connection, parcels: int) -> None:
        for _ in range(min(parcels, self._count - self._sent)):
            end.send(self._sent)
            self._sent += 1
            self._owing[end] += 1

    def _receive(self, early: dict[int, _Told]) -> None:
        """Take what the next to be through has to tell, and send it another parcel."""
        for end in wait([end for end, owing in self._owing.items() if owing]):
            assert isinstance(end, Connection)
            try:
                told: _Told = pickle.loads(end.recv_bytes())
                self._owing[end] -= 1
                self._send(end, _AHEAD if told.at == _ERRAND else 1)
            except (EOFError, ConnectionError):
                raise ChildProcessError("a process of this build was ended from outside") from None
            if told.at != _ERRAND:
                early[told.at] = told
            elif self._errand is not None:
                self._errand.told = told

    def end(self) -> None:
        """End every process, whatever it is doing, and wait for it."""
        for end in self._owing:
            end.close()
        for process in self._processes:
            if process.is_alive():
                process.terminate()
        for process in self._processes:
            process.join()
        self._owing.clear()
        gc.unfreeze()


def _toil(
    work: Work[Any, Any],
    parcels: Sequence[Sequence[Any]],
    errand: Callable[[], Any] | None,
    theirs: Connection,
    others: Sequence[Connection],
) -> None:
    """Do an errand, and then every parcel that is named, and send the results; when forked."""
    global _lent
    _lent = True
    _pass_over_interrupts()
    for end in others:
        end.close()
    with contextlib.suppress(OSError, EOFError):  # nobody listens any more
        if errand is not None:
            theirs.send_bytes(_done(_ERRAND, errand))
        while True:
            at = theirs.recv()
            theirs.send_bytes(_done(at, partial(_each, work, parcels[at])))


def _each(work: Work[Any, Any], parcel: Sequence[Any]) -> list[Any]:
    return [work(item) for item in parcel]


def _done(at: int, work: Callable[[], Any]) -> bytes:
    """Do something; return what is told of it."""
    try:
        return pickle.dumps(_Told(at, work()), protocol=5)
    except BaseException as error:
        return pickle.dumps(_Told(at, None, _sendable(error)))


def _sendable(error: BaseException) -> BaseException:
    """Return an error that can be sent, in words where it cannot be itself."""
    try:
        pickle.loads(pickle.dumps(error))
    except Exception:
        return RuntimeError(f"{type(error).__name__}: {error}")
    return error
