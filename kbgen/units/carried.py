"""What the tools in the reader's page take along: patterns, tables and sentences of this room.

Plain data, in the order in which scripts read it. Nothing of it is written twice: the
scripts hold the steps alone, and tests hold their answers to those of this room.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import replace
from fractions import Fraction
from functools import cache
from typing import Any

from kbgen import text as folding
from kbgen.patterns import for_script
from kbgen.text import NotationError
from kbgen.units import dual, identify, length, measured, preload, spoken, torque, torque_units
from kbgen.units.complete import complete
from kbgen.units.describe import SHOWN_UNITS
from kbgen.units.designation import System, Thread
from kbgen.units.prepared import NUMBER
from kbgen.units.profile import INCH_MM, dimensions, stress_area
from kbgen.units.spread import spread_patterns
from kbgen.units.standards import all_rows
from kbgen.units.strength import (
    SAID,
    STRONGEST,
    UNKNOWN_CLASS,
    WEAKEST,
    is_american,
    readings_of,
    strength_rows,
)
from kbgen.units.thread import parse_thread

__all__ = [
    "NO_THREAD",
    "STRENGTHS",
    "known_threads",
    "measure_tables",
    "reading_tables",
    "torque_tables",
]

Plain = dict[str, Any]

STRENGTHS = {
    "A-50": "A2-50",
    "A-70": "A2-70",
    "A-80": "A2-80",
}
"""Grades of the table that are stated in another way than the table names them."""
NO_THREAD = "expected a thread of the tables such as '1/4-20 UNC' or 'M6x1', found '{text}'"


def _exact(value: Fraction) -> list[str]:
    return [str(value.numerator), str(value.denominator)]


@cache
def reading_tables() -> Plain:
    """Return what lengths, pitches and torques are read with."""
    return {
        "fold": _fold_tables(),
        "spoken": _spoken_tables(),
        "number": for_script(re.compile(NUMBER)),
        "spread": [for_script(pattern) for pattern in spread_patterns()],
        "length": _length_tables(),
        "torque": _torque_tables(),
    }


def _fold_tables() -> Plain:
    table, pattern = folding.folding()
    marks: dict[str, str] = {}
    for code, plain in table.items():
        marks[plain] = marks.get(plain, "") + chr(code)
    return {
        "marks": list(marks.items()),
        "pattern": for_script(pattern),
        "vulgar": folding.VULGAR,
        "raised": folding.RAISED,
        "words": folding.MARKS,
    }


def _spoken_tables() -> Plain:
    return {
        "units": spoken.UNITS,
        "tens": spoken.TENS,
        "numbers": spoken.NUMBERS,
        "parts": spoken.PARTS,
        "ahead": spoken.AHEAD,
        "behind": for_script(spoken.behind_pattern()),
        "runs": for_script(spoken.runs_pattern()),
        "word": for_script(spoken.word_pattern()),
        "ofATurn": for_script(spoken.of_a_turn_pattern()),
    }


def _length_tables() -> Plain:
    patterns = length.length_patterns()
    return {
        "mm": {unit: _exact(worth) for unit, worth in length.MM.items()},
        "unit": for_script(patterns["unit"]),
        "inchAnyway": for_script(patterns["inch_anyway"]),
        "inParts": for_script(patterns["in_parts"]),
        "range": for_script(patterns["range"]),
        "mixed": for_script(patterns["mixed"]),
        "perInch": for_script(measured.PER_INCH),
        "nutFactor": for_script(measured.NUT_FACTOR),
        "largest": _exact(measured.LARGEST_MM),
        "wrong": length.NO_LENGTH,
        "wrongDiameter": measured.NO_DIAMETER,
        "wrongOne": measured.NOT_ONE,
        "wrongPitch": measured.NO_PITCH,
        "wrongNutFactor": measured.NO_NUT_FACTOR,
    }


def _torque_tables() -> Plain:
    patterns = torque.torque_patterns()
    certain, doubtful, forces = torque_units.unit_patterns()
    return {
        "units": {name: _exact(unit.newton_metres) for name, unit in torque_units.UNITS.items()},
        "shown": SHOWN_UNITS,
        "spellings": [name for name, _ in torque_units.SPELLINGS],
        "doubtfulSpellings": [name for name, _ in torque_units.DOUBTFUL],
        "certain": for_script(certain),
        "doubtful": for_script(doubtful),
        "forces": for_script(forces),
        "preposition": for_script(torque_units.preposition_pattern()),
        "range": for_script(patterns["range"]),
        "again": for_script(patterns["again"]),
        "most": for_script(patterns["most"]),
        "least": for_script(patterns["least"]),
        "mostAfter": for_script(patterns["most_after"]),
        "leastAfter": for_script(patterns["least_after"]),
        "angle": for_script(patterns["angle"]),
        "canonical": for_script(torque.CANONICAL),
        "place": for_script(torque.PLACE),
        "between": for_script(dual.between_pattern()),
        "rounding": dual.ROUNDING,
        "slips": dual.SLIPS,
        "tens": [[_exact(factor), words] for factor, words in dual.TENS],
        "wrong": torque.NO_TORQUE,
        "force": torque.FORCE_ALONE,
        "disagree": dual.DISAGREE,
        "wouldAgree": dual.WOULD_AGREE,
        "slipped": dual.POINT_SLIPPED,
        "lookAgain": dual.LOOK_AGAIN,
    }


@cache
def known_threads(house: tuple[Thread, ...] = ()) -> tuple[tuple[Thread, bool], ...]:
    """Return every thread of the tables and of the house, sorted, and whether from memory."""
    found = {
        (identify.thread_of(row), row.from_memory): None
        for row in all_rows()
        if row.system is not System.NPS
    }
    return tuple(sorted((*found, *((thread, False) for thread in house))))


def measure_tables(house: Iterable[Thread] = ()) -> Plain:
    """Return what a measured screw or hole is named with.

    Shape: ``threads`` is a list of rows, sorted: canonical form, basic major diameter, place
    in ``pitches``, least major diameter of a screw, least and greatest minor diameter of a
    hole, place in ``forms`` (flank angle, whether tapered), 1 where from memory. Units: mm.
    """
    pitches: dict[float, int] = {}
    forms: dict[tuple[float, bool], int] = {}
    rows = []
    for thread, from_memory in known_threads(tuple(sorted(house))):
        about = identify.known_of(thread, from_memory)
        form = (about.angle_deg, thread.system is System.NPT)
        rows.append(
            [
                *(str(thread), about.major, pitches.setdefault(about.pitch, len(pitches))),
                *(about.least_major, *about.minor, forms.setdefault(form, len(forms))),
                int(from_memory),
            ]
        )
    return {
        "threads": rows,
        "pitches": list(pitches),
        "forms": list(forms),
        "inch": INCH_MM,
        "burr": identify.BURR_MM,
        "wear": identify.WEAR_MM,
        "wearShare": identify.WEAR_SHARE,
        "pitchShare": identify.PITCH_SHARE,
        "pitchLeast": identify.PITCH_LEAST_MM,
        "visible": identify.VISIBLE_MM,
        "mostTurns": identify.MOST_TURNS,
        "words": identify.WORDS,
    }


def torque_tables(house: Iterable[Thread] = ()) -> Plain:
    """Return what a torque is judged with.

    Shape: ``threads`` leads from canonical forms to rows: basic major diameter, stress area
    (null where hollow), place in ``sources``, 1 for American; ``named`` from other spellings
    to canonical forms. Units: mm, mm².
    """
    sources: dict[str, int] = {}
    known = known_threads(tuple(sorted(house)))
    rows: dict[str, list[Any]] = {}
    for thread in (*(thread for thread, _ in known), *_bare_pairs(known)):
        area = stress_area(thread)
        rows[str(thread)] = [
            dimensions(thread).major_mm,
            area.mm2 if area else None,
            sources.setdefault(area.source, len(sources)) if area else None,
            int(is_american(thread)),
        ]
    return {
        "threads": rows,
        "sources": list(sources),
        "named": dict(_other_names(known)),
        "noThread": NO_THREAD,
        **_torque_rules(),
    }


def _other_names(known: Iterable[tuple[Thread, bool]]) -> Iterator[tuple[str, str]]:
    """Yield pairs without their series, and metric sizes without their pitch, that mean one thread.

    Shape: the text as typed, the canonical form of what it is taken for.
    """
    wholes = {str(thread) for thread, _ in known}
    for said in _short_forms(known):
        meant = str(complete(parse_thread(said)))
        if meant in wholes and meant != said:
            yield said, meant


def _short_forms(known: Iterable[tuple[Thread, bool]]) -> Iterator[str]:
    seen: dict[str, None] = {}
    for thread, _ in known:
        if thread.system is System.METRIC:
            seen.setdefault(f"M{thread.size}")
        elif thread.tpi is not None and thread.system is not System.PIPE:
            pair = replace(thread, system=System.UNKNOWN, series=None)
            seen.setdefault(str(pair))
    for said in seen:
        try:
            parse_thread(said)
        except NotationError:
            continue
        yield said


def _bare_pairs(known: Iterable[tuple[Thread, bool]]) -> Iterator[Thread]:
    """Yield the pairs that more than one series has: they are judged by size and pitch alone."""
    for said in _short_forms(known):
        thread = complete(parse_thread(said))
        if thread.system is System.UNKNOWN and thread.whole:
            yield thread


def _torque_rules() -> Plain:
    strengths: dict[str, dict[str, list[Any]]] = {}
    for row in strength_rows():
        stated = STRENGTHS.get(row.grade, row.grade)
        readings = [[one.name, one.standard, one.proof_mpa, one.basis] for one in readings_of(row)]
        of_standard = strengths.setdefault(stated, {}).setdefault(row.standard, [])
        of_standard.append([row.over_mm, readings])
    return {
        "strengths": {stated: list(rows.values()) for stated, rows in strengths.items()},
        "grades": list(dict.fromkeys(row.grade for row in strength_rows())),
        "weakest": [WEAKEST[False], WEAKEST[True]],
        "strongest": [STRONGEST[False], STRONGEST[True]],
        "said": SAID,
        "unknown": UNKNOWN_CLASS,
        "unstated": preload.UNSTATED,
        "usual": preload.USUAL_SHARE,
        "least": preload.LEAST_SHARE,
        "plausible": preload.PLAUSIBLE_SHARE,
        "slips": preload.SLIPS,
        "codes": [preload.ABOVE_PROOF, preload.ABOVE_USUAL, preload.TOO_LOW],
        "verdicts": preload.VERDICTS,
        "fits": preload.FITS,
        "notJudged": preload.NOT_JUDGED,
        "words": preload.WORDS,
    }
