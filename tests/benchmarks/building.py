"""Measure builds: python tests/benchmarks/building.py [NOTES ...]. Prints a table, then JSON.

For each size one tree is written and, within one run: the floor, a full build, a build
after one edit, a build with nothing changed, an inspection, and the start of a command at
the bench beside a bare interpreter. The floor is what cannot be left out, done by one
process with ready-made libraries: every file read and loaded with libyaml, every body
rendered by markdown-it-py, every page set by Jinja with our templates from views made
before, everything written, and the notes indexed by Whoosh with the same fields, from
texts gathered before.

Seconds are those of the wall and those of all processors together; where other work goes
on beside, the latter tell more. Memory is the most that all processes of a build held
together: what they share counts once (the proportional set sizes of proc(5), added up).
"""

from __future__ import annotations

import gc
import json
import math
import os
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING, Any

ROOT = Path(__file__).resolve().parents[2]
HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(ROOT), str(HERE)]

if TYPE_CHECKING:
    from kbgen.checks import Checked

SETTLED_S = 2.5
"""So long after it was written a file is trusted by its size and times."""


MOST_FOR_FLOOR = 10_000
"""Beyond it the floor is left out: it holds the views of all pages."""
SAMPLED_S = 0.2
"""So often the memory of a build is looked at; a look at 2 GB takes about 10 ms."""


