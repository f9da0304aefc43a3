"""Paper: the three sheets, a page printed on one of them, and what is measured on it."""

from __future__ import annotations

from dataclasses import dataclass

import pypdfium2
import pypdfium2.raw
from playwright.sync_api import Page

SHEETS = ("A4", "Letter", "A5")
MM = 25.4 / 72
"""A point of a PDF in millimetres."""


@dataclass(frozen=True)
class Box:
    """A filled or stroked shape on paper. Units: millimetres."""

    wide: float
    high: float


@dataclass(frozen=True)
class Printed:
    """A page as it left the printer.

    Shape: ``text`` is that of all sheets in its own order, without its blanks.
    """

    sheets: int
    text: str
    boxes: list[Box]

    def wide(self, high: float, least: float = 0) -> list[float]:
        """Return how wide the shapes of a height are, those of ``least`` and more."""
        return [box.wide for box in self.boxes if abs(box.high - high) < 0.05 <= box.wide - least]


def printed(page: Page, sheet: str) -> Printed:
    """Print the page that is open at 100 % on a sheet."""
    text, boxes = "", []
    document = pypdfium2.PdfDocument(page.pdf(format=sheet))
    for side in document:
        text += side.get_textpage().get_text_range()
        for shape in side.get_objects(filter=[pypdfium2.raw.FPDF_PAGEOBJ_PATH], max_depth=6):
            left, low, right, high = shape.get_bounds()
            boxes.append(Box((right - left) * MM, (high - low) * MM))
    return Printed(len(document), "".join(text.split()), boxes)
