"""The units check: texts into threads, torques, tightnesses and lengths, each judged and computed.

Reading stands in ``scan`` and the ``parse_`` functions, judging in ``judge``, the
published tables in ``standards``; dimensions, limits of size, strength, mix-ups
and identification are arithmetic on the values. The room knows no notes, no
findings and no files but its own tables. Names are loaded when they are first
asked for, so that reading one thread does not wait for the arithmetic. The
functions ``fit``, ``identify`` and ``limits`` stand in the modules of their names.
"""

from __future__ import annotations

from importlib import import_module

# As type checkers know it; the module it stands in is slow to load.
TYPE_CHECKING = False

if TYPE_CHECKING:
    from kbgen.units.carried import (
        known_threads,
        measure_tables,
        reading_tables,
        torque_tables,
    )
    from kbgen.units.complete import NO_HOUSE, HouseThreads, complete
    from kbgen.units.describe import (
        describe_fit,
        describe_identify,
        describe_thread,
        describe_torque,
    )
    from kbgen.units.designation import System, Thread
    from kbgen.units.dual import parse_torque_stated
    from kbgen.units.feel import parse_tightness
    from kbgen.units.fit import Fit, MixUp, Outcome, dangerous_pairs
    from kbgen.units.identify import Candidate, Known, known_of
    from kbgen.units.judging import judge
    from kbgen.units.length import parse_length
    from kbgen.units.limits import Limits
    from kbgen.units.mating import Flanks, flanks
    from kbgen.units.measured import (
        Measured,
        parse_diameter,
        parse_nut_factor,
        parse_one_length,
        parse_pitch,
    )
    from kbgen.units.preload import Concern, Tightening, tightening
    from kbgen.units.profile import Dimensions, dimensions, stress_area
    from kbgen.units.quantity import Length
    from kbgen.units.scanning import scan
    from kbgen.units.stated import Kind, Stated, Value
    from kbgen.units.strength import Strength, strengths
    from kbgen.units.thread import parse_thread
    from kbgen.units.tightness import Tightness
    from kbgen.units.torque import Torque, parse_torque
    from kbgen.units.verdict import OBJECTION_CODES, Judgement, Objection, Verdict

__all__ = [
    "NO_HOUSE",
    "OBJECTION_CODES",
    "Candidate",
    "Concern",
    "Dimensions",
    "Fit",
    "Flanks",
    "HouseThreads",
    "Judgement",
    "Kind",
    "Known",
    "Length",
    "Limits",
    "Measured",
    "MixUp",
    "Objection",
    "Outcome",
    "Stated",
    "Strength",
    "System",
    "Thread",
    "Tightening",
    "Tightness",
    "Torque",
    "Value",
    "Verdict",
    "complete",
    "dangerous_pairs",
    "describe_fit",
    "describe_identify",
    "describe_thread",
    "describe_torque",
    "dimensions",
    "flanks",
    "judge",
    "known_of",
    "known_threads",
    "measure_tables",
    "parse_diameter",
    "parse_length",
    "parse_nut_factor",
    "parse_one_length",
    "parse_pitch",
    "parse_thread",
    "parse_tightness",
    "parse_torque",
    "parse_torque_stated",
    "reading_tables",
    "scan",
    "strengths",
    "stress_area",
    "tightening",
    "torque_tables",
]

_HOME = {
    **dict.fromkeys(("NO_HOUSE", "HouseThreads", "complete"), "complete"),
    **dict.fromkeys(("System", "Thread"), "designation"),
    **dict.fromkeys(("Kind", "Stated", "Value"), "stated"),
    **dict.fromkeys(("OBJECTION_CODES", "Judgement", "Objection", "Verdict"), "verdict"),
    **dict.fromkeys(("Fit", "MixUp", "Outcome", "dangerous_pairs"), "fit"),
    **dict.fromkeys(("Concern", "Tightening", "tightening"), "preload"),
    **dict.fromkeys(("Dimensions", "dimensions", "stress_area"), "profile"),
    **dict.fromkeys(("Limits",), "limits"),
    **dict.fromkeys(("Flanks", "flanks"), "mating"),
    **dict.fromkeys(("Strength", "strengths"), "strength"),
    **dict.fromkeys(("Candidate", "Known", "known_of"), "identify"),
    **dict.fromkeys(("Torque", "parse_torque"), "torque"),
    **dict.fromkeys(
        ("Measured", "parse_diameter", "parse_nut_factor", "parse_one_length", "parse_pitch"),
        "measured",
    ),
    **dict.fromkeys(
        ("known_threads", "measure_tables", "reading_tables", "torque_tables"), "carried"
    ),
    "parse_torque_stated": "dual",
    **{name: "describe" for name in __all__ if name.startswith("describe_")},
    "Length": "quantity",
    "Tightness": "tightness",
    "parse_tightness": "feel",
    "judge": "judging",
    "parse_length": "length",
    "parse_thread": "thread",
    "scan": "scanning",
}


def __getattr__(name: str) -> object:
    """Return a public name from its module, loaded now."""
    if name not in _HOME:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{_HOME[name]}"), name)
