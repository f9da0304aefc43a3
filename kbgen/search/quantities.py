"""Threads and torques as words: one reader for questions and for canonical forms.

"5/16 by 18", "5/16-18 UNC" and "five sixteenths eighteen" give the same terms.
Notes are read by the units room; its canonical forms come through this reader,
as do questions, at the bench and, in a port held to this one by tests, in the
page. A thread gives a term for its pair of size and pitch and, where a series
was said, one for the whole; a metric thread gives one for its size as well.
Terms begin with ``=``, which no plain word does.
"""

from __future__ import annotations

import re
from bisect import bisect_left, bisect_right
from dataclasses import dataclass
from functools import cache
from itertools import accumulate
from math import floor
from operator import itemgetter

from kbgen.search.analysis import fold
from kbgen.text import NotationError

__all__ = ["ATOM", "Reading", "quantity_terms", "read_quantities"]

ATOM = re.compile(r"[0-9]+(?:[.,][0-9]+)?|[a-z]+|[^a-z0-9\s]")
UNITS = "one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen"
UNITS += " sixteen seventeen eighteen nineteen"
NUMBERS = {word: number for number, word in enumerate(UNITS.split(), start=1)}
TENS = {
    "twenty": 20, "thirty": 30, "forty": 40, "fifty": 50, "sixty": 60, "seventy": 70,
    "eighty": 80, "ninety": 90,
}  # fmt: skip
PARTS = {
    "half": 2, "halves": 2, "quarter": 4, "quarters": 4, "fourth": 4, "fourths": 4,
    "eighth": 8, "eighths": 8, "sixteenth": 16, "sixteenths": 16,
}  # fmt: skip
TENS_PARTS = {
    ("thirty", "second"): 32, ("thirty", "seconds"): 32,
    ("sixty", "fourth"): 64, ("sixty", "fourths"): 64,
}  # fmt: skip
ENDINGS = {"th": 0, "ths": 0, "nd": 0, "nds": 0, "rd": 0, "rds": 0}
DENOMINATORS = {"2", "4", "8", "16", "32", "64"}

SERIES = {
    "unc": "unc", "unf": "unf", "unef": "unef", "un": "un", "uns": "uns", "unr": "un",
    "bsw": "bsw", "whitworth": "bsw", "whit": "bsw", "bsf": "bsf", "bsb": "bsb", "brass": "bsb",
    "bscy": "bscy", "cycle": "bscy", "cei": "bscy", "npt": "npt", "nps": "nps", "npsm": "npsm",
    "sm": "sm", "house": "house",
}  # fmt: skip
SERIES_WORD = "|".join(sorted(SERIES, key=lambda word: (-len(word), word)))
NUMBER = r"[0-9]+(?:[.,][0-9]+)?"
FRACTION = r"(?:[0-9] )?[0-9]{1,2} / [0-9]{1,2}"
TABLED = "unc|unef|unf|bsw|whitworth|whit|bsf"
METRIC = re.compile(
    rf"(?<![^ ])m ({NUMBER})"
    rf"(?: (?:x|by|\*|-) ((?:\. )?{NUMBER})(?! [gh](?![^ ]))| ([0-9]+\.[0-9]+))?(?![^ ])"
)
BA = re.compile(
    r"(?<![^ ])"
    r"(?:([0-9]{1,2}) b(?: \.)? ?a|([0-9]{1,2}) ba|ba (?:no (?:\. )?)?([0-9]{1,2}))(?![^ ])"
)
PIPE = re.compile(rf"(?<![^ ])g ({FRACTION}|[1-6])(?![^ ])")
SIZED = re.compile(
    rf"(?<![^ ])(?:({TABLED}) )?(?:({FRACTION})|(?:# |no (?:\. )?|number )?([0-9]{{1,2}}))"
    rf"(?: (?:\"|in|inch))?(?: ({TABLED}))?(?![^ ])"
)
INCH = re.compile(
    rf"(?<![^ ])(?:({SERIES_WORD}) )?"
    rf"(?:({FRACTION})|((?:# |no (?:\. )?|number )?)([0-9]{{1,2}}))"
    r'((?: (?:"|in|inch|inches))?)((?: (?:-|x|by|\*|,))?) '
    r"([0-9]{1,2}(?: 1 / 2)?)"
    r"((?: (?:tpi|threads))?)"
    rf"(?: - | )?((?:{SERIES_WORD})?)(?![^ ])"
)
_PAIRS = (
    "0-80 1-64 1-72 2-56 2-64 3-48 3-56 4-40 4-48 5-40 5-44 6-32 6-40 8-32 8-36 10-24 10-32"
    " 12-24 12-28 12-32"
)
NUMBER_PAIRS = frozenset(_PAIRS.split())

