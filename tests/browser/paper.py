"""Paper: the three sheets, a page printed on one of them, and what is measured on it."""

from __future__ import annotations

import io
import logging
import re
from dataclasses import dataclass
from pathlib import Path

import pdfplumber
from playwright.sync_api import Page

SHEETS = ("A4", "Letter", "A5")
MM = 25.4 / 72
"""A point of a PDF in millimetres."""

_PAGES = re.compile(rb"/Type\s*/Page\b")

# what pdfminer says of fonts is no fault of ours
logging.getLogger("pdfminer").setLevel(logging.ERROR)


@dataclass(frozen=True)
class Box:
    """A filled or stroked shape on paper. Units: millimetres."""

    wide: float
    high: float


@dataclass(frozen=True)
class Printed:
    """A page as it left the printer."""

    pdf: bytes

    @property
    def pages(self) -> int:
        """How many sheets it took."""
        return len(_PAGES.findall(self.pdf))

    def read(self) -> tuple[str, list[Box]]:
        """Return the text of all sheets without its blanks, in its own order, and the boxes."""
        letters, boxes = [], []
        with pdfplumber.open(io.BytesIO(self.pdf)) as document:
            assert len(document.pages) == self.pages
            for page in document.pages:
                letters += [char["text"] for char in page.chars]
                boxes += [
                    Box(float(shape["width"]) * MM, float(shape["height"]) * MM)
                    for shape in (*page.rects, *page.curves, *page.lines)
                ]
        return "".join("".join(letters).split()), boxes


def printed(page: Page, address: str, sheet: str, save: Path | None = None) -> Printed:
    """Print the page of an address at 100 % on a sheet."""
    page.goto(address)
    page.evaluate("document.fonts.ready.then(() => null)")
    return Printed(page.pdf(format=sheet, path=save))
