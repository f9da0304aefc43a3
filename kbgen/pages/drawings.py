"""Threads drawn to scale, as SVG that stands in the page and says in words what it shows.

One user unit is one millimetre of the drawing, so that a print at 100 % is true to the
stated scale. Source of the proportions: the basic profile of the thread itself, its
flanks at its own angle; ISO 6410-1 for the dimension lines.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from kbgen.pages.figures import NARROW, stamp

__all__ = ["Profile", "elevation", "hour_scale", "load_bar", "overlay", "year_scale"]

_SCALES = (20, 10, 8, 5, 4, 3, 2, 1)
_WIDTH = 46.0
_HEIGHT = 30.0
_LAID = 80.0

Points = list[tuple[float, float]]


@dataclass(frozen=True, slots=True)
class Profile:
    """The basic form of a thread, enough to draw it.

    Shape: ``minor_mm`` is the diameter at the bottom of the groove.
    """

    major_mm: float
    minor_mm: float
    pitch_mm: float
    angle_deg: float
    left_hand: bool = False

    @property
    def depth_mm(self) -> float:
        """How deep the groove is, on one side."""
        return (self.major_mm - self.minor_mm) / 2

    @property
    def flank_mm(self) -> float:
        """How far a flank runs along the axis, never more than the pitch allows."""
        run = self.depth_mm * math.tan(math.radians(self.angle_deg / 2))
        return min(run, self.pitch_mm * 0.46)

    @property
    def crest_mm(self) -> float:
        """How wide the flat of the crest is: what is left, shared between crest and root."""
        return (self.pitch_mm - 2 * self.flank_mm) / 3


def _n(value: float) -> str:
    """Return a coordinate, to the hundredth of a millimetre of the drawing."""
    return f"{value:.2f}".rstrip("0").rstrip(".")


def _through(points: Iterable[tuple[float, float]], close: bool = False) -> str:
    line = "M" + " ".join(f"{_n(x)} {_n(y)}" for x, y in points)
    return line + "z" if close else line


def _path(kind: str, line: str) -> Markup:
    return Markup('<path class="{}" d="{}"/>').format(kind, line)


def _text(x: float, y: float, words: str, kind: str = "fig") -> Markup:
    return Markup('<text class="{}" x="{}" y="{}">{}</text>').format(kind, _n(x), _n(y), words)


def _figure(
    body: Markup,
    box: tuple[float, float, float, float],
    kind: str,
    words: str,
    caption: str | Markup,
) -> Markup:
    x, y, wide, high = (_n(side) for side in box)
    return Markup(
        '<figure class="{}"><svg width="{}mm" height="{}mm" viewBox="{} {} {} {}" role="img" '
        'aria-label="{}">{}</svg><figcaption>{}</figcaption></figure>'
    ).format(kind, wide, high, x, y, wide, high, words, body, caption)


def _tooth(profile: Profile, centre: float, scale: float) -> Points:
    """Return a crest's four corners: along the axis, and how far below the crest."""
    half = profile.crest_mm / 2
    foot = half + profile.flank_mm
    return [
        ((centre + along) * scale, down * scale)
        for along, down in (
            (-foot, profile.depth_mm),
            (-half, 0.0),
            (half, 0.0),
            (foot, profile.depth_mm),
        )
    ]


def _fitting(profile: Profile) -> tuple[float, int]:
    """Return the largest scale at which the thread fits its place, and how many turns."""
    scale = next(
        (
            scale
            for scale in _SCALES
            if profile.major_mm * scale <= _HEIGHT and profile.pitch_mm * scale * 4 <= _WIDTH
        ),
        1,
    )
    return scale, max(3, min(12, int(_WIDTH / (profile.pitch_mm * scale))))


