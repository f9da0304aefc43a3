"""What scanning prose for values costs, beside parsing the same Markdown.

    python tests/benchmarks/scanning.py [FOLDER]

Prints JSON: nanoseconds a letter of both, their ratio (the least of each over many
alternating rounds, so that a busy machine disturbs both alike), and the same for
twice and four times the text in one piece, which shows that the cost grows with
the text and no faster; so too single paragraphs of two, four and eight times a
length, made of what a scanner might look around at for long. FOLDER holds Markdown
notes; without it the demonstration's.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterable
from pathlib import Path
from time import perf_counter

from markdown_it import MarkdownIt

from kbgen.units import scan

ROUNDS = 25
GOAL = 0.35
PARAGRAPHS = (
    "The needle clamp screw is SM9/64-40 and goes snug. Tighten to 1.2 N·m (10.6 lbf·in). ",
    "snug ",
    'the "3" is 4" long, 10-32/10-24 ',
    "10 +1/-0 ",
    "1 1/4-20 left ",
)
LETTERS = 25_000


def main(arguments: list[str]) -> int:
    """Print the figures; exit 1 when the ratio misses its goal."""
    root = Path(__file__).parents[2]
    folder = Path(arguments[0]) if arguments else root / "content" / "notes"
    bodies = [body_of(path) for path in sorted(folder.rglob("*.md"))]
    if not bodies:
        print(f"no Markdown notes in {folder}", file=sys.stderr)
        return 2
    passages = [text for body in bodies for text in passages_of(body)]
    parse = MarkdownIt("commonmark").enable("table").parse
    letters = sum(map(len, bodies))
    scanned, parsed = least((scan, passages), (parse, bodies))
    whole, _ = least((scan, bodies), (parse, bodies))
    text = "\n\n".join(bodies)
    growth = [least((scan, [text * times]))[0] / (len(text) * times) for times in (1, 2, 4)]
    long = {piece: growth_of(piece) for piece in PARAGRAPHS}
    figures = {
        "notes": len(bodies),
        "letters": letters,
        "values": sum(len(scan(passage)) for passage in passages),
        "scan_ns_a_letter": round(scanned / letters * 1e9, 1),
        "markdown_ns_a_letter": round(parsed / letters * 1e9, 1),
        "ratio": round(scanned / parsed, 3),
        "ratio_whole_bodies": round(whole / parsed, 3),
        "ratio_goal": GOAL,
        "growth_twice_and_four_times": [round(one / growth[0], 2) for one in growth[1:]],
        "growth_in_one_paragraph": long,
    }
    print(json.dumps(figures, indent=2))
    return 0 if scanned / parsed <= GOAL else 1


def growth_of(piece: str) -> list[float]:
    """Return the cost of a letter in paragraphs of 2, 4, 8 times a length, against the first."""
    costs = []
    for times in (1, 2, 4, 8):
        text = piece * (LETTERS * times // len(piece))
        start = perf_counter()
        scan(text)
        costs.append((perf_counter() - start) / len(text))
    return [round(cost / costs[0], 2) for cost in costs[1:]]


def body_of(path: Path) -> str:
    """Return a note without its front matter."""
    text = path.read_text(encoding="utf-8")
    return text.split("\n---\n", 1)[-1] if text.startswith("---\n") else text


def passages_of(body: str) -> Iterable[str]:
    """Yield what a scanner is given: the inline text of every paragraph, item and cell."""
    for token in MarkdownIt("commonmark").enable("table").parse(body):
        if token.type == "inline":
            yield token.content


def least(*jobs: tuple[Callable[[str], object], list[str]]) -> list[float]:
    """Return the least time that each job took over the rounds, in seconds."""
    times: list[list[float]] = [[] for _ in jobs]
    for _ in range(ROUNDS):
        for taken, (job, texts) in zip(times, jobs, strict=True):
            start = perf_counter()
            for text in texts:
                job(text)
            taken.append(perf_counter() - start)
    return [min(taken) for taken in times]


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
