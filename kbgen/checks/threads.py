"""Threads of the workshop and of a family: declared once, and not to be swapped."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import replace

from kbgen.checks.rule import Material, at
from kbgen.findings import Finding, finding
from kbgen.prose import Where
from kbgen.text import NotationError
from kbgen.units import (
    Kind,
    Thread,
    Verdict,
    dangerous_pairs,
    judge,
    parse_thread,
)

__all__ = [
    "figure_disputed",
    "house_thread_declared_twice",
    "house_thread_is_standard",
    "mix_up",
]


def mix_up(material: Material) -> Iterator[Finding]:
    """Advise of two fasteners of one family that a person could swap."""
    for family in material.tree.families.values():
        threads: list[tuple[str, Thread]] = []
        for row in family.model.fasteners:
            stated = material.registered.get((f"{family.id}/{row.id}", Kind.THREAD))
            if stated is not None and isinstance(stated.value.value, Thread):
                threads.append((row.id, stated.value.value))
        for pair in dangerous_pairs(threads):
            first = material.registered[f"{family.id}/{pair.first_places[0]}", Kind.THREAD]
            second = material.registered[f"{family.id}/{pair.second_places[0]}", Kind.THREAD]
            if pair.first_in_second.enters:
                words = pair.first_in_second.in_words
            else:
                words = pair.second_in_first.in_words
            yield at(
                second,
                "mix-up",
                f"{' and '.join(pair.second_places)} ({pair.second}) can be swapped with "
                f"{' and '.join(pair.first_places)} ({pair.first}, line {first.line}): {words}",
                "the family's page warns of it; keep the two apart on the bench",
            )


def figure_disputed(material: Material) -> Iterator[Finding]:
    """Advise of a figure that somebody else honestly holds to be another."""
    for statement in material.statements:
        if statement.where is not Where.DISPUTED or statement.subject is None:
            continue
        held = material.registered.get((statement.subject, statement.value.kind))
        if held is not None:
            yield at(
                statement,
                "figure-disputed",
                f"{statement.subject} is {held.value.canonical} here (line {held.line}), and "
                f"{statement.value.canonical} to somebody else",
                "measure another machine when one comes in",
            )


def house_thread_is_standard(material: Material) -> Iterator[Finding]:
    """Report a house thread that a published series holds."""
    for path, line, column, thread in _house_threads(material):
        names = _published_names(thread)
        if names:
            yield finding(
                "house-thread-is-standard",
                path,
                line,
                column,
                f"{thread} is {' or '.join(names)}: no house thread is needed for it",
                f"write {names[0].partition(' (')[0]} in the registers and take this row out",
            )


_SERIES = ("UNC", "UNF", "UNEF", "UN", "BSW", "BSF", "BSB", "BSCy")


def _published_names(thread: Thread) -> list[str]:
    """Return what published series call a house thread, each with its standard."""
    bare = str(replace(thread, left_hand=False)).removesuffix(" house")
    if thread.inch_size:
        forms = [bare, *(f"{bare} {series}" for series in _SERIES), f"SM{bare}"]
    else:
        forms = [f"M{bare}"]
    names: dict[str, None] = {}
    for form in forms:
        with suppress(NotationError):
            named = parse_thread(form)
            judged = judge(named)
            plain = form is forms[0] and judged.verdict is Verdict.DECLARED
            if plain or judged.verdict is Verdict.STANDARD:
                names.setdefault(f"{named} ({judged.standard})")
    return list(names)


def house_thread_declared_twice(material: Material) -> Iterator[Finding]:
    """Report a house thread that is declared a second time."""
    first: dict[Thread, int] = {}
    for path, line, column, thread in _house_threads(material):
        if thread in first:
            yield finding(
                "house-thread-declared-twice",
                path,
                line,
                column,
                f"{thread} is already declared on line {first[thread]}",
                "keep the row with the better basis",
            )
        first.setdefault(thread, line)


def _house_threads(material: Material) -> Iterator[tuple[str, int, int, Thread]]:
    file = material.tree.threads_file
    for number in range(len(file.model) if file else 0):
        assert file is not None
        place = file.source.place_in((number, "thread"), 0)
        stated = material.at_place.get((file.source.path, place.line, place.column))
        if stated is not None and isinstance(stated.value.value, Thread):
            yield file.source.path, place.line, place.column, stated.value.value
