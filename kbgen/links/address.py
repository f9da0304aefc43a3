"""The address of everything, from the root of the site.

Addresses never hold a title: a title may change, an address may not.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from kbgen.links.reference import Reference, Scheme, clock, seconds
from kbgen.units import Thread, parse_thread

__all__ = [
    "FIXED_PAGES",
    "address_of",
    "moment_anchor",
    "original",
    "plain_thread",
    "printed_form",
    "thread_slug",
]

FIXED_PAGES = (
    "about.html",
    "corrections.html",
    "families.html",
    "find.html",
    "index.html",
    "measure.html",
    "notes.html",
    "parts.html",
    "questions.html",
    "recordings.html",
    "screws.html",
    "serial.html",
    "symptoms.html",
    "torque.html",
)
"""The pages that every site has, whatever its content."""

_FOLDERS = {
    Scheme.FAMILY: "m",
    Scheme.FASTENER: "m",
    Scheme.PART: "p",
    Scheme.RECORDING: "r",
    Scheme.SYMPTOM: "s",
}


def address_of(reference: Reference) -> str:
    """Return the address of what a reference names, whether it exists or not.

    Shape: ``n/0017.html``, ``m/halverin-h.html#needle-clamp``, ``t/sm11_64-40.html``,
    ``r/winder-evening.html#t-12-40``, ``s/skips-stitches.html``, ``q/0012.html``.
    """
    match reference.scheme:
        case Scheme.NOTE:
            return f"n/{int(reference.target):04}.html"
        case Scheme.QUESTION:
            return f"q/{int(reference.target):04}.html"
        case Scheme.PAGE:
            return f"{reference.target}.html"
        case Scheme.THREAD:
            return f"t/{thread_slug(parse_thread(reference.target))}.html"
        case Scheme.RECORDING:
            anchor = moment_anchor(reference.detail) if reference.detail else ""
        case _:
            anchor = reference.detail
    page = f"{_FOLDERS[reference.scheme]}/{reference.target}.html"
    return f"{page}#{anchor}" if anchor else page


_PRINTED = {"n": "c", "m": "g"}
"""The folders of notes and families, and those of their bench cards and pitch cards."""


def printed_form(page: str) -> str:
    """Return the address of the card that is printed of a note or a family.

    Shape: ``n/0017.html`` → ``c/0017.html``, ``m/halverin-h.html`` → ``g/halverin-h.html``;
    empty for a page that has none.
    """
    return _in_other_folder(page, _PRINTED)


def original(page: str) -> str:
    """Return the page that a card was printed of, empty for what is no card."""
    return _in_other_folder(page, {card: folder for folder, card in _PRINTED.items()})


def _in_other_folder(page: str, folders: Mapping[str, str]) -> str:
    folder, _, name = page.partition("/")
    return f"{folders[folder]}/{name}" if folder in folders and "#" not in name else ""


def moment_anchor(moment: str) -> str:
    """Return the anchor of a recording's moment: ``t-12-40``, ``t-1-02-40``.

    Raises: ValueError for what is no moment.
    """
    return "t-" + clock(seconds(moment)).replace(":", "-")


def plain_thread(thread: Thread) -> Thread:
    """Return a thread without its class and hand: all of them share one page."""
    return replace(thread, fit_class=None, left_hand=False)


def thread_slug(thread: Thread) -> str:
    """Return the part of an address that stands for a thread.

    The canonical form in lower case, "/" as "_" and " " as "-". No two threads share
    one: canonical forms hold neither "_" nor two that differ in upper case alone, and
    a "-" before a pitch is followed by a figure where one that was a blank before a
    series or a name is followed by a letter, before a fraction by a figure with "_".
    """
    return str(plain_thread(thread)).lower().replace("/", "_").replace(" ", "-")
