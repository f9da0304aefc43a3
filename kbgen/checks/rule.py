"""A rule, and the material that every rule reads."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, TypeVar

from kbgen.checks.agreement import agree
from kbgen.content import FamilyFile, Tree
from kbgen.content.models import RegisterRow
from kbgen.findings import Finding, finding
from kbgen.prose import Statement, Unreadable, Where
from kbgen.units import HouseThreads, Kind

__all__ = ["Material", "Row", "Rule", "at"]

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Row:
    """A row of a register with its family.

    Shape: ``reference`` is FAMILY/ROW, ``number`` the row's place in its register.
    """

    reference: str
    family: FamilyFile
    number: int
    row: RegisterRow


@dataclass(frozen=True)
class Material:
    """What was loaded and what it states, with the joins that rules share.

    Shape: ``broken`` are the files that loading found errors in: what they declare is
    not known, and nothing is reported for want of it.
    """

    tree: Tree
    house: HouseThreads
    statements: tuple[Statement, ...]
    unreadable: tuple[Unreadable, ...]
    broken: frozenset[str] = frozenset()
    _joined: dict[str, Any] = field(default_factory=dict, repr=False, compare=False)

    def joined(self, name: str, make: Callable[[], T]) -> T:
        """Return a join that several rules share, made when first asked for."""
        if name not in self._joined:
            self._joined[name] = make()
        return self._joined[name]  # type: ignore[no-any-return]

    @cached_property
    def by_path(self) -> Mapping[str, tuple[Statement, ...]]:
        """The statements of each file, in the order of the file."""
        found: dict[str, list[Statement]] = {}
        for statement in self.statements:
            found.setdefault(statement.path, []).append(statement)
        return {path: tuple(rows) for path, rows in found.items()}

    @cached_property
    def at_place(self) -> Mapping[tuple[str, int, int], Statement]:
        """The statements by file, line and column."""
        return {(one.path, one.line, one.column): one for one in self.statements}

    @cached_property
    def rows(self) -> Mapping[str, Row]:
        """The rows of every register, by FAMILY/ROW; of two with one id, the first."""
        found: dict[str, Row] = {}
        for family in self.tree.families.values():
            for number, row in enumerate(family.model.fasteners):
                reference = f"{family.id}/{row.id}"
                found.setdefault(reference, Row(reference, family, number, row))
        return found

    @cached_property
    def machine_names(self) -> frozenset[str]:
        """The words that families and their variants are called by."""
        models = [family.model for family in self.tree.families.values()]
        names = [name for model in models for name in (model.name, *model.also_called)]
        names += [variant.name for model in models for variant in model.variants]
        return frozenset(word for name in names for word in name.split())

    @cached_property
    def registered(self) -> Mapping[tuple[str, Kind], Statement]:
        """The figures that stand in registers, by row and kind."""
        found: dict[tuple[str, Kind], Statement] = {}
        for statement in self.statements:
            if statement.where is Where.REGISTER and statement.subject is not None:
                found.setdefault((statement.subject, statement.value.kind), statement)
        return found

    def is_corrected(self, statement: Statement) -> bool:
        """Return whether a correction of a recording withdraws what its caption says."""
        recording = statement.path.rpartition(".")[0] + ".yaml"
        return any(
            other.withdrawn
            and other.value.kind is statement.value.kind
            and agree(other.value, statement.value)
            for other in self.by_path.get(recording, ())
        )


@dataclass(frozen=True, slots=True)
class Rule:
    """One code and the function that finds it."""

    code: str
    find: Callable[[Material], Iterable[Finding]]


def at(statement: Statement, code: str, message: str, hint: str = "") -> Finding:
    """Return a finding about a statement, where it stands."""
    return finding(code, statement.path, statement.line, statement.column, message, hint)