_POUND, _OUNCE, _KILOGRAM = 4.4482216152605, 0.27801385095378125, 9.80665
FORCES = {
    "n": 1.0, "newton": 1.0, "newtons": 1.0, "cn": 0.01, "dn": 0.1, "mn": 0.001, "kn": 1000.0,
    "lbf": _POUND, "lb": _POUND, "lbs": _POUND, "pound": _POUND, "pounds": _POUND,
    "ozf": _OUNCE, "oz": _OUNCE, "ounce": _OUNCE, "ounces": _OUNCE,
    "kgf": _KILOGRAM, "kg": _KILOGRAM, "kp": _KILOGRAM,
}  # fmt: skip
LEVERS = {
    "m": 1.0, "metre": 1.0, "metres": 1.0, "meter": 1.0, "meters": 1.0, "cm": 0.01, "mm": 0.001,
    "ft": 0.3048, "foot": 0.3048, "feet": 0.3048, "in": 0.0254, "inch": 0.0254, "inches": 0.0254,
}  # fmt: skip
NEWTON_METRES = {
    "nm": 1.0, "cnm": 0.01, "dnm": 0.1, "mnm": 0.001, "knm": 1000.0,
    "kgm": _KILOGRAM, "kgcm": _KILOGRAM * 0.01, "ftlb": _POUND * 0.3048, "ftlbs": _POUND * 0.3048,
    "lbft": _POUND * 0.3048, "inlb": _POUND * 0.0254, "inlbs": _POUND * 0.0254,
    "lbin": _POUND * 0.0254,
}  # fmt: skip


def _one_of(names: dict[str, float]) -> str:
    return "|".join(sorted(names, key=lambda name: (-len(name), name)))


TORQUE = re.compile(
    rf"(?<![^ ])(?:({NUMBER}) (?:\. \.|-|to) )?({NUMBER}) "
    rf"(?:({_one_of(FORCES)})(?: [.-])? ({_one_of(LEVERS)})"
    rf"|({_one_of(LEVERS)})(?: [.-])? ({_one_of(FORCES)})|({_one_of(NEWTON_METRES)}))(?![^ ])"
)


@dataclass(frozen=True, slots=True)
class Reading:
    """A thread or torque read in a text, as terms.

    Shape: ``terms`` are all that it gives; ``spoken`` are the plain words that
    said it, folded; ``pair`` is the first of the terms of a thread, else None.
    """

    terms: tuple[str, ...]
    spoken: tuple[str, ...]
    pair: str | None = None


def read_quantities(text: str) -> tuple[Reading, ...]:
    """Read the threads and torques of a short text in their usual spellings.

    Raises nothing: what is not read gives nothing.
    """
    atoms, said = _spoken_atoms(text)
    spaced = " ".join(atoms)
    begins = list(accumulate((len(atom) + 1 for atom in atoms), initial=0))
    found: list[tuple[int, int, Reading]] = []
    for pattern, reader in (
        (TORQUE, _torque), (METRIC, _metric), (BA, _ba), (PIPE, _pipe), (INCH, _inch),
        (SIZED, _sized),
    ):  # fmt: skip
        for match in pattern.finditer(spaced):
            start, end = match.span()
            place = bisect_left(found, start, key=itemgetter(0))
            if (place and found[place - 1][1] > start) or (
                place < len(found) and found[place][0] < end
            ):
                continue
            terms = reader(match)
            if terms:
                first = bisect_right(begins, start) - 1
                last = first + match[0].count(" ") + 1
                spoken = tuple(word for words in said[first:last] for word in words)
                pair = None if pattern is TORQUE else terms[0]
                found.insert(place, (start, end, Reading(terms, spoken, pair)))
    return tuple(reading for _, _, reading in found)


def quantity_terms(text: str) -> tuple[str, ...]:
    """Return the terms of every thread and torque in the text, in order."""
    return tuple(term for reading in read_quantities(text) for term in reading.terms)


def _spoken_atoms(text: str) -> tuple[list[str], list[list[str]]]:
    """Return the atoms of the folded text with number words as digits, and what said each."""
    said = ATOM.findall(fold(text))
    out: list[str] = []
    source: list[list[str]] = []
    at = 0
    while at < len(said):
        number, taken = _number_word(said, at)
        whole = str(number) if taken else said[at]
        counted = taken or int(said[at].isdigit())
        part, more = _part_word(said, at + counted) if whole.isdigit() or not taken else (0, 0)
        if more and not counted and out[-1:] == ["/"]:
            part, more = 0, 0
        if more:
            out += [whole if counted else "1", "/", str(part)]
            source += [said[at : at + counted + more], [], []]
            at += counted + more
        else:
            out.append(whole)
            source.append(said[at : at + max(1, taken)])
            at += max(1, taken)
    return out, source


def _number_word(atoms: list[str], at: int) -> tuple[int, int]:
    """Return the number that words say from ``at`` on and how many atoms say it."""
    word = atoms[at]
    if word in NUMBERS:
        return NUMBERS[word], 1
    if word not in TENS:
        return 0, 0
    if tuple(atoms[at : at + 2]) in TENS_PARTS or tuple(atoms[at : at + 3 : 2]) in TENS_PARTS:
        return 0, 0
    step = 2 if atoms[at + 1 : at + 2] == ["-"] else 1
    unit = NUMBERS.get(atoms[at + step], 10) if at + step < len(atoms) else 10
    return (TENS[word] + unit, step + 1) if unit < 10 else (TENS[word], 1)


