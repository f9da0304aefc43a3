"""How heavy a page may be: a family's register of forty places, its style with it."""

from __future__ import annotations

import gzip
import re
import shutil
from pathlib import Path

import yaml

from kbgen.checks import check
from kbgen.content import load_tree
from kbgen.pages import render_site

ROOT = Path(__file__).parents[3]
PLACES, MOST = 40, 24_000
LONG = re.compile(r'<figure class="draw laid">.*?</figure>', re.DOTALL)


def forty_places(content: Path) -> None:
    """Fill up a register of the demonstration with places of its other families."""
    files = sorted((content / "families").glob("*.yaml"))
    read = {path: yaml.load(path.read_text("utf-8"), yaml.BaseLoader) for path in files}
    path = max(files, key=lambda path: len(read[path].get("fasteners", ())))
    family = read.pop(path)
    rows = {row["id"]: row for row in family["fasteners"]}
    for other in read.values():
        for row in other.get("fasteners", ()):
            row.pop("variants", None)
            if len(rows) < PLACES:
                rows.setdefault(row["id"], row)
    family["fasteners"] = list(rows.values())
    path.write_text(yaml.safe_dump(family, allow_unicode=True, sort_keys=False), "utf-8")


def test_forty_places_are_at_most_24000_bytes_compressed(tmp_path: Path) -> None:
    """With its style and the drawing of every place; pictures and long drawings apart.

    The long ones are of threads laid over each other, of which a register that is filled up
    with seven makers' threads has many times more than a machine. What notes say of the
    family is the workshop's doing and left out: tests/browser/test_ways.py weighs the pages
    of the demonstration whole.
    """
    shutil.copytree(ROOT / "content", tmp_path / "content")
    forty_places(tmp_path / "content")
    for folder in ("notes", "questions", "recordings"):
        shutil.rmtree(tmp_path / "content" / folder)
    files = render_site(check(load_tree(tmp_path)))
    pages = [data.decode("utf-8") for path, data in files if path.startswith("m/")]
    page = max(pages, key=lambda text: text.count('class="label"'))
    assert page.count('class="label"') == PLACES
    assert page.count('class="piece"') == PLACES
    bare, long_ones = LONG.subn("", page)
    assert long_ones >= 10
    size = len(gzip.compress(bare.encode("utf-8"), 9, mtime=0))
    assert size <= MOST, f"{size} bytes"
    assert len(gzip.compress(page.encode("utf-8"), 9, mtime=0)) - size <= 300 * long_ones
