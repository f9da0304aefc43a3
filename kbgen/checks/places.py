"""One place on one family has one thread and one tightness across the whole tree."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from kbgen.checks.agreement import agree
from kbgen.checks.apart import is_set_apart
from kbgen.checks.rule import Material, at
from kbgen.checks.subjects import rows_meant
from kbgen.content import Source
from kbgen.content.models import Fastener, RegisterRow
from kbgen.findings import Finding
from kbgen.prose import Statement, Where
from kbgen.units import Kind

__all__ = ["places_disagree"]

_SAID_IN_PROSE = (Kind.THREAD, Kind.TORQUE)
_FIELDS = ("thread", "length", "torque", "tightness")


@dataclass(frozen=True, slots=True)
class _Claim:
    """A figure of one place: ``variants`` are those it holds for, all when empty."""

    statement: Statement
    variants: tuple[str, ...] = ()


def places_disagree(material: Material) -> Iterator[Finding]:
    """Report two statements of one place on one family that cannot both be true.

    A place is known by its register row, where the row has no such figure, or by the
    same words under ``where``.
    """
    for place, claims in {**_by_words(material), **_by_row(material)}.items():
        for number, claim in enumerate(claims):
            other = next((one for one in claims[:number] if _differ(one, claim)), None)
            if other is not None:
                yield _finding(place, claim.statement, other.statement)


def _differ(one: _Claim, other: _Claim) -> bool:
    if one.variants and other.variants and not set(one.variants) & set(other.variants):
        return False
    if one.statement.value.kind is not other.statement.value.kind:
        return False
    said, held = other.statement.value, one.statement.value
    return not agree(said, held) and not agree(held, said)


def _finding(place: tuple[str, str], said: Statement, other: Statement) -> Finding:
    family, words = place
    return at(
        said,
        "places-disagree",
        f"{said.value.canonical} is stated here for {words!r} on {family}, and "
        f"{other.value.canonical} at {other.path}:{other.line}",
        "measure, put the figure into the family's register, and cite its row in both places",
    )


def _by_words(material: Material) -> Mapping[tuple[str, str], Sequence[_Claim]]:
    """Return the figures of registers and of notes' own fasteners by family and ``where``."""
    found: dict[tuple[str, str], list[_Claim]] = {}
    for row in material.rows.values():
        key = (row.family.id, _plain(row.row.where))
        path = ("fasteners", row.number)
        found.setdefault(key, []).extend(_claims(material, row.family.source, path, row.row))
    for note in material.tree.notes.values():
        for number, fastener in enumerate(note.front.fasteners):
            if isinstance(fastener, str):
                continue
            claims = list(_claims(material, note.source, ("fasteners", number), fastener))
            for family in note.front.families:
                found.setdefault((family, _plain(fastener.where)), []).extend(claims)
    return found


def _claims(
    material: Material, source: Source, path: tuple[str | int, ...], fastener: Fastener
) -> Iterator[_Claim]:
    for name in _FIELDS:
        if getattr(fastener, name) is None:
            continue
        place = source.place_in((*path, name), 0)
        statement = material.at_place.get((source.path, place.line, place.column))
        if statement is not None:
            variants = fastener.variants if isinstance(fastener, RegisterRow) else ()
            yield _Claim(statement, variants)


def _plain(where: str) -> str:
    return " ".join(re.findall(r"\w+", where.casefold()))


def _by_row(material: Material) -> Mapping[tuple[str, str], Sequence[_Claim]]:
    """Return what texts say of rows whose register has no figure of that kind."""
    found: dict[tuple[str, str], list[_Claim]] = {}
    for statement in material.statements:
        if statement.value.kind not in _SAID_IN_PROSE or statement.withdrawn:
            continue
        if statement.where in (Where.REGISTER, Where.CORRECTION, Where.DISPUTED, Where.CAPTION):
            continue
        rows = rows_meant(material, statement)
        if len(rows) != 1 or (rows[0], statement.value.kind) in material.registered:
            continue
        if not is_set_apart(statement):
            family, _, row = rows[0].partition("/")
            found.setdefault((family, row), []).append(_Claim(statement))
    return found
