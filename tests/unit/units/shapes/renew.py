"""Write golden.json: what the bench commands print for a few inputs.

Run from the top folder: python tests/unit/units/shapes/renew.py
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from kbgen.units.describe import (
    describe_fit,
    describe_identify,
    describe_thread,
    describe_torque,
)
from kbgen.units.thread import parse_thread
from kbgen.units.torque import parse_torque

THREADS = ("1/4-20 UNC", "10-32 UNF-3A LH", "M6x1", "M4x0.8", "SM11/64-40", "4 BA", "?-20")
FITS = (("3/8-28", "3/8-24"), ("M4x0.7", "8-36"), ("1/4-20 BSW", "1/4-20 UNC"), ("M6", "M6"))
TORQUES = (("8..10 N·m", None, None), ("35 lbf·ft", "8-32", None), ("10 N·m", "M6x1", "8.8"))
READINGS = ((3.55, 0.635), (4.83, 0.8), (8.0, 3.0))


def golden() -> dict[str, list[dict[str, Any]]]:
    """Return every output by command."""
    return {
        "thread": [describe_thread(parse_thread(text)) for text in THREADS],
        "fit": [describe_fit(parse_thread(screw), parse_thread(hole)) for screw, hole in FITS],
        "torque": [
            describe_torque(parse_torque(text), parse_thread(thread) if thread else None, strength)
            for text, thread, strength in TORQUES
        ],
        "identify": [describe_identify(diameter, pitch) for diameter, pitch in READINGS],
    }


if __name__ == "__main__":
    text = json.dumps(golden(), indent=2, ensure_ascii=False) + "\n"
    Path(__file__).with_name("golden.json").write_text(text, encoding="utf-8")
