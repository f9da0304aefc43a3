"""Read the published check values, and the designations in which they are written."""

from __future__ import annotations

import csv
import re
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

from kbgen.units.designation import System, Thread

DATA = Path(__file__).parent / "data"

SYSTEMS = {
    "BSW": System.WHITWORTH,
    "BSF": System.BSF,
    "BSC": System.CYCLE,
    "BSCy": System.CYCLE,
    "BSB": System.BRASS,
    "BA": System.BA,
    "NPSM": System.NPSM,
}


def rows(name: str) -> list[dict[str, str]]:
    """Return the rows of a table; its head must say where it comes from."""
    lines = (DATA / name).read_text(encoding="utf-8").splitlines()
    head = " ".join(line for line in lines if line.startswith("#"))
    assert "Standard:" in head, name
    assert "Seen:" in head, name
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def unified(size: str, tpi: str, series: str | None = None) -> Thread:
    return Thread(System.UNIFIED, size.lstrip("#"), Fraction(tpi), series=series)


def metric(diameter: str, pitch: str) -> Thread:
    return Thread(System.METRIC, diameter, None, Decimal(pitch))


def british(series: str, size: str, tpi: str) -> Thread:
    return Thread(SYSTEMS[series], size, Fraction(tpi) if tpi else None)


def designation(text: str) -> Thread:
    """Return the thread of a designation as the check values write it."""
    text = text.replace("#", "")
    if found := re.match(r"M([\d.]+)x([\d.]+)", text):
        return metric(found[1], found[2])
    if found := re.match(r"(\d+) BA", text):
        return Thread(System.BA, found[1])
    if found := re.match(r"SM(\S+)-(\d+)", text):
        return Thread(System.SEWING, found[1], Fraction(found[2]))
    if found := re.match(r"G(\S+)", text):
        return Thread(System.PIPE, found[1])
    found = re.match(r"(\d+(?: \d+/\d+|/\d+)?)-(\d+) (\S+)", text)
    assert found, text
    size, tpi, series = found.groups()
    if series in SYSTEMS:
        return Thread(SYSTEMS[series], size, Fraction(tpi))
    named = re.match(r"UNC|UNF|UNEF|UNS", series)
    return unified(size, tpi, named[0] if named else "UN")
