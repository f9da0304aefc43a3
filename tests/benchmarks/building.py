"""Measure builds: python tests/benchmarks/building.py [NOTES ...]. Prints a table, then JSON.

For each size one tree is written and, within one run: the floor, a full build, a build
after one edit, a build with nothing changed, an inspection, and the start of a command at
the bench beside a bare interpreter. The floor is what cannot be left out, done by one
process with ready-made libraries: every file read and loaded with libyaml, every body
rendered by markdown-it-py, every page set by Jinja with our templates from views made
before, everything written, and the notes indexed by Whoosh with the same fields.

Seconds are those of the wall and those of all processors together; where other work goes
on beside, the latter tell more. Memory is the most that any one process held.
"""

from __future__ import annotations

import json
import os
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(ROOT), str(HERE)]

SETTLED_S = 2.5
"""So long after it was written a file is trusted by its size and times."""


def timed(command: list[str]) -> dict[str, float]:
    """Run a command; its seconds by the wall, by all processors, and its memory in KB."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    start = time.perf_counter()
    subprocess.run(command, cwd=ROOT, check=False, capture_output=True)
    wall = time.perf_counter() - start
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    used = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return {"wall_s": round(wall, 3), "cpu_s": round(used, 3), "rss_kb": after.ru_maxrss}


def measured(notes: int, place: Path) -> dict[str, Any]:
    """All figures of one size."""
    from trees import write_tree

    tree = place / f"tree-{notes}"
    write_tree(tree, notes)
    time.sleep(SETTLED_S)
    kbgen = [sys.executable, "-m", "kbgen"]
    build = [*kbgen, "build", "--tree", str(tree)]
    found = {"full": timed(build)}
    found["ledger written"] = timed(build)
    found["nothing changed"] = timed(build)
    note = sorted((tree / "content" / "notes").iterdir())[notes // 2]
    note.write_text(note.read_text(encoding="utf-8") + "\nOne sentence more.\n", encoding="utf-8")
    found["one edit"] = timed(build)
    fresh = place / f"fresh-{notes}"
    write_tree(fresh, notes)
    found["inspect"] = timed([*kbgen, "inspect", "--tree", str(fresh)])
    found["floor"] = timed([sys.executable, str(HERE / "building.py"), "--floor", str(fresh)])
    prepared = json.loads((fresh / "prepared.json").read_text(encoding="utf-8"))
    found["floor"] = {"wall_s": prepared["wall_s"], "cpu_s": prepared["cpu_s"], "rss_kb": 0}
    found["thread"] = best([*kbgen, "thread", "1/4-20 UNC"])
    found["bare start"] = best([sys.executable, "-c", "pass"])
    return {"notes": notes, "measured": found, "ratios": ratios(notes, found)}


def best(command: list[str]) -> dict[str, float]:
    """The quickest of nine runs: what a start costs when nothing is in the way."""
    return min((timed(command) for _ in range(9)), key=lambda one: one["wall_s"])


def ratios(notes: int, found: dict[str, dict[str, float]]) -> dict[str, float]:
    """The figures that are held to a goal, by processor time; the first also by the wall."""
    full = found["full"]

    def share(name: str, of: str, key: str = "cpu_s") -> float:
        return round(found[name][key] / found[of][key], 4)

    return {
        "full / floor, wall": share("full", "floor", "wall_s"),
        "full / floor, processors": share("full", "floor"),
        "one edit / full": share("one edit", "full"),
        "nothing changed / full": share("nothing changed", "full"),
        "inspect / full": share("inspect", "full"),
        "thread / bare start, wall": share("thread", "bare start", "wall_s"),
        "memory of the largest process, KB a note": round(full["rss_kb"] / notes, 1),
    }


# --- the floor


def floor(tree: Path) -> None:
    """Do what cannot be left out, and leave its seconds in ``prepared.json``."""
    made = views_of(tree)
    start, used = time.perf_counter(), time.process_time()
    load_all(tree)
    out = tree / "floor"
    for path, render in made:
        file = out / path
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_bytes(render())
    told = {"wall_s": time.perf_counter() - start, "cpu_s": time.process_time() - used}
    (tree / "prepared.json").write_text(json.dumps(told), encoding="utf-8")


def load_all(tree: Path) -> None:
    """Read and load every file, render every body, index the notes."""
    import yaml
    from markdown_it import MarkdownIt
    from whoosh import fields, index

    from kbgen.search import analyse

    loader = yaml.CSafeLoader
    markdown = MarkdownIt("commonmark").enable("table")
    schema = fields.Schema(
        number=fields.ID(stored=True, unique=True),
        content=fields.KEYWORD(scorable=True),
        pairs=fields.KEYWORD,
        shown=fields.STORED,
    )
    folder = tree / "floor-index"
    folder.mkdir()
    writer = index.create_in(str(folder), schema).writer(limitmb=256)
    for path in sorted((tree / "content").rglob("*")):
        if path.suffix == ".yaml":
            yaml.load(path.read_text(encoding="utf-8"), Loader=loader)
        elif path.suffix == ".md":
            _, front, body = path.read_text(encoding="utf-8").split("---\n", 2)
            told = yaml.load(front, Loader=loader)
            if path.parent.name == "notes":
                markdown.render(body)
                title = analyse(told["title"])
                terms = [*title, *analyse(body), *analyse(" ".join(told["symptom"]))]
                pairs = [f"{one}_{two}" for one, two in pairwise(title)]
                writer.add_document(
                    number=path.name[:4], content=terms, pairs=pairs, shown=told["title"]
                )
    writer.commit()


def views_of(tree: Path) -> list[tuple[str, Callable[[], bytes]]]:
    """The pages of a tree with their views made, each to be set by its template."""
    from kbgen.checks import checked_tree
    from kbgen.pages import Press

    press = Press(checked_tree(tree), tree / "templates")
    return [
        (page.path, lambda page=page: press._laid.render(page))
        for _, make in press._makers
        for page in make()
    ]


def table(found: list[dict[str, Any]]) -> str:
    """The figures as a table, a size a column."""
    lines = ["".ljust(44) + "".join(f"{one['notes']:>12,}" for one in found)]
    for name in found[0]["measured"]:
        for key, unit in (("wall_s", "wall s"), ("cpu_s", "processors s")):
            cells = "".join(f"{one['measured'][name][key]:12.2f}" for one in found)
            lines.append(f"{name}, {unit}".ljust(44) + cells)
    lines += [
        name.ljust(44) + "".join(f"{one['ratios'][name]:12.4f}" for one in found)
        for name in found[0]["ratios"]
    ]
    for before, after in pairwise(found):
        grown = after["measured"]["full"]["cpu_s"] / before["measured"]["full"]["cpu_s"]
        lines.append(
            f"growth {before['notes']:,} to {after['notes']:,}".ljust(44) + f"{grown:12.2f}"
        )
    return "\n".join(lines)


def main(sizes: list[int]) -> None:
    with tempfile.TemporaryDirectory(dir=os.environ.get("TMPDIR")) as place:
        found = [measured(notes, Path(place)) for notes in sizes]
    print(table(found))
    print(json.dumps(found, indent=1))


if __name__ == "__main__":
    if sys.argv[1:2] == ["--floor"]:
        floor(Path(sys.argv[2]))
    else:
        main([int(size) for size in sys.argv[1:]] or [1_000, 10_000])
