"""Torques against their screws: too much, hardly any, or right in another unit."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from kbgen.checks.rule import Material, at
from kbgen.content import Source
from kbgen.content.models import Fastener
from kbgen.findings import Finding, finding
from kbgen.prose import Statement
from kbgen.units import Concern, Thread, Torque, strengths, tightening

__all__ = ["STRENGTH_CODES", "overloaded", "strength_unknown"]

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
    factor = _nut_factor(material)
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


def _nut_factor(material: Material) -> tuple[float, ...] | None:
    workshop = material.tree.workshop
    said = workshop.defaults.nut_factor if workshop else None
    figures = tuple(float(one) for one in re.findall(r"\d*\.\d+", said or ""))
    return figures if figures and all(0.01 <= one <= 1 for one in figures) else None


def strength_unknown(material: Material) -> Iterator[Finding]:
    """Report a strength class that no standard has."""
    for source, path, fastener in _fasteners(material):
        thread = _stated(material, source, (*path, "thread"))
        if fastener.strength and thread and isinstance(thread.value.value, Thread):
            yield from _unknown(source, (*path, "strength"), fastener.strength, thread)


def _unknown(
    source: Source, path: tuple[str | int, ...], said: str, thread: Statement
) -> Iterator[Finding]:
    try:
        assert isinstance(thread.value.value, Thread)
        strengths(said, thread.value.value, 6.0)
    except ValueError as slip:
        place = source.place_in(path, 0)
        yield finding(
            "strength-unknown",
            source.path,
            place.line,
            place.column,
            str(slip),
            "write the mark on the head (8.8, SAE 5, A2-70), or what it is made of, or leave "
            "it out",
        )
