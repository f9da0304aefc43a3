"""Parts on families: what a note fits, against what the part's own file says."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.checks.rule import Material
from kbgen.content import Note, PartFile
from kbgen.content.models import Fit, FitVerdict
from kbgen.findings import Finding, finding

__all__ = ["fit_said_twice", "part_does_not_fit", "part_harms"]


def part_does_not_fit(material: Material) -> Iterator[Finding]:
    """Report a note that uses a part on a family which the part does not fit."""
    for note, path, part, fit in _uses(material):
        if fit.verdict is FitVerdict.NOT:
            yield _finding(
                "part-does-not-fit",
                note,
                path,
                part,
                fit,
                "take the part or the family out of this note, or correct the part's file",
            )


def part_harms(material: Material) -> Iterator[Finding]:
    """Report a note that uses a part on a family which the part fits and harms."""
    for note, path, part, fit in _uses(material):
        if fit.verdict is FitVerdict.HARMS:
            yield _finding(
                "part-harms", note, path, part, fit, "name another part, or say so in the prose"
            )


def _finding(
    code: str, note: Note, path: tuple[str | int, ...], part: PartFile, fit: Fit, hint: str
) -> Finding:
    place = note.source.place(*path)
    said = part.source.place("fits", part.model.fits.index(fit), "verdict")
    return finding(
        code,
        note.source.path,
        place.line,
        place.column,
        f"{part.id} {fit.verdict} on {fit.family}: {fit.why} "
        f"({fit.source}; {part.source.path}:{said.line})",
        hint,
    )


def _uses(
    material: Material,
) -> Iterator[tuple[Note, tuple[str | int, ...], PartFile, Fit]]:
    """Yield each part that a note needs with what its file says of each of the note's families."""
    for note in material.tree.notes.values():
        named: dict[str, tuple[str | int, ...]] = {}
        for number, use in enumerate(note.front.parts):
            named.setdefault(use.part, ("parts", number, "part"))
        if note.front.before.spares != "none":
            for number, name in enumerate(note.front.before.spares):
                named.setdefault(name, ("before", "spares", number))
        for name, path in named.items():
            part = material.tree.parts.get(name)
            for fit in part.model.fits if part else ():
                if part is not None and fit.family in note.front.families:
                    yield note, path, part, fit


def fit_said_twice(material: Material) -> Iterator[Finding]:
    """Report a part that says twice how it suits one family."""
    for part in material.tree.parts.values():
        first: dict[str, int] = {}
        for number, fit in enumerate(part.model.fits):
            if fit.family in first:
                place = part.source.place("fits", number, "family")
                other = part.source.place("fits", first[fit.family], "family")
                yield finding(
                    "fit-said-twice",
                    part.source.path,
                    place.line,
                    place.column,
                    f"how {part.id} suits {fit.family} is already said on line {other.line}",
                    "keep the one that was tried last, with its reason",
                )
            first.setdefault(fit.family, number)
