"""What files name beside links: photos, variants, successors that lead round."""

from __future__ import annotations

import re
from collections.abc import Iterator

from kbgen.checks.rule import Material
from kbgen.content import FamilyFile
from kbgen.findings import Finding, finding

__all__ = ["photo_missing", "photo_words_empty", "successor_in_circle", "variant_unknown"]

_SAY_NOTHING = frozenset(
    ["foto", "graphic", "image", "img", "illustration", "photo", "photograph", "picture"]
)
_FORERUNNERS = re.compile(r"^(?:an? |the )?(?:image|photo(?:graph)?|picture)(?: of| \d+)?$")


def photo_missing(material: Material) -> Iterator[Finding]:
    """Report a note that shows a picture which is not in ``content/photos``."""
    there = set(material.tree.photos)
    folded = {name.casefold(): name for name in material.tree.photos}
    for note in material.tree.notes.values():
        for number, photo in enumerate(note.front.photos):
            if photo.file in there:
                continue
            place = note.source.place("photos", number, "file")
            twin = folded.get(photo.file.casefold())
            yield finding(
                "photo-missing",
                note.source.path,
                place.line,
                place.column,
                f"there is no picture content/photos/{photo.file}",
                f"the file is called {twin}" if twin else "put the picture there, or leave it out",
            )


def photo_words_empty(material: Material) -> Iterator[Finding]:
    """Report words for a picture that name it as a picture, or repeat the name of its file."""
    for note in material.tree.notes.values():
        for number, photo in enumerate(note.front.photos):
            words = " ".join(photo.alt.casefold().strip(" .!").split())
            stem = photo.file.casefold().rpartition(".")[0]
            named = (photo.file.casefold(), stem, stem.replace("-", " "))
            if words not in (*_SAY_NOTHING, *named) and not _FORERUNNERS.match(words):
                continue
            place = note.source.place("photos", number, "alt")
            yield finding(
                "photo-words-say-nothing",
                note.source.path,
                place.line,
                place.column,
                f"{photo.alt!r} does not say what {photo.file} shows",
                "say what one has to see in it, as to somebody on the telephone",
            )


def successor_in_circle(material: Material) -> Iterator[Finding]:
    """Report a withdrawn note whose successors lead back to it."""
    notes = material.tree.notes
    for number, note in notes.items():
        seen: list[int] = []
        at: int | None = number
        while at is not None and at not in seen and at in notes:
            seen.append(at)
            at = notes[at].front.successor
        if at == number:
            place = note.source.place("successor")
            yield finding(
                "successor-in-a-circle",
                note.source.path,
                place.line,
                place.column,
                "the successors of this note lead back to it: "
                + " → ".join(str(one) for one in (*seen, number)),
                "one of them must be a note that stands",
            )


def variant_unknown(material: Material) -> Iterator[Finding]:
    """Report a register row or a lot of a variant that its family does not have."""
    for family in material.tree.families.values():
        known = [variant.id for variant in family.model.variants]
        for number, row in enumerate(family.model.fasteners):
            for position, name in enumerate(row.variants):
                if name not in known:
                    yield _unknown(family, name, ("fasteners", number, "variants", position))
        for number, lot in enumerate(family.model.lots):
            if lot.variant is not None and lot.variant not in known:
                yield _unknown(family, lot.variant, ("lots", number, "variant"))


def _unknown(family: FamilyFile, name: str, path: tuple[str | int, ...]) -> Finding:
    place = family.source.place(*path)
    known = ", ".join(variant.id for variant in family.model.variants) or "none"
    return finding(
        "variant-unknown",
        family.source.path,
        place.line,
        place.column,
        f"{family.id} has no variant {name}",
        f"its variants are: {known}",
    )
