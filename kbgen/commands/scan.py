"""``kbgen scan``: which threads, torques, tightnesses and lengths any text states."""

from __future__ import annotations

import argparse
import sys
from bisect import bisect_right
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kbgen.commands.common import Command, WrongUse, add_json, paint, print_json
from kbgen.commands.reading import house_of

if TYPE_CHECKING:
    from kbgen.units import HouseThreads, Stated

__all__ = ["COMMAND", "scan_lines"]


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("file", metavar="FILE", help="a text file, or - for standard input")
    parser.add_argument(
        "--each-line", action="store_true", help="take every line as a text of its own"
    )
    add_json(parser)


def scan_lines(
    text: str, *, each_line: bool = False, house: HouseThreads | None = None
) -> list[dict[str, Any]]:
    """Return what ``text`` states, line by line, in the stable JSON shape.

    Shape: ``[{line, values}]``, only lines that state something unless
    ``each_line``; ``start`` and ``end`` of a value are 0-based code points of
    its first line. With ``each_line`` every line is read as a text of its own.
    """
    from kbgen.units import NO_HOUSE, scan

    house = NO_HOUSE if house is None else house
    lines = text.splitlines()
    if each_line:
        return [
            {"line": number, "values": [_value(stated, 0) for stated in scan(line, house)]}
            for number, line in enumerate(lines, 1)
        ]
    starts = [0]
    for line in text.splitlines(keepends=True):
        starts.append(starts[-1] + len(line))
    found: dict[int, list[dict[str, Any]]] = {}
    for stated in scan(text, house):
        number = bisect_right(starts, stated.span.start)
        found.setdefault(number, []).append(_value(stated, starts[number - 1]))
    return [{"line": number, "values": values} for number, values in sorted(found.items())]


def _value(stated: Stated, line_start: int) -> dict[str, Any]:
    from kbgen.findings import code_named
    from kbgen.units import Length, Torque

    shape: dict[str, Any] = {
        "kind": str(stated.kind),
        "as_written": stated.as_written,
        "start": stated.span.start - line_start,
        "end": stated.span.end - line_start,
        "canonical": stated.canonical,
        "verdict": str(stated.verdict),
        "findings": [
            {
                "code": objection.code,
                "severity": str(code_named(objection.code).severity),
                "message": objection.message,
                "hint": objection.hint,
            }
            for objection in stated.objections
        ],
    }
    if isinstance(stated.value, Torque):
        shape |= {
            "low_nm": _number(stated.value.low_nm),
            "high_nm": _number(stated.value.high_nm),
            "then_deg": _number(stated.value.then_deg),
        }
    if isinstance(stated.value, Length):
        shape |= {
            "low_mm": _number(stated.value.low_mm),
            "high_mm": _number(stated.value.high_mm),
        }
    if stated.dual is not None:
        shape["dual"] = stated.dual
    return shape


def _number(figure: Any) -> float | None:
    return None if figure is None else float(figure)


def _read(name: str) -> str:
    if name == "-":
        return sys.stdin.buffer.read().decode("utf-8", errors="replace")
    path = Path(name)
    if not path.is_file():
        raise WrongUse(f"there is no file {name}", "name a text file, or - for standard input")
    return path.read_bytes().decode("utf-8-sig", errors="replace")


def _run(arguments: argparse.Namespace) -> int:
    text = _read(arguments.file)
    start = Path.cwd() if arguments.file == "-" else Path(arguments.file).resolve().parent
    lines = scan_lines(text, each_line=arguments.each_line, house=house_of(start))
    values = [value for line in lines for value in line["values"]]
    if arguments.json:
        print_json(lines)
    elif values:
        for line in lines:
            _print_line(line)
    else:
        print("No thread, torque, tightness or length is stated.")
    contradictory = any(value["verdict"] == "contradictory" for value in values)
    return 1 if contradictory or not values else 0


_STYLE = {"contradictory": "error", "unstated": "warning", "standard": "strong"}


def _print_line(line: dict[str, Any]) -> None:
    for value in line["values"]:
        verdict = paint(value["verdict"], _STYLE.get(value["verdict"], "quiet"))
        place = f"{line['line']}:{value['start'] + 1}"
        print(f"{place:>8}  {value['as_written']}  =  {value['canonical']}  {verdict}")
        for found in value["findings"]:
            print(f"          {found['severity']}: {found['message']} ({found['code']})")
            if found["hint"]:
                print(f"              hint: {found['hint']}")


COMMAND = Command(
    name="scan",
    summary="show every thread, torque, tightness and length that a text states",
    example="kbgen scan letter.txt\necho 'a 5/16 by 18 screw, 4 Nm' | kbgen scan - --json",
    arguments=_arguments,
    run=_run,
)
