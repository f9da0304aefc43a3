"""Drawer labels: a fastener as it is shown on family and note pages, and its mix-ups."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import replace
from functools import lru_cache
from typing import Any

from markupsafe import Markup

from kbgen.checks import nut_factor
from kbgen.content import FamilyFile
from kbgen.content.models import Defaults, Fastener, RegisterRow
from kbgen.links import Reference, Scheme, address_of
from kbgen.pages.drawings import Cabinet, Profile, overlay
from kbgen.pages.figures import measure, stamp
from kbgen.pages.scales import load_bar
from kbgen.pages.shelf import Shelf
from kbgen.pages.views import FastenerView, LinkView, MixupView
from kbgen.text import NotationError
from kbgen.units import (
    Fit,
    MixUp,
    Outcome,
    System,
    Thread,
    Verdict,
    dangerous_pairs,
    describe_torque,
    dimensions,
    flanks,
    judge,
    parse_length,
)

__all__ = ["cabinet_of", "label", "mixups", "profile_of", "registered", "series_name"]

_VERDICTS = {
    Verdict.STANDARD: "{}",
    Verdict.DECLARED: "Declared: {}",
    Verdict.UNSTATED: "Not said in full: measure before you buy",
    Verdict.CONTRADICTORY: "Contradictory",
}

# Worst first: what goes in and spoils a thread; what does not go in warns by itself.
_HARMFUL = (Outcome.BINDS, Outcome.LOOSE, Outcome.RUNS, Outcome.NOT, Outcome.DROPS)

Rows = Sequence[tuple[FamilyFile, RegisterRow]]

_flanks = lru_cache(maxsize=1024)(flanks)  # the same two threads get swapped in many families


@lru_cache(maxsize=4096)
def profile_of(thread: Thread) -> Profile | None:
    """Return what is needed to draw a thread, None where it was not said in full."""
    try:
        size = dimensions(thread)
    except ValueError:
        return None
    return Profile(
        size.major_mm, size.root_mm, size.pitch_mm, size.form.angle_deg, thread.left_hand
    )


def cabinet_of(shelf: Shelf, fasteners: Iterable[Fastener]) -> Cabinet:
    """Return the drawings of the threads of a page's labels, each thread once."""
    profiles: dict[str, Profile] = {}
    for fastener in fasteners:
        thread = shelf.thread(fastener.thread)
        profile = profile_of(thread) if thread else None
        if profile is not None:
            profiles.setdefault(shelf.name_of(fastener.thread), profile)
    return Cabinet(profiles)


def series_name(thread: Thread, series: str | None) -> str:
    """Return a series in words that stand alone: ``metric coarse``, ``UNC``."""
    if series and thread.system is System.METRIC:
        return f"metric {series}"
    return series or ""


def label(shelf: Shelf, fastener: Fastener, cabinet: Cabinet) -> FastenerView:
    """Return the drawer label of a fastener that stands in a note itself."""
    return _drawn(_told(shelf, fastener), shelf, fastener, cabinet)


def _drawn(
    told: FastenerView, shelf: Shelf, fastener: Fastener, cabinet: Cabinet, **more: Any
) -> FastenerView:
    """Return a label with its thread drawn to the scale of its page."""
    return replace(told, drawing=cabinet.drawing(shelf.name_of(fastener.thread)), **more)


def _told(shelf: Shelf, fastener: Fastener) -> FastenerView:
    """Return all of a label but its drawing."""
    thread = shelf.thread(fastener.thread)
    verdict = ""
    if thread is not None:
        judged = judge(thread, shelf.house)
        series = ", ".join(
            part for part in (series_name(thread, judged.series), judged.standard) if part
        )
        verdict = _VERDICTS[judged.verdict].format(series)
    return FastenerView(
        anchor="",
        where=shelf.prose(fastener.where),
        designation=shelf.designation(fastener.thread),
        thread_address=shelf.thread_address(thread),
        verdict=Markup("{}.").format(verdict) if verdict else Markup(""),
        drawing=Markup(""),
        hand=thread.hand if thread else "right",
        length=_length(fastener.length),
        head=fastener.head or "",
        tightness=_tightness(shelf, fastener),
        share=_share(shelf, fastener, thread),
        basis=str(fastener.basis),
        source=fastener.source,
        remark=shelf.prose(fastener.remark or ""),
        disputed=tuple(
            Markup("{} says {}").format(other.source, shelf.figured(other.says))
            for other in fastener.disputed
        ),
        corrections=tuple(shelf.correction(line, row=fastener) for line in fastener.corrections),
    )


def registered(
    shelf: Shelf, family: FamilyFile, row: RegisterRow, cabinet: Cabinet, at_home: bool
) -> FastenerView:
    """Return the label of a register row.

    Shape: ``at_home`` is whether the page is the family's own, where the label is the
    row's anchor and names the notes that use it; elsewhere it leads to the register.
    """
    model = family.model
    key = f"{family.id}/{row.id}"
    names = {variant.id: variant.name for variant in model.variants}
    home = LinkView(
        f"{model.name}, fastener register",
        address_of(Reference(Scheme.FASTENER, family.id, row.id)),
    )
    users = shelf.notes_of_row.get(key, ()) if at_home else ()
    return _drawn(
        shelf.once(("label", key), lambda: _told(shelf, row)),
        shelf,
        row,
        cabinet,
        anchor=row.id if at_home else "",
        variants=tuple(names.get(variant, variant) for variant in row.variants),
        home=None if at_home else home,
        used_by=tuple(shelf.note_link(note) for note in users),
    )


