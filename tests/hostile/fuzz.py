"""Gives the parsers and the commands great numbers of damaged texts; no one may end in a traceback.

    python tests/hostile/fuzz.py 100000

Every input is made from a seed and its own number, so that a case that was found can be
made again: ``python tests/hostile/fuzz.py --one SEED NUMBER`` shows it. Found cases
are kept in ``data/found.json`` and tried by the tests for ever.
"""

from __future__ import annotations

import argparse
import contextlib
import io
import json
import os
import random
import shutil
import sys
import tempfile
import traceback
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

from hostile_tree import DATA, OURS, published_list
from texts import PARSERS, PIECES

from kbgen.cli import main
from kbgen.commands import NAMES

TREE = Path(__file__).resolve().parents[1] / "golden" / "tree"
SEED = 20_261_125
COMMANDS_EACH = 6  # one input in so many is the arguments of a command


def texts_of_the_project() -> tuple[str, ...]:
    """Return real texts to damage: content files of a small tree, and good designations."""
    files = sorted(
        path for path in (TREE / "content").rglob("*") if path.suffix in (".md", ".yaml", ".vtt")
    )
    return (
        *(path.read_text("utf-8")[:3000] for path in files),
        "1/4-20 UNC-2A LH",
        "M6x1-6g",
        "SM9/64-40",
        "2.5 ± 0.3 N·m (22 lbf·in)",
        "snug, then a quarter turn",
        "recording:winder-evening@12:40",
        "6.35..12.7 mm",
        "WEBVTT\n\n00:01.000 --> 00:02.000\n<v A>5 16ths by 18</v>\n",
        "1\n00:00:01,000 --> 00:00:02,000\nM4 by 0.7\n",
        "index.html\tindex.html\nn/0001.html\tn/0001.html\n",
    )


ARGUMENTS = """--help --json --tree --limit --from --class --screw --hole --major --pitch --within
    --family --thread --strength --nut-factor --each-line --verify --note --minutes --since --words
    - -- . / 1/4-20 M6x1 4N·m 3.55mm 40tpi 8.8 -1 0 1e999 nan A123 0039 Q0001 3A halverin-h
    2026-01-01 content/notes/0001-winder-tyre-slips.md winder-evening 12:40"""
WORDS = tuple(ARGUMENTS.split())
# What would wait for a person, a port or a file that is being changed.
NOT_RUN = frozenset({"proof", "jot", "build"})


def damaged(chance: random.Random, texts: Sequence[str]) -> str:
    """Return a text that was made from the others by cutting, doubling and mixing them."""
    text = chance.choice(texts)
    for _ in range(chance.randint(0, 6)):
        at = chance.randint(0, len(text))
        to = min(len(text), at + int(chance.expovariate(0.1)))
        piece = chance.choice(
            (
                chance.choice(PIECES) * chance.randint(1, 9),
                chr(chance.choice((chance.randint(0, 0x2FF), chance.randint(0, 0x10FFFF)))),
                text[at:to] * 2,
                "",
                chance.choice(texts)[: chance.randint(0, 200)],
                "\n" * chance.randint(1, 3),
                str(chance.choice((0, -1, 10**30, 1e-30, "1_0", "०", "½"))),
            )
        )
        text = text[:at] + piece + text[to:]
    return "".join(mark for mark in text if not "\ud800" <= mark <= "\udfff")


def inputs(seed: int, numbers: Sequence[int]) -> Iterator[tuple[int, str, Callable[[], object]]]:
    """Yield the inputs of these numbers: number, what it is in words, and how to run it."""
    texts = (*texts_of_the_project(), *OURS, *published_list())
    for number in numbers:
        chance = random.Random(seed * 1_000_003 + number)
        if number % COMMANDS_EACH:
            name = chance.choice(tuple(PARSERS))
            text = damaged(chance, texts)
            yield number, f"{name}: {text!r}", lambda n=name, t=text: PARSERS[n](t)
        else:
            words = [chance.choice([name for name in NAMES if name not in NOT_RUN])]
            words += [
                chance.choice(WORDS) if chance.random() < 0.7 else damaged(chance, texts)[:200]
                for _ in range(chance.randint(0, 6))
            ]
            words = words[chance.random() < 0.05 :]
            typed = damaged(chance, texts)
            yield number, f"kbgen {words!r} {typed!r}", lambda w=words, t=typed: run_command(w, t)


def run_command(words: Sequence[str], typed: str) -> None:
    """Run a command as the command line does, its output kept from the terminal.

    Shape: ``typed`` is what its standard input holds.
    Raises: AssertionError where it ends with a code that no command ends with.
    """
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        stdin, sys.stdin = sys.stdin, io.TextIOWrapper(io.BytesIO(typed.encode()), "utf-8")
        try:
            code = main(list(words))
        finally:
            sys.stdin = stdin
    assert code in (0, 1, 2), code
    assert "Traceback" not in out.getvalue() + err.getvalue()


def tried(seed: int, numbers: Sequence[int]) -> list[tuple[int, str, str]]:
    """Run the inputs and return those that ended in a traceback: number, input, traceback."""
    with tempfile.TemporaryDirectory() as folder:
        shutil.copytree(TREE / "content", Path(folder) / "tree" / "content")
        with contextlib.chdir(Path(folder) / "tree"):
            return _tried_here(seed, numbers)


def _tried_here(seed: int, numbers: Sequence[int]) -> list[tuple[int, str, str]]:
    failed = []
    for number, shown, run in inputs(seed, numbers):
        try:
            run()
        except Exception:
            failed.append((number, shown, traceback.format_exc()))
    return failed


def found_before() -> list[tuple[str, str]]:
    """Return the cases that once ended in a traceback: the parser's name and the text."""
    cases: list[list[str]] = json.loads(DATA.joinpath("found.json").read_text("utf-8"))
    return [(name, text) for name, text in cases]


def _main() -> int:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("inputs", type=int, nargs="?", default=100_000)
    parser.add_argument("--seed", type=int, default=SEED)
    parser.add_argument("--one", type=int, metavar="NUMBER", help="show one input, and run it")
    words = parser.parse_args()
    os.environ["NO_COLOR"] = "1"
    if words.one is not None:
        for _, shown, run in inputs(words.seed, [words.one]):
            print(shown)
            run()
        return 0
    failed = []
    for start in range(0, words.inputs, 1000):
        failed += tried(words.seed, range(start, min(start + 1000, words.inputs)))
        print(f"\r{min(start + 1000, words.inputs)} tried, {len(failed)} failed", end="")
    print()
    for number, shown, trace in failed[:20]:
        print(f"--- {number}: {shown[:500]}\n{trace}")
    return bool(failed)


if __name__ == "__main__":
    sys.exit(_main())
