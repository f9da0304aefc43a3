"""Pages made, or proved to be the ones from before; the making shared between processes."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple, TypeVar

from kbgen.kept import (
    Laid,
    Record,
    Same,
    Store,
    Unpackable,
    digest,
    in_order,
    pack,
    program_digest,
    unpack,
)
from kbgen.pages.views import Page
from kbgen.pages.watch import Asked, Groups, Watch

__all__ = ["Earlier", "Entry", "Maker", "made_in_order", "pages_of"]

I = TypeVar("I")  # noqa: E741 - what goes in
O = TypeVar("O")  # noqa: E741 - what comes out

Maker = tuple[tuple[str, ...], Callable[[], Sequence[Page]]]
"""The addresses of pages that are made together, and what makes them."""


class Entry(NamedTuple):
    """Files that are made together.

    Shape: ``told`` is what machines are told of each page among them, ``asked`` all that
    was asked for them, ``groups`` those that were asked for with them first.
    """

    files: Sequence[tuple[str, bytes | Same | Laid]]
    told: list[Page]
    asked: tuple[Asked, ...]
    groups: Groups | None = None


_PARCEL = 8
_AT_ONCE = 2000  # so many records are put into the store together: memory holds no more
_LEAST = 48
"""Fewer pages than this are made here: two processes take longer to start than they save."""


@dataclass(frozen=True, slots=True)
class Earlier:
    """What is left of earlier builds, and where the new site takes shape.

    Shape: ``store`` holds what the pages depended on; ``holds`` says whether the site
    has a file of that path and digest; ``lay`` puts a file into the new site, from
    whatever process.
    """

    store: Store
    holds: Callable[[str, str], bool]
    lay: Callable[[str, bytes], Laid]


def pages_of(
    makers: Sequence[Maker],
    render: Callable[[Page], bytes],
    watch: Watch,
    common: Callable[[str], bytes],
    earlier: Earlier,
    ahead: Callable[[], None],
) -> Iterator[Entry]:
    """Yield the files of every maker, in order.

    Shape: ``common`` is what the page of an address depends on beside what it asks;
    ``ahead`` is called where so many are made that several processes do it.
    """
    return _Pages(makers, render, watch, common, earlier, ahead).files()


@dataclass(frozen=True, slots=True)
class _Made:
    """What becomes of one maker: its files are laid already.

    Shape: ``told`` is what machines are told of each page; ``groups`` are those that
    were asked for here first.
    """

    files: list[tuple[str, Laid]]
    told: list[tuple[Any, ...]]
    record: Record
    groups: Groups
    asked: tuple[Asked, ...]


class _Pages:
    def __init__(
        self,
        makers: Sequence[Maker],
        render: Callable[[Page], bytes],
        watch: Watch,
        common: Callable[[str], bytes],
        earlier: Earlier,
        ahead: Callable[[], None],
    ) -> None:
        self._makers = makers
        self._render = render
        self._watch = watch
        self._common = common
        self._store = earlier.store
        self._holds = earlier.holds
        self._lay = earlier.lay
        self._ahead = ahead
        self._program = program_digest()
        self._fresh: list[tuple[str, Record]] = []

    def files(self) -> Iterator[Entry]:
        """Yield the files of every maker, in order; then keep what is new about them."""
        records = self._store.records("pages")
        self._take_groups()
        kept = {at: found for at in range(len(self._makers)) if (found := self._kept(at, records))}
        todo = [at for at in range(len(self._makers)) if at not in kept]
        gone = set(records) - {paths[0] for paths, _ in self._makers}
        del records
        if len(todo) >= _LEAST:
            self._ahead()
        made = made_in_order(self._make, todo)
        for at in range(len(self._makers)):
            yield kept.pop(at) if at in kept else self._taken(at, next(made))
        for _ in made:  # nothing is left; the processes end
            pass
        self._keep_fresh()
        self._store.forget("pages", gone)
        groups = ((name, Record(b"", pack(asked))) for name, asked in self._watch.groups.items())
        self._store.keep("groups", groups)

    def _take_groups(self) -> None:
        for name, record in self._store.records("groups").items():
            try:
                self._watch.groups[name] = unpack(record.data)
            except Unpackable:
                continue

    def _kept(self, at: int, records: dict[str, Record]) -> Entry | None:
        """Return the files from before where all that they depend on is what it was."""
        record = records.get(self._makers[at][0][0])
        if record is None:
            return None
        try:
            asked, outputs, told = unpack(record.data)
        except Unpackable:
            return None
        if record.key != self._key(at, asked):
            return None
        if not all(self._holds(path, sum_) for path, sum_ in outputs):
            return None
        files = [(path, Same(sum_)) for path, sum_ in outputs]
        return Entry(files, [_page(*line) for line in told], asked)

    def _key(self, at: int, asked: tuple[Asked, ...]) -> bytes:
        common = map(self._common, self._makers[at][0])
        return digest(self._program, *common, self._watch.answers(asked))

    def _make(self, at: int) -> _Made:
        """Make the pages of one maker and lay them; in whatever process."""
        pages, asked, groups = self._watch.listen_anywhere(self._makers[at][1])
        files = [(page.path, self._lay(page.path, self._render(page))) for page in pages]
        told = [_told(page) for page in pages]
        outputs = [(path, laid.digest) for path, laid in files]
        record = Record(self._key(at, asked), pack((asked, outputs, told)))
        return _Made(files, told, record, groups, asked)

    def _taken(self, at: int, made: _Made) -> Entry:
        self._watch.take(made.groups)
        self._fresh.append((self._makers[at][0][0], made.record))
        if len(self._fresh) == _AT_ONCE:
            self._keep_fresh()
        return Entry(made.files, [_page(*line) for line in made.told], made.asked)

    def _keep_fresh(self) -> None:
        self._store.keep("pages", self._fresh)
        self._fresh.clear()


def made_in_order(make: Callable[[I], O], todo: Sequence[I]) -> Iterator[O]:
    """Yield what is made of each, in order; by several processes where there is much to do."""
    return in_order(make, todo, _PARCEL, _LEAST)


def _told(page: Page) -> tuple[Any, ...]:
    """Return of a page what machines are told of it."""
    return page.path, page.kind, page.purpose, page.revised, page.stands_at, page.anywhere


def _page(
    path: str,
    kind: str,
    purpose: str,
    revised: datetime.date | None,
    stands_at: str,
    anywhere: bool,
) -> Page:
    return Page(
        path, kind, "", purpose, None, revised=revised, stands_at=stands_at, anywhere=anywhere
    )
