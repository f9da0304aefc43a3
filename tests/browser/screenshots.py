"""Screenshots of every page kind: ``python tests/browser/screenshots.py SITE OUTDIR``.

360 and 1280 px wide, light and dark, from the disk; and each page as it prints on A4.
"""

from __future__ import annotations

import sys
from pathlib import Path

from chromium import launched
from kinds import one_of_each

WIDTHS = (360, 1280)
SCHEMES = ("light", "dark")


def shoot(site: Path, out: Path) -> int:
    """Write the pictures and return how many there are."""
    out.mkdir(parents=True, exist_ok=True)
    count = 0
    with launched() as browser:
        for path in one_of_each(site):
            name = path.removesuffix(".html").replace("/", "-")
            for width in WIDTHS:
                for scheme in SCHEMES:
                    context = browser.new_context(
                        viewport={"width": width, "height": 900},
                        color_scheme=scheme,  # type: ignore[arg-type]
                    )
                    page = context.new_page()
                    page.goto((site / path).as_uri())
                    page.evaluate("document.fonts.ready.then(() => null)")
                    page.reload()  # a face that came too late the first time is there now
                    page.screenshot(path=out / f"{name}-{width}-{scheme}.png", full_page=True)
                    if width == WIDTHS[-1] and scheme == "light":
                        page.pdf(path=out / f"{name}-a4.pdf", format="A4")
                    context.close()
                    count += 1
    return count


if __name__ == "__main__":
    if len(sys.argv) != 3:
        sys.exit(__doc__)
    made = shoot(Path(sys.argv[1]).resolve(), Path(sys.argv[2]).resolve())
    print(f"{made} pictures in {sys.argv[2]}")
