"""Pages to print: a note's bench card on one sheet, a family's pitches at true scale.

A card is made from the page it belongs to and says nothing that page does not say.
"""

from __future__ import annotations

from fractions import Fraction

from markupsafe import Markup

from kbgen.content import FamilyFile
from kbgen.links import Reference, Scheme, address_of, printed_form
from kbgen.pages.drawings import Profile, comb
from kbgen.pages.fasteners import profile_of
from kbgen.pages.figures import pair, stamp
from kbgen.pages.qr import qr_code
from kbgen.pages.sheet import sheet_of
from kbgen.pages.shelf import Shelf
from kbgen.pages.views import CardView, LinkView, NoteView, Page, PitchesView, PitchRow
from kbgen.units import dimensions

__all__ = ["bench_card", "pitch_card"]


# --- a note's bench card


def bench_card(page: Page, base: str) -> Page:
    """Return the bench card of a note's page.

    Shape: ``base`` is the site's base address, which ends in a slash.
    """
    note = page.body
    assert isinstance(note, NoteView)
    address = base + page.path
    sheet = sheet_of(page, note)
    view = CardView(
        note=LinkView(page.heading or page.title, page.path),
        number=note.number,
        address=address,
        code=qr_code(address),
        size=sheet.size,
        columns=sheet.columns,
        cautions=note.cautions,
        tools=note.tools,
        causes=sheet.causes,
        fix=note.fix,
        fasteners=note.fasteners,
        swapped=tuple(mixup.threads for mixup in note.mixups),
        works_when=note.works_when,
    )
    return Page(
        path=printed_form(page.path),
        kind="card",
        title=f"Bench card: {page.title}",
        heading=page.heading or page.title,
        purpose=f"One sheet for the wall of the bench. {page.purpose}",
        families=page.families,
        revised=page.revised,
        body=view,
        source=page.source,
        stands_at=page.path,
    )


# --- a family's pitch card


def pitch_card(shelf: Shelf, family: FamilyFile, base: str) -> Page:
    """Return the pitch card of a family: each of its pitches at true scale."""
    home = address_of(Reference(Scheme.FAMILY, family.id))
    found: dict[tuple[float, float], tuple[Profile, Fraction | None, dict[Markup, None]]] = {}
    for row in family.model.fasteners:
        thread = shelf.thread(row.thread)
        profile = profile_of(thread) if thread else None
        if thread is None or profile is None:
            continue
        size = dimensions(thread)
        key = (round(profile.pitch_mm, 4), profile.angle_deg)
        entry = found.setdefault(key, (profile, size.tpi if size.inch else None, {}))
        entry[2].setdefault(stamp(str(thread)))
    rows = tuple(
        _pitch_row(profile, tpi, tuple(threads))
        for _, (profile, tpi, threads) in sorted(
            found.items(), key=lambda item: (-item[0][0], item[0][1])
        )
    )
    address = base + home
    return Page(
        path=printed_form(home),
        kind="pitches",
        title=f"Pitch card: {family.model.name}",
        heading=f"Pitches of the {family.model.name}",
        purpose=f"Every pitch of the {family.model.name} at true scale, to lay a screw on.",
        families=(shelf.family_link(family.id),),
        body=PitchesView(LinkView(family.model.name, home), rows, address, qr_code(address)),
        source=family.source.path,
        stands_at=home,
    )


def _pitch_row(profile: Profile, tpi: Fraction | None, threads: tuple[Markup, ...]) -> PitchRow:
    millimetres = f"{profile.pitch_mm:.3f}".rstrip("0").rstrip(".")
    if tpi is not None:
        count = f"{float(tpi):g}"
        told, other = pair(count, "to the inch"), pair(millimetres, "mm")
    else:
        told, other = pair(millimetres, "mm"), pair(f"{25.4 / profile.pitch_mm:.1f}", "to the inch")
    words = f"teeth {millimetres} mm apart, at true scale on paper, {profile.angle_deg:g}° flanks"
    return PitchRow(told, other, comb(profile, words), threads)
