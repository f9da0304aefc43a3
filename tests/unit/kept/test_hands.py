"""Work is shared between processes, and nothing of that is to be seen but the time."""

from __future__ import annotations

import os
from collections.abc import Callable

import pytest

from kbgen.kept import beside, elsewhere, hands, in_order


@pytest.fixture(autouse=True)
def two(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(hands, "hands", lambda: 2)


def processes() -> list[int]:
    return [child.pid or 0 for child in hands.multiprocessing.active_children()]


def square(number: int) -> int:
    return number * number


def fails_at_seven(number: int) -> int:
    if number == 7:
        raise ValueError("seven")
    return number


@pytest.mark.parametrize("least", [1, 1000])
def test_the_results_are_in_order_whoever_works(
    least: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(hands, "hands", lambda: 3)
    assert list(in_order(square, range(100), 7, least)) == [n * n for n in range(100)]


@pytest.mark.parametrize("least", [1, 1000])
def test_what_fails_fails_here(least: int) -> None:
    with pytest.raises(ValueError, match="seven"):
        list(in_order(fails_at_seven, range(20), 3, least))


def test_whoever_stops_listening_leaves_no_process() -> None:
    results = in_order(square, range(500_000), 5, 1)
    next(iter(results))
    crew = hands.multiprocessing.active_children()
    assert len(crew) == 2
    results.close()  # type: ignore[attr-defined]
    assert not any(child.is_alive() for child in crew)


def test_a_process_that_is_killed_ends_the_work() -> None:
    here = os.getpid()

    def dies(number: int) -> int:
        if number == 11 and os.getpid() != here:
            os.kill(os.getpid(), 9)
        return number

    with pytest.raises(ChildProcessError):
        list(in_order(dies, range(40), 4, 1))


def test_an_errand_is_done_by_one_of_those_who_share_the_work() -> None:
    with beside(os.getpid, worthwhile=True) as found:
        shared = in_order(lambda _: os.getpid(), range(4000), 1, 1)
        workers = {next(shared)}
        assert len(processes()) == 2
        workers.update(shared)
        assert found() in workers
        assert os.getpid() not in workers
    assert processes() == []


@pytest.mark.parametrize("items", [0, 3])
def test_an_errand_has_a_process_of_its_own_where_nothing_is_shared(items: int) -> None:
    with beside(os.getpid, worthwhile=True) as found:
        assert list(in_order(square, range(items), 1, 100)) == [n * n for n in range(items)]
        (alone,) = processes()
        assert found() == alone
    assert processes() == []


@pytest.mark.parametrize("worthwhile", [True, False])
def test_an_errand_is_done_here_where_nothing_is_done_meanwhile(worthwhile: bool) -> None:
    with beside(os.getpid, worthwhile) as found:
        assert found() == os.getpid()


def no_errand() -> None:
    raise ValueError("seven")


def dies_on_its_errand() -> None:
    os.kill(os.getpid(), 9)


@pytest.mark.parametrize("least", [1, 1000])
@pytest.mark.parametrize(
    ("errand", "kind"), [(no_errand, ValueError), (dies_on_its_errand, ChildProcessError)]
)
def test_what_fails_on_an_errand_fails_here(
    errand: Callable[[], None], kind: type[Exception], least: int
) -> None:
    with pytest.raises(kind), beside(errand, worthwhile=True) as found:
        list(in_order(square, range(100), 7, least))
        found()
    assert processes() == []


@pytest.mark.parametrize("least", [1, 1000])
def test_an_errand_that_nobody_asks_for_leaves_nothing_behind(least: int) -> None:
    with beside(lambda: os.read(os.pipe()[0], 1), worthwhile=True):
        work = in_order(square, range(100), 7, least)
        next(work)
        assert processes()
        work.close()  # type: ignore[attr-defined]
    assert processes() == []
    assert list(in_order(square, range(100), 7, 1)) == [n * n for n in range(100)]


def test_what_is_done_elsewhere_is_told_here_and_may_be_shared() -> None:
    here = os.getpid()
    told: list[object] = []

    def work(tell: Callable[..., None]) -> tuple[bool, list[int]]:
        tell("squares", 0, 3)
        squares = list(in_order(square, range(3), 1, 1))
        tell("squares", 3, 3)
        return os.getpid() == here, squares

    assert elsewhere(work, lambda *what: told.append(what)) == (False, [0, 1, 4])
    assert told == [("squares", 0, 3), ("squares", 3, 3)]
    assert processes() == []


@pytest.mark.parametrize(
    ("work", "kind"), [(no_errand, ValueError), (dies_on_its_errand, ChildProcessError)]
)
def test_what_fails_elsewhere_fails_here(work: Callable[[], None], kind: type[Exception]) -> None:
    with pytest.raises(kind):
        elsewhere(lambda _: work(), lambda *_: None)
    assert processes() == []


def test_whoever_is_interrupted_ends_what_is_done_elsewhere() -> None:
    def work(tell: Callable[..., None]) -> None:
        tell()
        os.read(os.pipe()[0], 1)

    def interrupted() -> None:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        elsewhere(work, interrupted)
    assert processes() == []