def timed(command: list[str]) -> dict[str, float]:
    """Run a command; its seconds by the wall and by all processors."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    start = time.perf_counter()
    subprocess.run(command, cwd=ROOT, check=True, capture_output=True)
    wall = time.perf_counter() - start
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    used = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return {"wall_s": round(wall, 3), "cpu_s": round(used, 3)}


def memory_kb(command: list[str]) -> int:
    """Run a command; return the most that it and its processes held together, in KB."""
    most = 0
    with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.DEVNULL) as running:
        while running.poll() is None:
            most = max(most, sum(map(_proportional_kb, _family(running.pid))))
            time.sleep(SAMPLED_S)
    return most


def _family(process: int) -> list[int]:
    """Return a process and all that it started."""
    try:
        told = Path(f"/proc/{process}/task/{process}/children").read_text(encoding="ascii")
    except OSError:
        return [process]
    return [process, *(one for child in told.split() for one in _family(int(child)))]


def _proportional_kb(process: int) -> int:
    try:
        told = Path(f"/proc/{process}/smaps_rollup").read_text(encoding="ascii")
    except OSError:  # it has just ended
        return 0
    return next((int(line.split()[1]) for line in told.splitlines() if line[:4] == "Pss:"), 0)


def measured(notes: int, place: Path) -> dict[str, Any]:
    """All figures of one size."""
    from trees import write_tree

    tree, fresh = place / f"tree-{notes}", place / f"fresh-{notes}"
    write_tree(tree, notes)
    write_tree(fresh, notes)
    time.sleep(SETTLED_S)
    kbgen = [sys.executable, "-m", "kbgen"]
    build = [*kbgen, "build", "--tree", str(tree)]
    found = {"full": timed(build)}
    time.sleep(SETTLED_S)
    timed(build)  # the ledger was written by the first: it is looked at once more
    found["nothing changed"] = timed(build)
    note = sorted((tree / "content" / "notes").iterdir())[notes // 2]
    for words in ("One sentence more.", "And one."):
        note.write_text(note.read_text(encoding="utf-8") + f"\n{words}\n", encoding="utf-8")
        found["one edit"] = timed(build)
    shutil.rmtree(tree)
    found["inspect"] = timed([*kbgen, "inspect", "--tree", str(fresh)])
    if notes <= MOST_FOR_FLOOR:
        floored = [sys.executable, str(HERE / "building.py"), "--floor", str(fresh)]
        subprocess.run(floored, check=True)
        found["floor"] = json.loads((fresh / "prepared.json").read_text(encoding="utf-8"))
    held = memory_kb([*kbgen, "build", "--tree", str(fresh)])
    shutil.rmtree(fresh)
    found["thread"] = best([*kbgen, "thread", "1/4-20 UNC"])
    found["bare start"] = best([sys.executable, "-c", "pass"])
    return {
        "notes": notes,
        "measured": found,
        "memory_kb": held,
        "ratios": {**ratios(found), "memory, KB a note": round(held / notes, 1)},
    }


def best(command: list[str]) -> dict[str, float]:
    """The quickest of nine runs: what a start costs when nothing is in the way."""
    return min((timed(command) for _ in range(9)), key=lambda one: one["wall_s"])


def ratios(found: dict[str, dict[str, float]]) -> dict[str, float]:
    """Return the figures that are held to a goal, by the wall and by all processors."""
    return {
        f"{name} / {of}, {unit}": round(found[name][key] / found[of][key], 4)
        for name, of in (
            ("full", "floor"),
            ("one edit", "full"),
            ("nothing changed", "full"),
            ("inspect", "full"),
            ("thread", "bare start"),
        )
        for key, unit in (("wall_s", "wall"), ("cpu_s", "processors"))
        if of in found
    }


# --- the floor


def floor(tree: Path) -> None:
    """Do what cannot be left out, and leave its seconds in ``prepared.json``."""
    from kbgen.checks import checked_tree

    checked = checked_tree(tree)
    made, texts = views_of(checked, tree), texts_of(checked)
    out = tree / "floor"
    gc.collect()
    gc.freeze()  # what was made before is not looked through again and again
    start, used = time.perf_counter(), time.process_time()
    load_all(tree)
    for path, render in made:
        file = out / path
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_bytes(render())
    index_all(texts, tree / "floor-index")
    told = {"wall_s": time.perf_counter() - start, "cpu_s": time.process_time() - used}
    (tree / "prepared.json").write_text(json.dumps(told), encoding="utf-8")
    shutil.rmtree(out)
    shutil.rmtree(tree / "floor-index")


def load_all(tree: Path) -> None:
    """Read and load every file, and render every body."""
    import yaml
    from markdown_it import MarkdownIt

    loader = yaml.CSafeLoader
    markdown = MarkdownIt("commonmark").enable("table")
    for path in sorted((tree / "content").rglob("*")):
        if path.suffix == ".yaml":
            yaml.load(path.read_text(encoding="utf-8"), Loader=loader)
        elif path.suffix == ".md":
            _, front, body = path.read_text(encoding="utf-8").split("---\n", 2)
            yaml.load(front, Loader=loader)
            if path.parent.name == "notes":
                markdown.render(body)


def index_all(texts: list[tuple[int, str, str, str]], folder: Path) -> None:
    """Analyse and index every note. Shape: number, title, all its other words, what is shown."""
    from whoosh import fields, index

    from kbgen.search import analyse

    schema = fields.Schema(
        number=fields.ID(stored=True, unique=True),
        content=fields.KEYWORD(scorable=True),
        pairs=fields.KEYWORD,
        digest=fields.STORED,
        length=fields.STORED,
        shown=fields.STORED,
    )
    folder.mkdir()
    writer = index.create_in(str(folder), schema).writer(limitmb=256)
    for number, title, words, shown in texts:
        titled = analyse(title)
        terms = [*titled, *analyse(words)]
        writer.add_document(
            number=str(number),
            content=terms,
            pairs=[f"{one}_{two}" for one, two in pairwise(titled)],
            digest=str(number),
            length=len(terms),
            shown=shown,
        )
    writer.commit()


def texts_of(checked: Checked) -> list[tuple[int, str, str, str]]:
    """Return what is indexed of every note: gathered before, as views are made before."""
    from kbgen.search.gather import TreeNotes

    told = TreeNotes(checked)
    shown = [told.shown(note.number) for note in checked.published]
    return [
        (
            one.number,
            one.title,
            " ".join([*(facet.name for facet in one.facets), *one.lines, one.fix, note.plain]),
            json.dumps(one.plain()),
        )
        for one, note in zip(shown, checked.published, strict=True)
    ]


def views_of(checked: Checked, tree: Path) -> list[tuple[str, Callable[[], bytes]]]:
    """Return the pages of a tree with their views made, each to be set by its template."""
    from kbgen.pages import Press

    press = Press(checked, tree / "templates")
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
            cells = (one["measured"].get(name, {}).get(key) for one in found)
            lines.append(f"{name}, {unit}".ljust(44) + "".join(map(_cell, cells)))
    for name in found[0]["ratios"]:
        cells = (one["ratios"].get(name) for one in found)
        lines.append(name.ljust(44) + "".join(map(_cell, cells)))
    for before, after in pairwise(found):
        sizes = before["notes"], after["notes"]
        decades = math.log10(sizes[1] / sizes[0])
        for key, unit in (("wall_s", "wall"), ("cpu_s", "processors")):
            grown = after["measured"]["full"][key] / before["measured"]["full"][key]
            name = f"growth {sizes[0]:,} to {sizes[1]:,}, x a decade, {unit}"
            lines.append(name.ljust(44) + f"{grown ** (1 / decades):12.2f}")
    return "\n".join(lines)


def _cell(figure: float | None) -> str:
    return "-".rjust(12) if figure is None else f"{figure:12.4f}"


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
