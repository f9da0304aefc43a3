"""Draw the pictures of the demonstration: python tests/demonstration/pictures/draw_pictures.py.

Each is written to content/photos, in place of the one that stands there.
"""

from __future__ import annotations

from pathlib import Path

import fastening
import holding
import sewing

ROOT = Path(__file__).parents[3]
PICTURES = {**sewing.PICTURES, **fastening.PICTURES, **holding.PICTURES}


def main() -> None:
    """Draw all of them."""
    folder = ROOT / "content" / "photos"
    folder.mkdir(exist_ok=True)
    for name, draw in PICTURES.items():
        draw().finished().save(folder / name, optimize=True)


if __name__ == "__main__":
    main()
