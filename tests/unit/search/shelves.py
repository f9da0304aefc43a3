"""Small shelves for the tests of this room."""

from __future__ import annotations

from kbgen.search import Facet, SearchDocument, Shelf, ThreadPage, Widening


def note(number: int, title: str, body: str, **more: object) -> SearchDocument:
    given = {"lines": (body,), "fix": f"Mend {title.lower()}.", **more}
    return SearchDocument(number, title, body, **given)  # type: ignore[arg-type]


NOTES = (
    note(1, "Bobbin winder tyre slips", "The spool never fills and the winder stalls.",
         names=("Halverin H",), facets=(Facet("family", "halverin-h", "Halverin H"),),
         caution="caution"),
    note(2, "Skipped stitches", "The hook misses the thread at every third stitch."),
    note(3, "Lamp bracket works loose", "The lamp droops.", stated=("5/16-18 UNC", "2 N·m")),
    note(4, "Foot control gets hot", "It smells of burning; unplug the machine.",
         caution="danger"),
    note(7, "Seized hand wheel", "Old oil has turned to gum and nothing turns.",
         stated=("M6x1",)),
)  # fmt: skip

SHELF = Shelf.of(
    NOTES,
    [ThreadPage("5/16-18 UNC", "t/5_16-18-unc.html"), ThreadPage("M6x1", "t/m6x1.html")],
    [Widening(("little rubber wheel",), ("winder tyre",))],
)
