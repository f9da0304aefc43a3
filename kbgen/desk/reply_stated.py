"""What an asker states, answered with facts: what the register says, and nothing made up."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from kbgen.checks import Claim, Registers
from kbgen.content import plain_text
from kbgen.findings import Severity, code_named
from kbgen.units import Kind, Thread, Verdict, dimensions

__all__ = ["Told", "told_of"]

_NEAR = 0.06  # share of the diameter, as for screws that are taken for one another
_NEAREST = 3


@dataclass(frozen=True, slots=True)
class Told:
    """One thing stated, and what is said to it.

    Shape: ``as_written`` is empty for a figure that we have withdrawn ourselves: it is
    not passed on again, not even as a quotation. ``places`` are FAMILY/ROW; ``agrees``
    is None where there is nothing to compare with.
    """

    as_written: str
    places: tuple[str, ...]
    agrees: bool | None
    says: str


def told_of(
    registers: Registers, claims: Sequence[Claim], families: Sequence[str]
) -> tuple[Told, ...]:
    """Return what is said to each thing stated that there is something to say to, each once."""
    told: dict[str, Told] = {}
    for claim in claims:
        written = claim.stated.as_written if _may_be_said(registers, claim, families) else ""
        says = " ".join(_sentences(registers, claim, families, written))
        if says:
            told.setdefault(says, Told(written, claim.rows, claim.agrees, says))
    return tuple(told.values())


def _may_be_said(registers: Registers, claim: Claim, families: Sequence[str]) -> bool:
    """Return whether a figure may be quoted: nobody withdrew it, or some place has it today."""
    if claim.withdrawn:
        return False
    if claim.stated.canonical not in registers.ever_withdrawn:
        return True
    held = (
        registers.figure(row, claim.stated.kind)
        for row, one in registers.rows.items()
        if one.family.id in families
    )
    return any(one is not None and one.value.canonical == claim.stated.canonical for one in held)


def _sentences(
    registers: Registers, claim: Claim, families: Sequence[str], written: str
) -> Iterator[str]:
    for objection in claim.stated.objections if written else ():
        if code_named(objection.code).severity is not Severity.ADVICE:
            yield f"You write {written}: {objection.message}."
    if claim.rows:
        yield from _of_places(registers, claim, written)
    elif not written:
        yield "The figure you write is one that we once gave ourselves and have withdrawn."
    elif claim.stated.verdict is not Verdict.CONTRADICTORY:
        yield from _of_no_place(registers, claim, families)


def _of_places(registers: Registers, claim: Claim, written: str) -> Iterator[str]:
    meant = claim.withdrawn or claim.agreeing or claim.rows
    places = " or ".join(_place(registers, row) for row in meant)
    figures = [one for one in claim.held if one.subject in meant]
    held = " or ".join(dict.fromkeys(figure.value.as_written for figure in figures))
    if claim.withdrawn:
        now = f"; the register says {held}" if held else ""
        yield (
            f"The figure you write for {places} is one that we gave ourselves and have "
            f"withdrawn{now}."
        )
    elif not claim.held:
        row = registers.rows[claim.rows[0]].row
        tightness = row.tightness if claim.stated.kind is Kind.TORQUE else None
        told = f"; it says {plain_text(tightness)}" if tightness else ""
        yield f"The register has no {claim.stated.kind} for {places}{told}."
    elif claim.agreeing and written:
        yield f"You write {written} for {places}: so says the register."
    elif claim.apart or not written:
        yield f"For {places} the register says {held}."
    else:
        yield f"You write {written} for {places}; the register says {held}."
    if claim.disputed and not claim.agrees:
        yield "Others hold the figure that you give. Measure yours before you buy."


def _of_no_place(registers: Registers, claim: Claim, families: Sequence[str]) -> Iterator[str]:
    """Yield which places have the thread that is stated, or which come near it."""
    thread = claim.stated.value
    if not isinstance(thread, Thread):
        return
    for objection in claim.stated.objections:
        if objection.code == "thread-said-in-part":
            yield f"You write {claim.stated.as_written}: {objection.message}."
            return
    for family in families:
        threads = _threads(registers, family)
        if not threads:
            continue
        name = next(iter(registers.rows[row].family.model.name for row in threads))
        same = [row for row, held in threads.items() if _plain(held) == _plain(thread)]
        if same:
            places = ", ".join(_quoted(registers, row) for row in same)
            yield f"{claim.stated.canonical} is the thread of {places} on the {name}."
            continue
        near = _nearest(thread, threads)
        yield f"No place in the register of the {name} has {claim.stated.canonical}" + (
            "."
            if not near
            else "; nearest in size are "
            + ", ".join(f"{_quoted(registers, row)} ({threads[row]})" for row in near)
            + "."
        )


def _threads(registers: Registers, family: str) -> dict[str, Thread]:
    found = {}
    for row, held in registers.rows.items():
        figure = registers.figure(row, Kind.THREAD) if held.family.id == family else None
        if figure is not None and isinstance(figure.value.value, Thread):
            found[row] = figure.value.value
    return found


def _nearest(thread: Thread, threads: dict[str, Thread]) -> list[str]:
    """Return the rows of nearly the same diameter, the nearest first, one for each thread."""
    try:
        wanted = dimensions(thread)
    except ValueError:
        return []
    found: dict[Thread, tuple[float, float, str]] = {}
    for row, held in threads.items():
        try:
            size = dimensions(held)
        except ValueError:
            continue
        off = abs(size.major_mm - wanted.major_mm)
        if off <= _NEAR * wanted.major_mm:
            pitch_off = abs(size.pitch_mm - wanted.pitch_mm)
            found.setdefault(_plain(held), (off, pitch_off, row))
    return [row for _, _, row in sorted(found.values())[:_NEAREST]]


def _plain(thread: Thread) -> Thread:
    return replace(thread, fit_class=None, left_hand=False)


def _place(registers: Registers, row: str) -> str:
    return f"{_quoted(registers, row)} of the {registers.rows[row].family.model.name}"


def _quoted(registers: Registers, row: str) -> str:
    return f"“{plain_text(registers.rows[row].row.where)}”"
