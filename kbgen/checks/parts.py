"""Parts on families: what a note fits, against what the part's own file says."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from kbgen.checks.rule import Material
from kbgen.content import Note, PartFile
from kbgen.content.models import Fit, FitVerdict
from kbgen.findings import Finding, finding
from kbgen.links import Reference, Scheme, written_in_note

__all__ = ["fit_said_twice", "part_does_not_fit", "part_harms"]


def part_does_not_fit(material: Material) -> Iterator[Finding]:
    """Report a note that needs a part which fits none of the families it is about.

    A note about several families may list a part for each; one that fits any of them
    is in its place.
    """
    for use in _uses(material):
        verdicts = {fit.verdict for fit in use.fits}
        if verdicts == {FitVerdict.NOT}:
            yield _finding(
                "part-does-not-fit",
                use,
                use.fits[0],
                "take the part or the family out of this note, or correct the part's file",
            )


def part_harms(material: Material) -> Iterator[Finding]:
    """Report a note that needs a part which harms one of its families, and never speaks of it."""
    for use in _uses(material):
        harm = next((fit for fit in use.fits if fit.verdict is FitVerdict.HARMS), None)
        spoken_of = {edge.target for edge in written_in_note(use.note)[0]}
        if harm is not None and Reference(Scheme.PART, use.part.id) not in spoken_of:
            yield _finding(
                "part-harms",
                use,
                harm,
                f"name another part, or warn of it in the prose: [words](part:{use.part.id})",
            )


@dataclass(frozen=True, slots=True)
class _Use:
    """A part that a note needs.

    Shape: ``path`` is where the note names it first, ``fits`` what the part's file
    says of the note's families, at least one.
    """

    note: Note
    path: tuple[str | int, ...]
    part: PartFile
    fits: tuple[Fit, ...]


def _finding(code: str, use: _Use, fit: Fit, hint: str) -> Finding:
    place = use.note.source.place(*use.path)
    said = use.part.source.place("fits", use.part.model.fits.index(fit), "verdict")
    return finding(
        code,
        use.note.source.path,
        place.line,
        place.column,
        f"{use.part.id} {fit.verdict} on {fit.family}: {fit.why.rstrip('.')} "
        f"({fit.source}; {use.part.source.path}:{said.line})",
        hint,
    )


def _uses(material: Material) -> Sequence[_Use]:
    return material.joined("uses of parts", lambda: tuple(_find_uses(material)))


def _find_uses(material: Material) -> Iterator[_Use]:
    for note in material.tree.notes.values():
        named: dict[str, tuple[str | int, ...]] = {}
        for number, use in enumerate(note.front.parts):
            named.setdefault(use.part, ("parts", number, "part"))
        if note.front.before.spares != "none":
            for number, name in enumerate(note.front.before.spares):
                named.setdefault(name, ("before", "spares", number))
        for name, path in named.items():
            part = material.tree.parts.get(name)
            if part is not None:
                families = note.front.families
                fits = tuple(fit for fit in part.model.fits if fit.family in families)
                if fits:
                    yield _Use(note, path, part, fits)


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
