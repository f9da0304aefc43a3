"""Basic dimensions of a thread: major, pitch and minor diameters, root, flank angle, stress area.

Sources: ISO 68-1, ISO 724 and ISO 898-1 (metric), ASME B1.1 (unified),
BS 84 (Whitworth form), BS 93 (BA), BS 811 (cycle), ASME B1.20.1 and ISO 228-1
(pipe). Formulas rule; where a standard publishes the figure, the figure does.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import cache
from math import pi, sqrt

from kbgen.units.designation import MM_PER_INCH, System, Thread
from kbgen.units.standards import SeriesRow, series_of, unified_inches
from kbgen.units.standards.load import inches
from kbgen.units.standards.published import ba_table, g_table, npsm_table, npt_table

__all__ = ["NO_SIZE", "Area", "Dimensions", "Form", "dimensions", "stress_area"]

INCH_MM = 25.4
NO_SIZE = "the diameter and the pitch must both be stated"


@dataclass(frozen=True, slots=True)
class Form:
    """The shape of a thread, in units of its pitch.

    Shape: ``effective`` is major less pitch diameter, ``minor`` major less the
    minor diameter of the internal thread, ``root`` major less that of the
    external; ``crest_radius`` and ``root_radius`` are those of the external
    thread, 0 where the crest is flat. The internal thread's own radii are
    ``nut_root_radius`` and ``nut_crest_radius``.
    """

    name: str
    angle_deg: float
    effective: float
    minor: float
    root: float
    crest_radius: float = 0.0
    root_radius: float = 0.0
    nut_crest_radius: float = 0.0
    nut_root_radius: float = 0.0


# ISO 68-1 with the rounded root of ISO 898-1; ASME B1.1 with the UNR root.
METRIC = Form("ISO 68-1", 60, 0.649519, 1.082532, 1.226869, root_radius=0.144338)
UNIFIED = Form("ASME B1.1", 60, 0.64951905, 1.08253175, 1.19078493, root_radius=0.144338)
# Whitworth: depth 0.640327 P, radius 0.137329 P (BS 84). BA: depth 0.6 P, radius 2P/11 (BS 93).
WHITWORTH = Form("BS 84", 55, 0.640327, 1.280654, 1.280654, *(0.137329,) * 4)
BA = Form("BS 93", 47.5, 0.6, 1.2, 1.2, *(2 / 11,) * 4)
# Cycle: depth 0.5327 P, radius P/6 (BS 811). American pipe: depth 0.8 P (ASME B1.20.1).
CYCLE = Form("BS 811", 60, 0.5327, 1.0654, 1.0654, *(1 / 6,) * 4)
TAPER_PIPE = Form("ASME B1.20.1", 60, 0.8, 1.6, 1.6)
STRAIGHT_PIPE = Form("ASME B1.20.1", 60, 0.649519, 1.082532, 1.226869)

_FORMS = {
    System.UNIFIED: UNIFIED,
    System.METRIC: METRIC,
    System.WHITWORTH: WHITWORTH,
    System.BSF: WHITWORTH,
    System.BA: BA,
    System.BRASS: WHITWORTH,
    System.CYCLE: CYCLE,
    System.SEWING: UNIFIED,
    System.NPT: TAPER_PIPE,
    System.NPS: STRAIGHT_PIPE,
    System.NPSM: STRAIGHT_PIPE,
    System.PIPE: WHITWORTH,
    System.HOUSE: UNIFIED,
    System.UNKNOWN: UNIFIED,
}

_ASSUMED = {
    System.SEWING: "60° basic profile: the profile of JIS B 0226 was not seen",
    System.HOUSE: "60° basic profile: a house thread has no standard",
    System.UNKNOWN: "60° basic profile: no system was stated",
}


@dataclass(frozen=True, slots=True)
class Dimensions:
    """The basic dimensions of one thread.

    Shape: ``minor_mm`` is that of the internal thread, ``root_mm`` that of the
    external; ``assumed`` says in a sentence each what no source gives.
    Units: millimetres; ``pitch`` is exact.
    """

    form: Form
    pitch: Fraction
    major_mm: float
    pitch_diameter_mm: float
    minor_mm: float
    root_mm: float
    inch: bool
    assumed: tuple[str, ...] = ()

    @property
    def pitch_mm(self) -> float:
        """The pitch in millimetres."""
        return float(self.pitch)

    @property
    def tpi(self) -> Fraction:
        """The threads per inch, exact."""
        return MM_PER_INCH / self.pitch


@dataclass(frozen=True, slots=True)
class Area:
    """A tensile stress area. Units: mm². ``source`` names its table or its formula."""

    mm2: float
    source: str


@cache
def dimensions(thread: Thread) -> Dimensions:
    """Return the basic dimensions of a thread.

    Raises: ValueError when size or pitch was not said, or a pipe or BA size is
    in no table.
    """
    if thread.size is None:
        raise ValueError(NO_SIZE)
    special = _SPECIAL.get(thread.system)
    if special is not None:
        return special(thread)
    form = _FORMS[thread.system]
    pitch = _pitch(thread)
    major = major_mm(thread)
    d, p = float(major), float(pitch)
    assumed = _ASSUMED.get(thread.system)
    return Dimensions(
        form,
        pitch,
        d,
        d - form.effective * p,
        d - form.minor * p,
        d - form.root * p,
        thread.system is not System.METRIC and thread.inch_size,
        (assumed,) if assumed else (),
    )


def major_mm(thread: Thread) -> Fraction:
    """Return the basic major diameter of a thread that is neither BA nor pipe, exact.

    Raises: ValueError when the size was not said.
    """
    if thread.size is None:
        raise ValueError(NO_SIZE)
    if thread.system is System.METRIC or not thread.inch_size:
        return Fraction(Decimal(thread.size))
    if thread.system in (System.UNIFIED, System.UNKNOWN, System.HOUSE) and thread.tpi is not None:
        return unified_inches(thread.size, thread.tpi) * MM_PER_INCH
    return inches(thread.size) * MM_PER_INCH


def stress_area(thread: Thread) -> Area | None:
    """Return the tensile stress area, published where it is, else by formula.

    None for pipe threads: a pipe is hollow.
    Source: ASME B1.1 (0.7854 (D − 0.9743 P)²); ISO 898-1 (π/4 ((d2 + d3)/2)²);
    Whitworth, BA and cycle by the mean of effective and minor diameter (common
    practice, no published source).
    Raises: ValueError as ``dimensions``.
    """
    if thread.system in (System.NPT, System.NPS, System.NPSM, System.PIPE):
        return None
    size = dimensions(thread)
    for row in series_of(thread):
        if row.area is not None and row.system is thread.system:
            return _published(row)
    if size.form is UNIFIED:
        across = size.major_mm - 0.9743 * size.pitch_mm
        return Area(pi / 4 * across**2, "ASME B1.1 formula 0.7854 (D - 0.9743 P)²")
    mean = (size.pitch_diameter_mm + size.root_mm) / 2
    if size.form is METRIC:
        return Area(pi / 4 * mean**2, "ISO 898-1 formula π/4 ((d2 + d3)/2)²")
    return Area(
        pi / 4 * mean**2,
        "π/4 (mean of effective and minor diameter)² (common practice, no published source)",
    )


def _published(row: SeriesRow) -> Area:
    assert row.area is not None
    if row.system is System.METRIC:
        return Area(float(row.area), "ISO 898-1, published")
    return Area(float(row.area) * INCH_MM**2, "ASME B1.1, published")


def _pitch(thread: Thread) -> Fraction:
    if thread.pitch is not None:
        return Fraction(thread.pitch)
    if thread.tpi is not None:
        return MM_PER_INCH / thread.tpi
    raise ValueError(NO_SIZE)


def _ba(thread: Thread) -> Dimensions:
    for row in ba_table():
        if str(row.number) == thread.size:
            major, effective, minor = (
                float(x) for x in (row.major_mm, row.effective_mm, row.minor_mm)
            )
            return Dimensions(BA, Fraction(row.pitch_mm), major, effective, minor, minor, False)
    raise ValueError(f"{thread.size} BA is not in BS 93, which runs from 0 to 16")


def _npt(thread: Thread) -> Dimensions:
    for row in npt_table():
        if row.size == thread.size:
            p = INCH_MM / float(row.tpi)
            effective = float(row.e1_in) * INCH_MM
            return Dimensions(
                TAPER_PIPE,
                MM_PER_INCH / row.tpi,
                float(row.major_in) * INCH_MM,
                effective,
                effective - 0.8 * p,
                effective - 0.8 * p,
                True,
                ("taper 1 in 16: pitch and minor diameter at the hand-tight plane",),
            )
    raise ValueError(f"NPT {thread.size} is not in the table of ASME B1.20.1")


def _npsm(thread: Thread) -> Dimensions:
    for row in npsm_table():
        if row.size == thread.size:
            p = INCH_MM / float(row.tpi)
            effective = float(row.internal_pitch_in[0]) * INCH_MM
            return Dimensions(
                STRAIGHT_PIPE,
                MM_PER_INCH / row.tpi,
                float(row.external_major_in[1]) * INCH_MM,
                effective,
                float(row.internal_minor_in[0]) * INCH_MM,
                float(row.external_pitch_in[1]) * INCH_MM - 2 / sqrt(12) * p,
                True,
            )
    raise ValueError(f"{thread.system} {thread.size} is not in the table of ASME B1.20.1")


def _g(thread: Thread) -> Dimensions:
    for row in g_table():
        if row.size == thread.size:
            major, effective, minor = (
                float(x) for x in (row.major_mm, row.pitch_diameter_mm, row.minor_mm)
            )
            pitch = MM_PER_INCH / row.tpi
            return Dimensions(WHITWORTH, pitch, major, effective, minor, minor, True)
    raise ValueError(f"G{thread.size} is not in the table of ISO 228-1")


_SPECIAL = {
    System.BA: _ba,
    System.NPT: _npt,
    System.NPS: _npsm,
    System.NPSM: _npsm,
    System.PIPE: _g,
}
