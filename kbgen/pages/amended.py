"""A site made of the one before: where all facts are the same, only texts can have changed.

Of a site that was made whole it is kept which files it has, what each content file held,
and which pages ask for more than facts. As long as nothing else changed, the pages that
ask for a changed text are made, and every other file stands as it is.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from kbgen.checks import Facts
from kbgen.kept import (
    Laid,
    Record,
    Same,
    Unpackable,
    digest,
    pack,
    program_digest,
    unpack,
)
from kbgen.links import format_ledger
from kbgen.pages.kept_pages import Earlier, Entry, made_in_order
from kbgen.pages.watch import Watch

__all__ = ["Amending"]

_STAGE, _NAME = "site whole", "site"
_ANY = "*"


@dataclass(frozen=True, slots=True)
class _Whole:
    """A site as it was made.

    Shape: ``sums`` are the digests of content files by path, ``files`` those of the site's
    in order; ``asking`` names, by the path of a content file, the pages that asked for more
    than its facts: each by the first address of those that are made together.
    """

    sums: dict[str, bytes]
    files: list[tuple[str, str]]
    asking: dict[str, set[str]]


class Amending:
    """What is known of a site that was made whole, and what is to be known of the new one.

    Shape: ``common`` is what all files depend on beside the content.
    """

    def __init__(self, earlier: Earlier, watch: Watch, common: bytes) -> None:
        """Look up what is kept."""
        self._earlier = earlier
        self._watch = watch
        self._facts: Facts = watch.checked.facts
        ledger = format_ledger(watch.checked.ledger)
        self._key = digest(program_digest(), common, self._facts.digest, ledger)
        self._before = self._found() if self._facts.digest else None
        self._files: list[tuple[str, str]] = []
        self._asking: dict[str, set[str]] = {}

    def _found(self) -> _Whole | None:
        record = self._earlier.store.record(_STAGE, _NAME)
        if record is None or record.key != self._key:
            return None
        try:
            found = unpack(record.data)
        except Unpackable:
            return None
        if not isinstance(found, _Whole) or found.sums.keys() != self._facts.sums.keys():
            return None
        return found if all(self._earlier.holds(*file) for file in found.files) else None

    def stale(self) -> frozenset[str] | None:
        """Return the first addresses of pages that are to be made, None where all are."""
        if self._before is None:
            return None
        sums = self._before.sums
        changed = [path for path, sum_ in self._facts.sums.items() if sums[path] != sum_]
        asking = self._before.asking
        asked = [asking.get(path, set()) for path in (*changed, *([_ANY] if changed else ()))]
        return frozenset().union(*asked)

    def amended(self, make: Callable[[str], Entry], stale: Iterable[str]) -> Iterator[Entry]:
        """Yield the files of the site before, and in their places those that are made.

        Shape: ``make`` makes the pages of an address, in whatever process.
        """
        assert self._before is not None
        addresses = sorted(stale)
        made = list(zip(addresses, made_in_order(make, addresses), strict=True))
        again = {path: data for _, entry in made for path, data in entry.files}
        self._asking = {
            path: asking.difference(address for address, _ in made)
            for path, asking in self._before.asking.items()
        }
        for _, entry in made:
            self._watch.take(entry.groups or {})
            self._note_down(entry)
        files = [(path, again.get(path, Same(sum_))) for path, sum_ in self._before.files]
        self._files = [(path, _sum(data)) for path, data in files]
        yield Entry(files, [], ())

    def noted(self, entries: Iterable[Entry]) -> Iterator[Entry]:
        """Hand on the files of a site that is made whole, and note down what is to be kept."""
        for entry in entries:
            self._files += [(path, _sum(data)) for path, data in entry.files]
            self._note_down(entry)
            yield entry

    def _note_down(self, entry: Entry) -> None:
        for path in self._watch.texts_in(entry.asked):
            self._asking.setdefault(path or _ANY, set()).add(entry.files[0][0])

    def keep(self) -> None:
        """Keep what is known of the site as it is now."""
        if self._facts.digest:
            whole = _Whole(dict(self._facts.sums), self._files, self._asking)
            self._earlier.store.keep(_STAGE, [(_NAME, Record(self._key, pack(whole)))])


def _sum(data: bytes | Same | Laid) -> str:
    return hashlib.sha256(data).hexdigest() if isinstance(data, bytes) else data.digest