def _part_word(atoms: list[str], at: int) -> tuple[int, int]:
    """Return the part of an inch that words name from ``at`` on, and how many atoms name it."""
    skip = 1 if atoms[at : at + 1] == ["-"] else 0
    here = atoms[at + skip : at + skip + 3]
    if not here:
        return 0, 0
    if here[0] in PARTS:
        return PARTS[here[0]], skip + 1
    if here[0] in DENOMINATORS and len(here) > 1 and here[1] in ENDINGS:
        return int(here[0]), skip + 2
    if tuple(here[:2]) in TENS_PARTS:
        return TENS_PARTS[here[0], here[1]], skip + 2
    if len(here) == 3 and here[1] == "-" and (here[0], here[2]) in TENS_PARTS:
        return TENS_PARTS[here[0], here[2]], skip + 3
    return 0, 0


def _plain_number(text: str) -> str:
    """Return a number without idle zeros: 1.0 → 1, 0,80 → 0.8, 06 → 6."""
    text = text.replace(",", ".").replace(". ", "0.")
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return text.lstrip("0") if not text.startswith("0.") and text.lstrip("0") else text


def _metric(match: re.Match[str]) -> tuple[str, ...]:
    size = _plain_number(match[1])
    pitch = match[2] or match[3]
    if not 0 < float(size) <= 100:
        return ()
    if pitch is None:
        return (f"=m{size}",)
    if not 0 < float(_plain_number(pitch)) <= 8:
        return ()
    return f"=m{size}x{_plain_number(pitch)}", f"=m{size}"


def _ba(match: re.Match[str]) -> tuple[str, ...]:
    return (f"={int(match[1] or match[2] or match[3])}ba",)


def _pipe(match: re.Match[str]) -> tuple[str, ...]:
    return (f"=g{_size(match[1])}",)


def _inch(match: re.Match[str]) -> tuple[str, ...]:
    before, fraction, sign, whole, _, between, tpi, unit, after = match.groups()
    pitch = tpi.replace(" ", "").replace("1/2", ".5") if " " in tpi else str(int(tpi))
    series = SERIES.get(before or after or "")
    if not 4 <= float(pitch) <= 99:
        return ()
    if fraction is None:
        said = sign or unit or series or between
        if not said and f"{int(whole)}-{pitch}" not in NUMBER_PAIRS:
            return ()
        size = str(int(whole))
    else:
        size = _size(fraction)
    pair = f"={size}-{pitch}"
    return (pair, f"{pair} {series}") if series else (pair,)


def _sized(match: re.Match[str]) -> tuple[str, ...]:
    series = SERIES.get(match[1] or match[4] or "")
    if not series:
        return ()
    size = _size(match[2]) if match[2] else str(int(match[3]))
    pitch = standard_pitches().get(f"{size} {series}")
    return (f"={size}-{pitch}", f"={size}-{pitch} {series}") if pitch else ()


@cache
def standard_pitches() -> dict[str, str]:
    """Return the pitch of each size of the series that have one pitch a size: ``1/4 bsw``: 20.

    Source: the tables of the units room.
    """
    from kbgen.units import parse_thread

    sizes = [str(number) for number in range(13)]
    sizes += [f"{n}/{d}" for d in (2, 4, 8, 16) for n in range(1, d, 2)]
    sizes += [f"1 {n}/{d}" for d in (2, 4, 8) for n in range(1, d, 2)]
    found = {}
    for series in sorted({SERIES[word] for word in TABLED.split("|")}):
        for size in sizes:
            try:
                thread = parse_thread(f"{size} {series.upper()}")
            except NotationError:
                continue
            if thread.tpi is not None and thread.tpi.denominator == 1:
                found[f"{size} {series}"] = str(thread.tpi)
    return found


def _size(spaced: str) -> str:
    """Return a fraction as designations write it: ``1 1 / 8`` → ``1 1/8``."""
    return spaced.replace(" / ", "/")


def _torque(match: re.Match[str]) -> tuple[str, ...]:
    if match[7]:
        factor = NEWTON_METRES[match[7]]
    else:
        factor = FORCES[match[3] or match[6]] * LEVERS[match[4] or match[5]]
    stated = [float(text.replace(",", ".")) for text in (match[1], match[2]) if text]
    return tuple(f"={two_figures(value * factor)}nm" for value in stated if value > 0)


def two_figures(value: float) -> str:
    """Return a positive value rounded to two figures: 11.98 → ``12e0``, 0.113 → ``11e-2``."""
    exponent = 0
    while value >= 100:
        value /= 10
        exponent += 1
    while value < 10:
        value *= 10
        exponent -= 1
    figures = floor(value + 0.5)
    return f"{figures}e{exponent}" if figures < 100 else f"10e{exponent + 1}"
