"""Thread pages: what a thread is, its dimensions and limits, and the places that use it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from markupsafe import Markup, escape

from kbgen.links import Reference, Scheme, address_of
from kbgen.pages.drawings import elevation
from kbgen.pages.fasteners import profile_of, series_name
from kbgen.pages.figures import pair, stamp
from kbgen.pages.leads import leads_to
from kbgen.pages.shelf import Shelf
from kbgen.pages.views import IndexGroup, IndexRow, LinkView, Page, ThreadView
from kbgen.units import Thread, Verdict, describe_thread

__all__ = ["thread_page", "thread_row"]

SYSTEMS = {
    "unified": "Unified inch",
    "metric": "ISO metric",
    "BSW": "British Standard Whitworth",
    "BSF": "British Standard Fine",
    "BA": "British Association",
    "BSB": "British Standard Brass",
    "BSCy": "British Standard Cycle",
    "SM": "Sewing-machine series",
    "NPT": "American taper pipe",
    "NPS": "American straight pipe",
    "NPSM": "American straight pipe, mechanical",
    "G": "Pipe, parallel",
    "house": "House thread",
    "unknown": "Not said",
}

_VERDICTS = {
    Verdict.STANDARD: "standard: a published series holds it",
    Verdict.DECLARED: "declared: no standard series holds it; it is said to be what it is",
    Verdict.UNSTATED: "not said in full: measure before you buy",
    Verdict.CONTRADICTORY: "contradictory: it cannot be what it says",
}

_DIMENSIONS = (
    ("Major diameter", "major_mm", "major_in"),
    ("Pitch", "pitch_mm", None),
    ("Pitch diameter", "pitch_diameter_mm", None),
    ("Minor diameter, nut", "minor_diameter_mm", None),
    ("Root diameter, screw", "root_diameter_mm", None),
)

_LIMITS = (
    ("major", "major"),
    ("pitch diameter", "pitch_diameter"),
    ("minor", "minor_diameter"),
)


def thread_page(shelf: Shelf, reference: Reference, thread: Thread) -> Page:
    """Return the page of a thread."""
    told = describe_thread(thread, house=shelf.house)
    profile = profile_of(thread)
    canonical = str(thread)
    view = ThreadView(
        designation=stamp(canonical),
        canonical=canonical,
        verdict=_VERDICTS[Verdict(told["verdict"])],
        series=series_name(thread, told["series"]),
        standard=told["standard"] or "none",
        system=SYSTEMS[str(thread.system)],
        drawing=elevation(profile, canonical) if profile else Markup(""),
        dimensions=_dimensions(told),
        limits=_limits(told),
        limits_note=_limits_note(told),
        assumed=tuple(told["assumed"]),
        declared=_declared(shelf, thread),
        places=_places(shelf, reference),
    )
    return Page(
        path=address_of(reference),
        kind="thread",
        title=canonical,
        purpose=f"What a {canonical} thread measures, how far it may stray, and where it is used.",
        body=view,
        source="content/threads.yaml" if view.declared else "content/families/",
        leads_here=leads_to(shelf, reference, shown=_users(shelf, reference)),
        bench=True,
    )


def _declared(shelf: Shelf, thread: Thread) -> tuple[Markup, ...]:
    """Return where the workshop declared a house thread, and what that rests on."""
    return tuple(
        Markup("{} ({}: {})").format(
            shelf.prose(row.where), str(row.basis), shelf.prose(row.source)
        )
        for row in shelf.tree.house_threads
        if shelf.thread(row.thread) == thread
    )


def _mm(value: float) -> Markup:
    return pair(f"{value:.3f}", "mm")


def _dimensions(told: dict[str, Any]) -> tuple[tuple[str, Markup], ...]:
    rows = []
    for name, key, inch_key in _DIMENSIONS:
        if told.get(key) is None:
            continue
        value = _mm(told[key])
        if inch_key and told.get("tpi"):
            value += Markup(" · ") + pair(f"{told[inch_key]:.4f}", "in")
        rows.append((name, value))
    if told.get("tpi"):
        rows.insert(2, ("Threads to the inch", Markup(f"{told['tpi']:g}")))
    if told.get("angle_deg"):
        rows.append(("Thread angle", Markup("{}°").format(f"{told['angle_deg']:g}")))
    if told.get("stress_area_mm2"):
        rows.append(("Stress area", pair(f"{told['stress_area_mm2']:.2f}", "mm²")))
    return tuple(rows)


def _limits(told: dict[str, Any]) -> tuple[tuple[str, tuple[tuple[str, Markup], ...]], ...]:
    rows = []
    for side, name in (("external", "screw"), ("internal", "hole")):
        limits = told["limits"][side]
        if limits:
            cells = tuple((label, _between(limits, key)) for label, key in _LIMITS)
            rows.append((f"{name}, {limits['class']}", cells))
    return tuple(rows)


def _limits_note(told: dict[str, Any]) -> str:
    """Return whose limits they are, or that there are none."""
    found = [limits for limits in told["limits"].values() if limits]
    if not found:
        return "No published limits of size were found for it."
    said = dict.fromkeys(line for limits in found for line in (limits["source"], *limits["marks"]))
    return f"Millimetres, least to greatest. {'; '.join(said)}."


def _between(limits: dict[str, Any], key: str) -> Markup:
    """Return the least and the greatest size in millimetres, in inches beneath."""
    return Markup("<br>").join(
        Markup('<span class="q">{}</span>').format(_range(limits[f"{key}_{unit}"], places))
        for unit, places in (("mm", 3), ("in", 4))
        if f"{key}_{unit}" in limits
    )


def _range(limits: list[float | None], places: int) -> str:
    low, high = (f"{value:.{places}f}" if value is not None else "" for value in limits)
    if low and high:
        return f"{low}–{high}"
    return f"at least {low}" if low else f"at most {high}" if high else "not limited"


def _users(shelf: Shelf, reference: Reference) -> frozenset[Reference]:
    """Return the families and notes whose places use a thread."""
    return frozenset(
        edge.origin.whole
        for edge in shelf.checked.graph.leads_to_page(reference)
        if edge.origin.scheme is Scheme.FASTENER
    )


def _places(shelf: Shelf, reference: Reference) -> tuple[IndexGroup, ...]:
    """Return the register rows that use a thread by family, and the notes that cite those."""
    by_family: dict[str, list[IndexRow]] = {}
    for key, thread in _rows_of(shelf, reference):
        family, row = shelf.rows[key]
        end = Markup("left hand") if thread.left_hand else Markup("")
        link = LinkView(row.where, shelf.row_link(key).address)
        notes = ", ".join(
            f'<a href="root:{note.address}">{escape(note.text)}</a>'
            for note in map(shelf.note_link, shelf.notes_of_row.get(key, ()))
        )
        by_family.setdefault(family.model.name, []).append(
            IndexRow(link, Markup(f"Used in {notes}") if notes else "", end)
        )
    return tuple(IndexGroup(name, tuple(rows)) for name, rows in by_family.items())


def _rows_of(shelf: Shelf, reference: Reference) -> Sequence[tuple[str, Thread]]:
    """Return the register rows that use a thread by FAMILY/ROW, each with its own thread."""
    rows = shelf.once("rows by thread", lambda: _rows_by_thread(shelf))
    return rows.get(address_of(reference), ())


def _rows_by_thread(shelf: Shelf) -> dict[str, list[tuple[str, Thread]]]:
    """Return the register rows of each thread's page, by its address."""
    found: dict[str, list[tuple[str, Thread]]] = {}
    for key, (_, row) in shelf.rows.items():
        thread = shelf.thread(row.thread)
        if thread is not None and (address := shelf.thread_address(thread)):
            found.setdefault(address, []).append((key, thread))
    return found


def thread_row(shelf: Shelf, reference: Reference, thread: Thread) -> IndexRow:
    """Return a thread as a line of the list of screws: its diameter and its pitch."""
    told = describe_thread(thread, house=shelf.house)
    size = _mm(told["major_mm"]) if told.get("major_mm") else Markup("")
    pitch = f"{told['tpi']:g} to the inch" if told.get("tpi") else f"pitch {told['pitch_mm']:g} mm"
    places = len(_rows_of(shelf, reference))
    end = f"{places} {'place' if places == 1 else 'places'}" if places else ""
    says = size + Markup(", {}").format(pitch)
    return IndexRow(LinkView(stamp(str(thread)), address_of(reference)), says, end)
