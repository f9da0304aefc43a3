"""Torques against their screws: too much, hardly any, or right in another unit."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from kbgen.checks.rule import Material, at
from kbgen.content import Source
from kbgen.content.models import Fastener
from kbgen.findings import Finding, finding
from kbgen.prose import Statement
from kbgen.units import Concern, System, Thread, Torque, strengths, tightening

__all__ = ["STRENGTH_CODES", "nut_factor", "overloaded", "strength_unknown"]

_ANY_DIAMETER_MM = 6.0  # whether a class exists does not depend on the diameter
STRENGTH_CODES = ("torque-above-proof", "torque-high", "torque-low")


@dataclass(frozen=True, slots=True)
class _Screw:
    """A fastener that states both a thread and a torque.

    Shape: ``strength`` is the class it states, or the workshop's default.
    """

    thread: Thread
    torque: Torque
    stated: Statement
    strength: str | None


def overloaded(code: str) -> Callable[[Material], Iterator[Finding]]:
    """Return the function that reports what speaks against a torque under one code."""

    def find(material: Material) -> Iterator[Finding]:
        for stated, concern in material.joined("concerns", lambda: tuple(_concerns(material))):
            if concern.code == code:
                yield at(stated, code, concern.message, concern.hint)

    return find


def _concerns(material: Material) -> Iterator[tuple[Statement, Concern]]:
    workshop = material.tree.workshop
    factor = nut_factor(workshop.defaults.nut_factor or "") if workshop else None
    for screw in _screws(material):
        torque = screw.torque
        if torque.unit is None:
            continue
        low, high = torque.low_nm, torque.high_nm
        try:
            found = tightening(
                screw.thread,
                None if low is None else float(low),
                None if high is None else float(high),
                screw.strength,
                factor,
                (torque.unit.name,),
            )
        except ValueError:  # a strength that is none: strength-unknown says so
            continue
        yield from ((screw.stated, concern) for concern in found.concerns)


def _screws(material: Material) -> Iterator[_Screw]:
    workshop = material.tree.workshop
    default = workshop.defaults.strength if workshop else None
    for source, path, fastener in _fasteners(material):
        thread = _stated(material, source, (*path, "thread"))
        torque = _stated(material, source, (*path, "torque")) if fastener.torque else None
        if thread is None or torque is None:
            continue
        size, value = thread.value.value, torque.value.value
        if isinstance(size, Thread) and isinstance(value, Torque):
            yield _Screw(size, value, torque, fastener.strength or default)


def _stated(material: Material, source: Source, path: tuple[str | int, ...]) -> Statement | None:
    place = source.place_in(path, 0)
    return material.at_place.get((source.path, place.line, place.column))


def _fasteners(
    material: Material,
) -> Iterator[tuple[Source, tuple[str | int, ...], Fastener]]:
    for row in material.rows.values():
        yield row.family.source, ("fasteners", row.number), row.row
    for note in material.tree.notes.values():
        for number, fastener in enumerate(note.front.fasteners):
            if isinstance(fastener, Fastener):
                yield note.source, ("fasteners", number), fastener


_FACTOR = re.compile(r"(0?\.\d+)(?:\s*(?:\.\.|–|-|to)\s*(0?\.\d+))?")


def nut_factor(said: str) -> tuple[float, ...] | None:
    """Return a nut factor or the two ends of a range of them, None for what is neither.

    Shape: ``0.2``, ``0.11..0.15``.
    """
    found = _FACTOR.fullmatch(said.strip())
    figures = tuple(float(one) for one in found.groups() if one) if found else ()
    return figures if figures and all(0.01 <= one <= 1 for one in figures) else None


_USUAL = (
    Thread(System.METRIC, "6", pitch=Decimal(1)),
    Thread(System.UNIFIED, "1/4", tpi=Fraction(20)),
)


def strength_unknown(material: Material) -> Iterator[Finding]:
    """Report a strength class that no standard has."""
    said: list[tuple[Source, tuple[str | int, ...], str, tuple[Thread, ...]]] = []
    file = material.tree.workshop_file
    if file is not None and file.model.defaults.strength is not None:
        said.append((file.source, ("defaults", "strength"), file.model.defaults.strength, _USUAL))
    for source, start, fastener in _fasteners(material):
        stated = _stated(material, source, (*start, "thread"))
        thread = stated.value.value if stated else None
        if fastener.strength is not None and isinstance(thread, Thread):
            said.append((source, (*start, "strength"), fastener.strength, (thread,)))
    for source, path, strength, threads in said:
        slip = _slip(strength, threads)
        if slip:
            place = source.place_in(path, 0)
            yield finding(
                "strength-unknown",
                source.path,
                place.line,
                place.column,
                slip,
                "write the mark on the head (8.8, SAE 5, A2-70) or what it is made of, or "
                "leave it out",
            )


def _slip(said: str, threads: tuple[Thread, ...]) -> str:
    """Return why a strength is none for any of the threads, empty where it is one."""
    slip = ""
    for thread in threads:
        try:
            strengths(said, thread, _ANY_DIAMETER_MM)
        except ValueError as wrong:
            slip = str(wrong)
        else:
            return ""
    return slip
