"""``kbgen thread``: what a designation is, its dimensions and its limits of size."""

from __future__ import annotations

import argparse
import re
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from kbgen.commands.common import Command, WrongUse, add_json, add_tree, paint, print_json
from kbgen.commands.reading import house_of, read_thread, tree_of

if TYPE_CHECKING:
    from kbgen.units import HouseThreads, Thread

__all__ = ["COMMAND"]


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("words", metavar="TEXT", nargs="+", help="a thread, in any usual spelling")
    parser.add_argument(
        "--class", dest="fit_class", metavar="CLASS", help="class of fit: 3A, 6g, close ..."
    )
    add_tree(parser)
    add_json(parser)


def _run(arguments: argparse.Namespace) -> int:
    from kbgen.units import describe_thread

    thread = _read(" ".join(arguments.words), arguments.fit_class)
    house = _needed_house(thread, arguments)
    try:
        described = describe_thread(thread, arguments.fit_class, house)
    except ValueError as unknown:
        raise WrongUse(str(unknown)) from unknown
    if arguments.json:
        print_json(described)
    else:
        _print(described)
    return 1 if described["verdict"] == "contradictory" else 0


_UNIFIED_CLASS = re.compile(r"[123][AB]")


def _read(text: str, fit_class: str | None) -> Thread:
    """Return the thread that was typed; a class of ASME B1.1 tells what a bare pair is."""
    from kbgen.units import System

    thread = read_thread(text)
    if thread.system is not System.UNKNOWN or not thread.whole:
        return thread
    if _UNIFIED_CLASS.fullmatch(fit_class or "") is None:
        return thread
    unified = read_thread(f"{replace(thread, left_hand=False)}-{fit_class}")
    return replace(unified, fit_class=None, left_hand=thread.left_hand)


def _needed_house(thread: Thread, arguments: argparse.Namespace) -> HouseThreads:
    """Return the tree's house threads where the published series do not settle the matter."""
    from kbgen.units import NO_HOUSE, Verdict, judge

    if judge(thread).verdict in (Verdict.STANDARD, Verdict.DECLARED):
        return NO_HOUSE
    return house_of(tree_of(arguments))


_VERDICT_STYLE = {"contradictory": "error", "unstated": "warning"}


def _print(described: dict[str, Any]) -> None:
    verdict = paint(described["verdict"], _VERDICT_STYLE.get(described["verdict"], "strong"))
    by = ", ".join(part for part in (described["series"], described["standard"]) if part)
    print(f"{paint(described['canonical'], 'strong')}  {verdict}{f'  ({by})' if by else ''}")
    for found in described["findings"]:
        print(f"  {found['message']}")
        if found["hint"]:
            print(f"  hint: {found['hint']}")
    if described["major_mm"] is None or described["verdict"] == "contradictory":
        return
    pitch = f"{described['pitch_mm']:g} mm"
    if described["tpi"]:
        pitch = f"{described['tpi']:g} per inch ({pitch})"
    rows = [
        ("hand", described["hand"]),
        ("pitch", pitch),
        ("flanks", f"{described['angle_deg']:g}°"),
        ("major diameter", _both(described["major_mm"])),
        ("pitch diameter", _both(described["pitch_diameter_mm"])),
        ("minor, internal", _both(described["minor_diameter_mm"])),
        ("root, external", _both(described["root_diameter_mm"])),
        ("stress area", f"{described['stress_area_mm2']:.4g} mm²"),
    ]
    for name, value in rows:
        print(f"  {name:<16} {value}")
    _print_limits(described["limits"])
    for assumption in described["assumed"]:
        print(f"  assumed: {assumption}")


def _both(mm: float) -> str:
    return f"{mm:.3f} mm   {mm / 25.4:.4f} in"


def _print_limits(limits: dict[str, Any]) -> None:
    for side in ("external", "internal"):
        found = limits[side]
        if found is None:
            continue
        print(f"  limits, {side}, class {found['class']} ({found['source']})")
        for name, label in (
            ("major", "major"),
            ("pitch_diameter", "pitch"),
            ("minor_diameter", "minor"),
        ):
            row = f"    {label:<14} {_limits(found[f'{name}_mm'], 'mm', 3):<22}"
            if f"{name}_in" in found:
                row += f" {_limits(found[f'{name}_in'], 'in', 4)}"
            print(row.rstrip())
        for mark in found["marks"]:
            print(f"    {mark}")


def _limits(between: list[float | None], unit: str, places: int) -> str:
    """Return least and greatest in words that say which side is open."""
    low, high = between
    if low is None:
        return "not limited" if high is None else f"at most {high:.{places}f} {unit}"
    if high is None:
        return f"at least {low:.{places}f} {unit}"
    return f"{low:.{places}f} to {high:.{places}f} {unit}"


COMMAND = Command(
    name="thread",
    summary="say what a thread is: series, dimensions, limits of size",
    example='kbgen thread 1/4-20 UNC --class 3A\nkbgen thread "five sixteenths eighteen" --json',
    arguments=_arguments,
    run=_run,
)