def elevation(profile: Profile, words: str) -> Markup:
    """Return a thread seen from the side, with its diameter and pitch measured on it.

    Shape: the lines of the thread lean as the hand of the helix makes them; ``words``
    names the thread for somebody who does not see the drawing.
    """
    scale, turns = _fitting(profile)
    high = profile.major_mm * scale
    # the far edge is half a turn on; seen from the side that leans with the hand
    lean = profile.pitch_mm / 2 * (-1 if profile.left_hand else 1)
    centres = [profile.pitch_mm * (turn + 1) for turn in range(turns)]
    uppers = [_tooth(profile, centre, scale) for centre in centres]
    lowers = [
        [(x, high - y) for x, y in _tooth(profile, centre + lean, scale)] for centre in centres
    ]
    outline = [point for tooth in uppers for point in tooth]
    outline += reversed([point for tooth in lowers for point in tooth])
    crests = "".join(
        _through((upper[at], lower[at]))
        for upper, lower in zip(uppers, lowers, strict=True)
        for at in (1, 2)
    )
    left, right = min(x for x, _ in outline) - 0.5, max(x for x, _ in outline) + 0.5
    body = _path("steel", _through(outline, close=True)) + _path("thin", crests)
    body += _path("axis", f"M{_n(left - 1)} {_n(high / 2)}H{_n(right + 1)}")
    body += _pitch_measured(profile, centres[turns // 2 - 1] * scale, scale)
    body += _diameter_measured(profile, right, high)
    box = (left - 1.2, -7.0, right + 17 - left, high + 8)
    pitch, major = _figure_of(profile.pitch_mm), _figure_of(profile.major_mm)
    told = f"{words} seen from the side: {major} mm across, {pitch} mm from crest to crest"
    return _figure(body, box, "draw", told, f"drawn {scale:g} : 1")


def _figure_of(value: float) -> str:
    return f"{value:.3f}".rstrip("0").rstrip(".")


def _pitch_measured(profile: Profile, crest: float, scale: float) -> Markup:
    """Return the dimension line over two neighbouring crests, with its figure."""
    after = crest + profile.pitch_mm * scale
    lines = (
        f"M{_n(crest)} -1.4V-4M{_n(after)} -1.4V-4"
        f"M{_n(crest)} -2.6h-3M{_n(after)} -2.6h3"
    )  # fmt: skip
    return _path("dim", lines) + _text(after + 1.2, -3.6, _figure_of(profile.pitch_mm))


def _diameter_measured(profile: Profile, right: float, high: float) -> Markup:
    """Return the dimension line across the thread, with its figure."""
    line = right + 2.2
    lines = f"M{_n(right)} 0h3.4M{_n(right)} {_n(high)}h3.4M{_n(line)} 0V{_n(high)}"
    figure = f"⌀{NARROW}{_figure_of(profile.major_mm)}"
    return _path("dim", lines) + _text(line + 1, high / 2 + 1.1, figure)


def overlay(screw: Profile, hole: Profile, turns: float | None, names: tuple[str, str]) -> Markup:
    """Return a screw's flanks laid into the grooves of a hole, and where the two meet.

    Shape: the first groove is drawn in step; from there on the mismatch of the pitches
    grows as it does in the metal. ``turns`` is where it binds, None where it never does;
    ``names`` are those of the screw's thread and the hole's.
    """
    scale = max(1.0, min(12.0, math.floor(_LAID / (screw.pitch_mm * 9))))
    long = _LAID / scale
    base = max(screw.depth_mm, hole.depth_mm) * scale
    gap = (hole.major_mm - screw.major_mm) / 2 * scale
    solid: Points = [(0.0, base + 4)]
    for turn in range(int(long / screw.pitch_mm)):
        solid += _tooth(screw, (turn + 0.5) * screw.pitch_mm, scale)
    solid.append((solid[-1][0], base + 4))
    groove: Points = [(0.0, -6.0)]
    for turn in range(int(long / hole.pitch_mm)):
        centre = screw.pitch_mm / 2 + turn * hole.pitch_mm
        groove += [(x, y - gap) for x, y in _tooth(hole, centre, scale)]
    groove.append((groove[-1][0], -6.0))
    body = _path("hole", _through(groove, close=True))
    body += _path("steel", _through(solid, close=True))
    if turns is not None and 0 < turns * screw.pitch_mm < long:
        at = (turns + 0.5) * screw.pitch_mm * scale
        body += _path("meet", f"M{_n(at)} -6V{_n(base + 8)}")
        body += _text(at + 1, base + 8, f"binds after {turns:.1f} turns", "meet")
    box = (-0.5, -6.5, _LAID + 2, base + 15.5)
    words = f"the flanks of {names[0]} laid into the grooves of {names[1]}"
    caption = Markup("Solid: {} screw. Line: {} hole. Drawn {} : 1").format(
        stamp(names[0]), stamp(names[1]), f"{scale:g}"
    )
    return _figure(body, box, "draw laid", words, caption)


def load_bar(low: float, high: float) -> Markup:
    """Return a bar from nought to the whole proof load, filled as far as a torque uses it.

    Units: shares, 1 the proof load; what is over 1 fills the bar. The words beside it
    say the same.
    """
    first, last = min(1.0, low) * 30, min(1.0, high) * 30
    body = _path("edge", "M0 0H30V3H0z") + _path("full", f"M0 0H{_n(first)}V3H0z")
    if last > first:
        body += _path("part", f"M{_n(first)} 0H{_n(last)}V3H{_n(first)}z")
    return Markup(
        '<svg class="load" viewBox="-.2 -.2 30.4 3.4" width="30mm" height="3.4mm" '
        'aria-hidden="true" focusable="false">{}</svg> '
    ).format(body)


def hour_scale(length_s: int, marks: Iterable[int]) -> Markup:
    """Return a recording's length as a graduated rule, with a flag at every chapter.

    Units: ``length_s`` and ``marks`` in seconds.
    """
    step = next(s for s in (10, 30, 60, 300, 600, 1800, 86400) if length_s / s <= 60)
    long = step * (5 if length_s / (step * 5) <= 8 else 10)
    figures = [(at, f"{at // 60}:{at % 60:02}") for at in range(0, length_s + 1, long)]
    return _graduated(length_s, step, figures, list(marks))


def year_scale(dates: Sequence[float]) -> Markup:
    """Return years as a graduated rule, with a flag at every date.

    Units: ``dates`` in years and their fractions, 1911.5 the middle of 1911.
    """
    first = int(min(dates)) // 5 * 5
    last = -(-int(max(dates) + 1) // 5) * 5
    every = 5 if last - first <= 40 else 10 if last - first <= 80 else 20
    figures = [(year - first, str(year)) for year in range(first, last, every)]
    return _graduated(last - first, 1, figures, [date - first for date in dates])


def _graduated(
    long: int, step: int, figures: Sequence[tuple[int, str]], flags: Sequence[float]
) -> Markup:
    """Return a rule 100 units wide: a stroke a step, a longer one every fifth."""
    per = 100 / max(1, long)
    ticks = "".join(
        f"M{_n(at * per)} 0v{1.5 if (at // step) % 5 else 2.6}" for at in range(0, long + 1, step)
    )
    body = _path("edge", "M0 0h100") + _path("mm", ticks)
    body += _path("flag", "".join(f"M{_n(at * per)} -4.5v4.5" for at in flags))
    for at, words in figures:
        body += _text(at * per, 5.6, words)
    return Markup(
        '<svg class="minutes" viewBox="-1 -5 104 12" aria-hidden="true" focusable="false">{}</svg>'
    ).format(body)
