"""All links of a tree in columns: what each takes is a few bytes, and is shared as it is.

As objects the links of a large tree take more room than its notes, in every process that
looks at them; a column of numbers is looked at without being touched.
"""

from __future__ import annotations

from array import array
from collections.abc import Iterable, Iterator, Sequence
from functools import cached_property
from itertools import accumulate
from typing import Any, TypeVar

from kbgen.links.edge import Edge, Lead, Relation
from kbgen.links.reference import Reference, Scheme

__all__ = ["Leads"]

T = TypeVar("T")

_RELATIONS = tuple(Relation)


class _Numbers(dict[T, int]):
    """Things, each with its number in the order in which they were first asked for."""

    def __missing__(self, thing: T) -> int:
        self[thing] = found = len(self)
        return found


class Leads:
    """Links by number, found by either end.

    Shape: ``columns`` hold of each link the number of its path, of its origin and its
    target among the ``ends``, and of its relation.
    """

    def __init__(
        self,
        paths: Sequence[str],
        ends: Sequence[Reference],
        columns: tuple[array[int], array[int], array[int], array[int]],
    ) -> None:
        """Take what ``of`` gives, or what was kept of it."""
        self._paths = paths
        self._ends = ends
        self._columns = columns

    @classmethod
    def of(cls, edges: Iterable[Edge]) -> Leads:
        """Return links in the order given."""
        paths = _Numbers[str]()
        ends = _Numbers[Reference]()
        columns = (array("I"), array("I"), array("I"), array("I"))
        for edge in edges:
            columns[0].append(paths[edge.path])
            columns[1].append(ends[edge.origin])
            columns[2].append(ends[edge.target])
            columns[3].append(_RELATIONS.index(edge.relation))
        return cls(list(paths), list(ends), columns)

    @property
    def state(self) -> tuple[Any, ...]:
        """What it is kept as: plain values."""
        ends = [(str(end.scheme), end.target, end.detail) for end in self._ends]
        return list(self._paths), ends, self._columns

    @classmethod
    def from_state(cls, state: tuple[Any, ...]) -> Leads:
        """Return the links that were kept."""
        paths, ends, columns = state
        named = [Reference(Scheme(scheme), target, detail) for scheme, target, detail in ends]
        return cls(paths, named, columns)

    def __len__(self) -> int:
        """Return how many there are."""
        return len(self._columns[0])

    def __iter__(self) -> Iterator[Lead]:
        """Yield all of them by number."""
        return map(self._lead, range(len(self)))

    def _lead(self, number: int) -> Lead:
        path, origin, target, relation = self._columns
        return Lead(
            number,
            self._paths[path[number]],
            self._ends[origin[number]],
            self._ends[target[number]],
            _RELATIONS[relation[number]],
        )

    @property
    def targets(self) -> Iterator[Reference]:
        """Everything that is led to, each once."""
        return (self._ends[number] for number in sorted(set(self._columns[2])))

    def leaving(self, origin: Reference) -> Iterator[Lead]:
        """Yield the links that leave one thing, by number."""
        return map(self._lead, self._from.numbers(self._number_of.get(origin)))

    def reaching(self, *targets: Reference) -> Iterator[Lead]:
        """Yield the links that lead to any of several things, by number."""
        found = [self._to.numbers(self._number_of.get(target)) for target in targets]
        return map(self._lead, sorted(number for numbers in found for number in numbers))

    @cached_property
    def _number_of(self) -> dict[Reference, int]:
        return {end: number for number, end in enumerate(self._ends)}

    @cached_property
    def _from(self) -> _Index:
        return _Index(self._columns[1], len(self._ends))

    @cached_property
    def _to(self) -> _Index:
        return _Index(self._columns[2], len(self._ends))


class _Index:
    """Where each number stands in a column."""

    def __init__(self, column: array[int], kinds: int) -> None:
        counts = [0] * (kinds + 1)
        for number in column:
            counts[number + 1] += 1
        self._starts = array("I", accumulate(counts))
        self._order = array("I", sorted(range(len(column)), key=column.__getitem__))

    def numbers(self, number: int | None) -> array[int]:
        """Return the places at which a number stands, in order."""
        if number is None:
            return array("I")
        return self._order[self._starts[number] : self._starts[number + 1]]
