"""Measure size and speed: python tests/benchmarks/sizes.py [NOTES]. Prints JSON.

The whole page index gzipped, what one three-word question loads of it, and, in a real
browser slowed four times, how long a key stroke waits for its results (5,000 notes).
"""

from __future__ import annotations

import gzip
import json
import random
import shutil
import sys
import tempfile
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "browser")]

from chromium import launched  # noqa: E402
from invented import invented  # noqa: E402

from kbgen.search import SearchDocument, Shelf  # noqa: E402
from kbgen.search.analysis import STOP_WORDS, words  # noqa: E402
from kbgen.search.shelf_files import shelf_files  # noqa: E402

TYPED_NOTES = 5000
SLOWED = 4
PAGE = """<!doctype html><html lang="en"><head><meta charset="utf-8"><title>find</title>
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; script-src 'self'">
<script src="find.js" defer></script></head><body><form id="find-form" role="search">
<label>Find <input id="find-query" name="q"></label></form><p id="find-status" role="status"></p>
<ol id="find-results"></ol></body></html>"""
TYPE = """async (text) => {
  const field = document.getElementById("find-query");
  const took = [];
  for (let end = 1; end <= text.length; end += 1) {
    field.value = text.slice(0, end);
    const before = performance.now();
    field.dispatchEvent(new Event("input", { bubbles: true }));
    await kbgenFind.settled();
    took.push(performance.now() - before);
    await new Promise((done) => setTimeout(done, 30));
  }
  return took;
}"""


def main(notes: int) -> dict[str, Any]:
    documents = list(invented(notes))
    with tempfile.TemporaryDirectory() as place:
        site = Path(place)
        sizes = written(documents, site)
        return {
            "notes": notes,
            "index_gzip": sum(sizes.values()),
            "one_question_gzip": spread(loaded(documents, site, sizes)),
            "key_stroke_ms": typed(),
        }


def written(documents: list[SearchDocument], site: Path) -> dict[str, int]:
    """Write the site and return each index file's size, gzipped by itself."""
    sizes = {}
    (site / "find").mkdir()
    for path, data in shelf_files(Shelf.of(documents)).items():
        (site / path).write_bytes(data)
        sizes[path] = len(gzip.compress(data, 9))
    shutil.copy(ROOT / "templates" / "scripts" / "find.js", site / "find.js")
    (site / "find.html").write_text(PAGE, encoding="utf-8")
    return sizes


def loaded(documents: list[SearchDocument], site: Path, sizes: dict[str, int]) -> list[int]:
    """What three words of a title and a symptom load, each time in a new page."""
    chance = random.Random(7)
    found = []
    with launched() as browser:
        while len(found) < 100:
            document = chance.choice(documents)
            said = words(f"{document.title} {document.lines[0]}")
            plain = [word for word in dict.fromkeys(said) if word not in STOP_WORDS]
            if len(plain) < 3:
                continue
            page = browser.new_page()
            asked: set[str] = set()
            page.on("request", lambda request, asked=asked: asked.add(request.url))
            page.goto((site / "find.html").as_uri() + "?q=" + "+".join(chance.sample(plain, 3)))
            page.wait_for_function("document.querySelectorAll('#find-results li').length > 0")
            names = {"find/" + url.rpartition("/")[2] for url in asked}
            found.append(sum(sizes.get(name, 0) for name in names))
            page.close()
    return found


def typed() -> dict[str, float]:
    """How long a key stroke waits, typing twelve questions into a page just opened."""
    documents = list(invented(TYPED_NOTES))
    chance = random.Random(7)
    took: list[float] = []
    with tempfile.TemporaryDirectory() as place, launched() as browser:
        written(documents, Path(place))
        page = browser.new_page()
        page.goto((Path(place) / "find.html").as_uri())
        session = page.context.new_cdp_session(page)
        session.send("Emulation.setCPUThrottlingRate", {"rate": SLOWED})
        page.focus("#find-query")
        for document in chance.sample(documents, 12):
            took += page.evaluate(TYPE, document.lines[0])
    return spread(took)


def spread(values: list[Any]) -> dict[str, Any]:
    ordered = sorted(values)
    return {
        "count": len(ordered),
        "median": round(ordered[len(ordered) // 2], 1),
        "p95": round(ordered[len(ordered) * 95 // 100], 1),
        "most": round(ordered[-1], 1),
    }


if __name__ == "__main__":
    print(json.dumps(main(int(sys.argv[1]) if len(sys.argv) > 1 else 20_000), indent=2))
