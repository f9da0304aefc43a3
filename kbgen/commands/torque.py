"""``kbgen torque``: a torque in other units, and what it does to a screw."""

from __future__ import annotations

import argparse
from typing import Any

from kbgen.commands.common import Command, WrongUse, add_json, paint, print_json
from kbgen.commands.reading import read_nut_factor, read_thread, read_torque

__all__ = ["COMMAND"]


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("words", metavar="VALUE", nargs="+", help="a torque with its unit")
    parser.add_argument("--thread", metavar="THREAD", help="the screw that is tightened")
    parser.add_argument("--strength", metavar="CLASS", help="its strength class: 8.8, A2-70 ...")
    parser.add_argument("--nut-factor", metavar="K", help="about 0.20 dry, 0.11 to 0.15 lubricated")
    add_json(parser)


def _run(arguments: argparse.Namespace) -> int:
    from kbgen.units import describe_torque

    torque, objections = read_torque(" ".join(arguments.words).strip())
    thread = read_thread(arguments.thread) if arguments.thread else None
    if thread is None and (arguments.strength or arguments.nut_factor):
        raise WrongUse("a strength or a nut factor means nothing without --thread")
    factor = read_nut_factor(arguments.nut_factor) if arguments.nut_factor else None
    try:
        described = describe_torque(torque, thread, arguments.strength, factor)
    except ValueError as wrong:
        raise WrongUse(str(wrong)) from wrong
    if objections:
        slips = [{"code": one.code, "message": one.message, "hint": one.hint} for one in objections]
        described["findings"] = slips + described.get("findings", [])
    if arguments.json:
        print_json(described)
    else:
        _print(described)
    return 1 if described.get("findings") else 0


def _print(described: dict[str, Any]) -> None:
    print(paint(described["canonical"], "strong"))
    for unit, (low, high) in described["in_units"].items():
        print(f"  {_range(low, high):>14} {unit}")
    if "thread" in described:
        _print_on_screw(described)
    for found in described.get("findings", ()):
        print(f"  {paint(found['message'], 'warning')} ({found['code']})")
        if found["hint"]:
            print(f"      hint: {found['hint']}")


def _print_on_screw(described: dict[str, Any]) -> None:
    print(f"on {paint(described['thread'], 'strong')}")
    if described["preload_n"]:
        print(f"  preload        {_range(*described['preload_n'])} N")
    if described["proof_share"]:
        low, high = described["proof_share"]
        print(f"  share of proof {_percent(low)} to {_percent(high)}")
    for assumption in described["assumed"]:
        print(f"  assumed: {assumption}")


def _range(low: float | None, high: float | None) -> str:
    """Return figures in three places, more than a wrench tells."""
    if low is None:
        return f"up to {_figure(high)}"
    if high is None:
        return f"{_figure(low)} or more"
    return _figure(low) if low == high else f"{_figure(low)} to {_figure(high)}"


def _percent(share: float) -> str:
    return f"{share:.0%}" if share >= 0.01 else f"{share:.1%}"


def _figure(value: float | None) -> str:
    if value is None:
        return "?"
    return f"{value:.3g}" if abs(value) < 1000 else f"{float(f'{value:.3g}'):.0f}"


COMMAND = Command(
    name="torque",
    summary="convert a torque, and hold it against the proof stress of a screw",
    example='kbgen torque 1.2 N·m --thread "SM11/64-40"\nkbgen torque 10..12 lbf·in --json',
    arguments=_arguments,
    run=_run,
)