def _length(text: str | None) -> Markup:
    """Return a length as written, or in its canonical form where it is one."""
    if not text:
        return Markup("")
    try:
        return measure(str(parse_length(text)))
    except NotationError:
        return measure(text)


def _tightness(shelf: Shelf, fastener: Fastener) -> Markup:
    """Return how tight: a torque in newton metres and pound-force inches, or the words.

    Shape: what states both units itself stands as written; words never become figures.
    """
    if not fastener.torque:
        return shelf.figured(fastener.tightness or "")
    written = shelf.figured(fastener.torque)
    torque = shelf.torque(fastener.torque)
    if torque is None or torque.unit is None or "(" in fastener.torque:
        return written
    inches = describe_torque(torque)["in_units"]["lbf·in"]
    figures = [f"{figure:.2g}" for figure in dict.fromkeys(inches) if figure is not None]
    return written + Markup(" · ") + measure(f"{'..'.join(figures)} lbf·in")


def _share(shelf: Shelf, fastener: Fastener, thread: Thread | None) -> Markup:
    """Return the share of the screw's proof load that a torque uses, with what was assumed.

    Shape: a bar from nought to the whole proof load, and the same in words; empty where
    no torque is stated or nothing is known of the thread's strength.
    """
    torque = shelf.torque(fastener.torque or "")
    if torque is None or thread is None:
        return Markup("")
    workshop = shelf.tree.workshop
    defaults = workshop.defaults if workshop else Defaults()
    factor = nut_factor(defaults.nut_factor or "")
    strength = fastener.strength or defaults.strength
    try:
        told = describe_torque(torque, thread, strength, factor)
    except ValueError:
        return Markup("")
    share = told["proof_share"]
    if not share:
        return Markup("")
    low, high = (round(100 * part) for part in share)
    percent = f"{low} %" if low == high else f"{low}–{high} %"
    said = [] if fastener.strength else [f"strength {strength} assumed"] if strength else []
    said += [f"nut factor {defaults.nut_factor} assumed"] if factor else []
    said += [line for line in told["assumed"] if "not stated" in line]
    words = Markup("{} of proof <small>({})</small>").format(percent, "; ".join(said))
    return load_bar(*share) + words


def mixups(
    shelf: Shelf, family: FamilyFile, touching: Collection[str] | None = None
) -> tuple[MixupView, ...]:
    """Return the pairs of a family's places whose screws could be swapped, worst first.

    Shape: one view for a pair of threads, however many places share them; ``touching``
    keeps those pairs in which one of these rows (FAMILY/ROW) stands.
    """
    pairs = shelf.once(("mixups", family.id), lambda: _family_mixups(shelf, family))
    return tuple(view for rows, view in pairs if touching is None or not rows.isdisjoint(touching))


def _family_mixups(
    shelf: Shelf, family: FamilyFile
) -> tuple[tuple[frozenset[str], MixupView], ...]:
    by_key = {f"{family.id}/{row.id}": (family, row) for row in family.model.fasteners}
    threads = [
        (key, thread)
        for key, (_, row) in by_key.items()
        if (thread := shelf.thread(row.thread)) is not None
    ]
    found = []
    for number, pair in enumerate(dangerous_pairs(threads)):
        firsts = [by_key[key] for key in pair.first_places]
        seconds = [by_key[key] for key in pair.second_places]
        rows = frozenset((*pair.first_places, *pair.second_places))
        found.append((rows, _mixup(shelf, pair, firsts, seconds, f"_x{family.id}-{number}")))
    return tuple(sorted(found, key=lambda told: told[1].outcome))


def _mixup(shelf: Shelf, pair: MixUp, firsts: Rows, seconds: Rows, mark: str) -> MixupView:
    """Return a pair with a sentence for each way that a screw goes in, the worst drawn."""
    ways = sorted((pair.first_in_second, pair.second_in_first), key=_harm)
    told = [way for way in ways if way.enters] or ways[:1]
    words = [way.in_words if way.enters else _why_not(way) for way in told]
    return MixupView(
        outcome=_harm(told[0]),
        starts=told[0].enters,
        threads=(stamp(str(pair.first)), stamp(str(pair.second))),
        places=Markup("{} ({}) and {} ({})").format(
            _where(firsts), stamp(str(pair.first)), _where(seconds), stamp(str(pair.second))
        ),
        says=tuple(shelf.figured(line) for line in words),
        drawing=_laid(told[0], mark),
    )


def _why_not(way: Fit) -> str:
    """Return why a screw does not start, without naming both threads again."""
    return way.in_words.partition(": ")[2] or way.in_words


def _laid(worst: Fit, mark: str) -> Markup:
    """Return the two threads of a fit laid over each other, where pitches differ and it starts.

    What does not start is told in words: nobody forces it without feeling that it is wrong.
    """
    screw, hole = worst.screw, worst.hole
    if worst.turns is None or not worst.enters:
        return Markup("")
    turns = worst.turns.middle if worst.outcome is Outcome.BINDS else None
    return overlay(_flanks(screw, hole), turns, (str(screw), str(hole)), mark)


def _harm(told: Fit) -> int:
    """Return how a fit ranks among the harmful ones, worst first."""
    return _HARMFUL.index(told.outcome)


def _where(rows: Rows) -> Markup:
    family, row = rows[0]
    address = address_of(Reference(Scheme.FASTENER, family.id, row.id))
    more = len(rows) - 1
    others = f" and {more} {'others' if more > 1 else 'other'}" if more else ""
    return Markup('<a href="root:{}">{}</a>{}').format(address, row.where, others)
