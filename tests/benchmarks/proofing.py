"""How long a writer waits: from a save until the page is there anew.

    python tests/benchmarks/proofing.py NOTES [TREE]

Makes a tree of so many notes and builds its site, or takes the TREE that is given, a copy
of one with what a build has kept. Then starts the proof, saves one note after another and
asks over HTTP, as the script of a page does, until the save is told and the page has the
new words. Prints JSON, in seconds: ``start`` is until the first page is there; ``told`` is
from a save until it is told, ``page`` until the page with the new words is read, each the
median and the worst of all saves; ``processor`` is what the proof worked for each save.
"""

from __future__ import annotations

import http.client
import json
import os
import re
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import urlsplit

from trees import write_tree

SAVES = 7
GOAL_S = 1.0
WAIT_S = 60.0


def main(arguments: list[str]) -> int:
    """Print the figures; exit 1 where the goal is missed."""
    if len(arguments) > 1:
        found = measured(Path(arguments[1]))
    else:
        with tempfile.TemporaryDirectory() as folder:
            tree = Path(folder) / "tree"
            write_tree(tree, int(arguments[0]))
            subprocess.run([*_kbgen("build"), "--tree", str(tree)], check=True, capture_output=True)
            found = measured(tree)
    print(json.dumps({**found, "goal": GOAL_S}, indent=2))
    return 0 if found["page"]["median"] <= GOAL_S else 1


def _kbgen(command: str) -> list[str]:
    return [sys.executable, "-m", "kbgen", command]


def measured(tree: Path) -> dict[str, object]:
    """Return what is measured at one tree."""
    notes = sorted((tree / "content" / "notes").iterdir())
    chosen = notes[:: max(1, len(notes) // SAVES)][:SAVES]
    began = time.perf_counter()
    with proof_of(tree) as (process, host):
        _page(host, "/")
        start = time.perf_counter() - began
        told, pages, worked = [], [], []
        with _events(host) as events:
            next(events)
            for number, path in enumerate(chosen):
                before = _processor_s(process)
                wait = _saved(host, events, path, f"Mark the place {number} with chalk")
                told.append(wait[0])
                pages.append(wait[1])
                worked.append(_processor_s(process) - before)
    return {
        "notes": len(notes),
        "start": round(start, 2),
        "told": _summary(told),
        "page": _summary(pages),
        "processor": _summary(worked),
    }


def _summary(seconds: list[float]) -> dict[str, float]:
    return {"median": round(statistics.median(seconds), 2), "worst": round(max(seconds), 2)}


def _saved(host: str, events: Iterator[str], path: Path, words: str) -> tuple[float, float]:
    """Save a note with other words; return when that was told, and when its page had them."""
    number = int(path.name.partition("-")[0])
    text = path.read_text(encoding="utf-8")
    began = time.perf_counter()
    path.write_text(f"{text}\n{words}.\n", encoding="utf-8")
    told = 0.0
    while time.perf_counter() < began + WAIT_S:
        if not next(events).startswith("data:"):
            continue
        told = told or time.perf_counter() - began
        if words in _page(host, f"/n/{number:04}.html"):
            return told, time.perf_counter() - began
    raise TimeoutError(f"{path.name} was saved, and its page did not change")


@contextmanager
def proof_of(tree: Path) -> Iterator[tuple[int, str]]:
    """Yield the number of a proof's process and where it answers; end it afterwards."""
    command = [*_kbgen("proof"), "--tree", str(tree)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        found = re.search(r"http://\S+", process.stdout.readline())
        assert found is not None, "the proof did not start"
        try:
            yield process.pid, urlsplit(found[0]).netloc
        finally:
            process.terminate()


def _page(host: str, path: str) -> str:
    connection = http.client.HTTPConnection(host, timeout=WAIT_S)
    try:
        connection.request("GET", path)
        return connection.getresponse().read().decode()
    finally:
        connection.close()


@contextmanager
def _events(host: str) -> Iterator[Iterator[str]]:
    """Yield what is told: a line that begins with data for each reading."""
    connection = http.client.HTTPConnection(host, timeout=WAIT_S)
    connection.request("GET", "/_proof/events")
    answer = connection.getresponse()
    try:
        yield (line.decode() for line in iter(answer.readline, b""))
    finally:
        connection.close()


def _processor_s(process: int) -> float:
    """Return the processor time of a process, as Linux tells it (proc(5))."""
    fields = Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
