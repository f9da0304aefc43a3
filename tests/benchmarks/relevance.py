"""Measure the ranking on a test collection: python tests/benchmarks/relevance.py FOLDER.

FOLDER holds docs.jsonl (id, title, text), queries.jsonl (id, text) and qrels.tsv. Prints
JSON: the bench and the page's own script in a real browser, with and without slips, and
general-purpose libraries beside them in the same run.
"""

from __future__ import annotations

import json
import random
import shutil
import sys
import tempfile
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "browser")]

from chromium import launched  # noqa: E402
from collections_read import TestCollection, read_collection  # noqa: E402
from libraries import rankers  # noqa: E402
from measures import TOP, interval, ndcg, recall, reciprocal_rank  # noqa: E402
from slips import SHARE, with_slips  # noqa: E402

from kbgen.search import Bench, Shelf  # noqa: E402
from kbgen.search.shelf_files import shelf_files  # noqa: E402

PAGE = """<!doctype html><html lang="en"><head><meta charset="utf-8"><title>find</title>
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; script-src 'self'">
<script src="find.js" defer></script></head><body></body></html>"""
ASK = """async (questions) => {
  const found = [];
  for (const text of questions) {
    const { hits } = await kbgenFind.find(text, 10);
    found.push(hits.map((hit) => hit.note));
  }
  return found;
}"""
AT_ONCE = 200


def measure(folder: Path) -> dict[str, Any]:
    """Return every figure for one collection."""
    collection = read_collection(folder)
    texts = [text for _, text in collection.questions]
    chance = random.Random(20260301)
    bad = [with_slips(text, chance) for text in texts]
    with tempfile.TemporaryDirectory() as place:
        shelf = collection.shelf()
        bench = Bench(Path(place) / "index", lambda: shelf, lambda: collection.name)
        at_bench = [[r.note for r in bench.find(text, TOP).results] for text in texts + bad]
        in_page = page_rankings(shelf, texts + bad, Path(place) / "site")
    same = [one == other for one, other in zip(at_bench, in_page, strict=True)]
    half = len(texts)
    clean = judged(collection, [collection.ids(row) for row in at_bench[:half]])
    report: dict[str, Any] = {
        "collection": collection.name,
        "documents": len(collection.documents),
        "questions": half,
        "slipped_share_of_words": SHARE,
        "identical_first_ten": {
            "clean": sum(same[:half]) / half,
            "slipped": sum(same[half:]) / half,
        },
        "bench": summary(clean),
        "page": summary(judged(collection, [collection.ids(row) for row in in_page[:half]])),
    }
    slipped = judged(collection, [collection.ids(row) for row in at_bench[half:]])
    report["bench, slipped"] = summary(slipped)
    report["page, slipped"] = summary(
        judged(collection, [collection.ids(row) for row in in_page[half:]])
    )
    report["slipped_of_clean"] = round(mean(slipped["ndcg@10"]) / mean(clean["ndcg@10"]), 4)
    report["libraries"] = beside(collection, clean["ndcg@10"], texts)
    return report


def page_rankings(shelf: Shelf, texts: Sequence[str], site: Path) -> list[list[int]]:
    """Ask the page's own script in a real browser, from the disk."""
    for path, data in shelf_files(shelf).items():
        (site / path).parent.mkdir(parents=True, exist_ok=True)
        (site / path).write_bytes(data)
    shutil.copy(ROOT / "templates" / "scripts" / "find.js", site / "find.js")
    (site / "find.html").write_text(PAGE, encoding="utf-8")
    found: list[list[int]] = []
    with launched() as browser:
        page = browser.new_page()
        page.goto((site / "find.html").as_uri())
        for start in range(0, len(texts), AT_ONCE):
            found += page.evaluate(ASK, list(texts[start : start + AT_ONCE]))
    return found


def beside(
    collection: TestCollection, ours: Sequence[float], texts: Sequence[str]
) -> dict[str, Any]:
    """Measure the libraries, and how far the bench is ahead of each."""
    found = {}
    for name, ranker in rankers(collection).items():
        theirs = judged(collection, [ranker(text) for text in texts])
        ahead = [a - b for a, b in zip(ours, theirs["ndcg@10"], strict=True)]
        found[name] = {**summary(theirs), "bench_ahead_ndcg@10": interval(ahead)}
    return found


MEASURES: dict[str, Callable[[Sequence[str], dict[str, int]], float]] = {
    "ndcg@10": ndcg,
    "mrr": reciprocal_rank,
    "recall@10": recall,
}


def judged(collection: TestCollection, rankings: Sequence[list[str]]) -> dict[str, list[float]]:
    """Return each measure for each question."""
    rights = [collection.right[id_] for id_, _ in collection.questions]
    return {
        name: [measure(ranking, right) for ranking, right in zip(rankings, rights, strict=True)]
        for name, measure in MEASURES.items()
    }


def summary(values: dict[str, list[float]]) -> dict[str, dict[str, float]]:
    return {name: interval(each) for name, each in values.items()}


def mean(values: Sequence[float]) -> float:
    return sum(values) / len(values)


if __name__ == "__main__":
    if len(sys.argv) != 2 or not Path(sys.argv[1]).is_dir():
        print(__doc__, file=sys.stderr)
        sys.exit(2)
    print(json.dumps(measure(Path(sys.argv[1])), indent=2, ensure_ascii=False))
