"""Figures that cannot be what they say, and fields that cannot be read as one."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

from kbgen.checks.rule import Material
from kbgen.checks.strength import nut_factor
from kbgen.findings import Finding, Severity, code_named, finding
from kbgen.prose import Fault, Where
from kbgen.units import Verdict

__all__ = ["caption_figure_wrong", "figure_unreadable", "objected"]


def objected(code: str) -> Callable[[Material], Iterable[Finding]]:
    """Return the function that reports what the units check objects to under one code.

    What a correction withdraws is exempt, and what a film says has a code of its own.
    A machine's name ("the M40") is no figure.
    """

    def find(material: Material) -> Iterator[Finding]:
        if code == "thread-not-declared" and "content/threads.yaml" in material.broken:
            return
        for path, fault in _faults(material).get(code, ()):
            yield finding(code, path, fault.line, fault.column, fault.message, fault.hint)

    return find


def _faults(material: Material) -> Mapping[str, Sequence[tuple[str, Fault]]]:
    """Return what the units check objects to, by code, with the file it stands in."""
    return material.joined("faults", lambda: _find_faults(material))


def _find_faults(material: Material) -> dict[str, list[tuple[str, Fault]]]:
    found: dict[str, list[tuple[str, Fault]]] = {}
    for statement in material.statements:
        if not statement.faults or statement.withdrawn or statement.where is Where.CAPTION:
            continue
        if statement.value.as_written in material.machine_names:
            continue
        for fault in statement.faults:
            found.setdefault(fault.code, []).append((statement.path, fault))
    return found


def caption_figure_wrong(material: Material) -> Iterator[Finding]:
    """Report what a film says that cannot be so, where no correction of it is written."""
    for statement in material.statements:
        if statement.where is not Where.CAPTION or material.is_corrected(statement):
            continue
        if statement.value.verdict is not Verdict.CONTRADICTORY:
            continue
        for fault in statement.faults:
            if code_named(fault.code).severity is Severity.ERROR:
                yield finding(
                    "caption-figure-wrong",
                    statement.path,
                    fault.line,
                    fault.column,
                    f"the film says {statement.value.as_written}: {fault.message}",
                    "film cannot be re-cut: add a correction to the recording, with was and at",
                )


def figure_unreadable(material: Material) -> Iterator[Finding]:
    """Report a field that must be a figure and cannot be read as one."""
    for field in material.unreadable:
        yield finding(
            "figure-unreadable",
            field.path,
            field.line,
            field.column,
            f"{field.as_written!r} is no {field.kind}: {field.message}",
            field.hint or f"write one {field.kind} and nothing beside it; a remark has its own key",
        )
    workshop = material.tree.workshop_file
    factor = workshop.model.defaults.nut_factor if workshop else None
    if workshop and factor is not None and nut_factor(factor) is None:
        place = workshop.source.place("defaults", "nut_factor")
        yield finding(
            "figure-unreadable",
            workshop.source.path,
            place.line,
            place.column,
            f"{factor!r} is no nut factor: expected a number between 0.01 and 1, or two of them",
            "write 0.2, or 0.11..0.15 (NASA-TM-106943)",
        )
