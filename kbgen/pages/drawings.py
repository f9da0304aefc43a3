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

from kbgen.pages.figures import stamp

__all__ = ["Profile", "elevation", "hour_scale", "load_bar", "overlay", "steel_rule", "year_scale"]

_SCALES = (20, 10, 8, 5, 4, 3, 2, 1)
_SMALL = (46.0, 30.0)
_LARGE = (90.0, 45.0)
_LAID = 120.0

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


# Figures of one stroke, as a cutter engraves them: 2 mm high, from the top left; and how
# far it is to the next. A reader hears the words beside a drawing instead.
_ENGRAVED = {
    "0": ("m.6 0a.6 .6 0 0 1 .6 .6v.8a.6 .6 0 0 1 -1.2 0v-.8a.6 .6 0 0 1 .6 -.6", 1.7),
    "1": ("m.2 .45l.45 -.45v2", 1.4),
    "2": ("m0 .6a.6 .6 0 0 1 1.2 0c0 .5 -1.2 .9 -1.2 1.4h1.2", 1.7),
    "3": ("m.1 0h1.05l-.65 .8a.6 .6 0 1 1 -.5 .85", 1.7),
    "4": ("m.85 2v-2l-.85 1.4h1.2", 1.7),
    "5": ("m1.1 0h-.9l-.1 .85a.6 .6 0 1 1 -.1 .8", 1.7),
    "6": ("m.95 0l-.8 1.05a.58 .58 0 1 0 .95 0a.58 .58 0 0 0 -.95 0", 1.7),
    "7": ("m0 0h1.2l-.75 2", 1.7),
    "8": (
        "m.6 0a.46 .46 0 1 0 0 .92a.54 .54 0 1 0 0 1.08a.54 .54 0 1 0 0 -1.08a.46 .46 0 1 0 0 -.92",
        1.7,
    ),
    "9": ("m.25 2l.8 -1.05a.58 .58 0 1 0 -.95 0a.58 .58 0 0 0 .95 0", 1.7),
    ".": ("m.15 1.95h.01", 0.8),
    ":": ("m.15 .6h.01m-.01 1.1h.01", 0.8),
    "⌀": ("m.75 .35a.65 .65 0 1 1 0 1.3a.65 .65 0 1 1 0 -1.3m-.6 1.5l1.2 -1.7", 2.1),
}


def _engraved(x: float, y: float, figure: str) -> str:
    """Return the strokes of a figure whose upper left corner is at ``x``, ``y``."""
    strokes = []
    for sign in figure:
        stroke, advance = _ENGRAVED[sign]
        strokes.append(f"M{_n(x)} {_n(y)}{stroke}")
        x += advance
    return "".join(strokes)


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


def _fitting(profile: Profile, wide: float, high: float) -> tuple[float, int]:
    """Return the largest scale at which the thread fits its place, and how many turns."""
    scale = next(
        (
            scale
            for scale in _SCALES
            if profile.major_mm * scale <= high and profile.pitch_mm * scale * 4 <= wide
        ),
        1,
    )
    return scale, max(3, min(12, int(wide / (profile.pitch_mm * scale))))


def elevation(profile: Profile, words: str, at_large: bool = False) -> Markup:
    """Return a thread seen from the side, with its diameter and pitch measured on it.

    Shape: the lines of the thread lean as the hand of the helix makes them; ``words``
    names the thread for somebody who does not see the drawing. Every turn is drawn by
    the same relative strokes, which makes for a small page.
    """
    scale, turns = _fitting(profile, *(_LARGE if at_large else _SMALL))
    high, pitch = profile.major_mm * scale, profile.pitch_mm * scale
    depth, flank, crest = (
        value * scale for value in (profile.depth_mm, profile.flank_mm, profile.crest_mm)
    )
    root = pitch - 2 * flank - crest
    # the far edge is half a turn on; seen from the side that leans with the hand
    lean = -pitch / 2 if profile.left_hand else pitch / 2
    upper = f"l{_n(flank)} {_n(-depth)}h{_n(crest)}l{_n(flank)} {_n(depth)}h{_n(root)}" * turns
    lower = f"h{_n(-root)}l{_n(-flank)} {_n(depth)}h{_n(-crest)}l{_n(-flank)} {_n(-depth)}" * turns
    outline = f"M0 {_n(depth)}{upper}l{_n(lean)} {_n(high - 2 * depth)}{lower}z"
    edge = f"l{_n(lean)} {_n(high)}m{_n(-lean)} {_n(-high)}"
    crests = f"M{_n(flank)} 0" + f"{edge}m{_n(crest)} 0{edge}m{_n(pitch - crest)} 0" * turns
    left, right = min(0, lean) - 1, turns * pitch + max(0, lean)
    body = _path("steel", outline) + _path("thin", crests)
    body += _path("axis", f"M{_n(left)} {_n(high / 2)}H{_n(right + 1)}")
    first = flank + crest / 2 + (turns // 2 - 1) * pitch
    body += _pitch_measured(profile, first, first + pitch)
    body += _diameter_measured(profile, right, high)
    box = (left - 0.5, -7.0, right + 17.5 - left, high + 8)
    across, along = _figure_of(profile.major_mm), _figure_of(profile.pitch_mm)
    told = f"{words} seen from the side: {across} mm across, {along} mm from crest to crest"
    return _figure(body, box, "draw", told, f"drawn {scale:g} : 1 on paper")


def _figure_of(value: float) -> str:
    """Return a figure of a drawing, to the micrometre, one decimal at least."""
    text = f"{value:.3f}".rstrip("0")
    return text + "0" if text.endswith(".") else text


def _pitch_measured(profile: Profile, crest: float, after: float) -> Markup:
    """Return the dimension line over two neighbouring crests, with its figure."""
    lines = f"M{_n(crest)} -1.4V-4m0 1.4h-3M{_n(after)} -1.4V-4m0 1.4h3"
    return _path("dim", lines) + _path(
        "nos", _engraved(after + 1.4, -6, _figure_of(profile.pitch_mm))
    )


def _diameter_measured(profile: Profile, right: float, high: float) -> Markup:
    """Return the dimension line across the thread, with its figure."""
    line = right + 2.2
    lines = f"M{_n(right)} 0h3.4m-3.4 {_n(high)}h3.4m-1.2 0v{_n(-high)}"
    figure = _engraved(line + 1.2, high / 2 - 1, "⌀" + _figure_of(profile.major_mm))
    return _path("dim", lines) + _path("nos", figure)


def overlay(screw: Profile, hole: Profile, turns: float | None, names: tuple[str, str]) -> Markup:
    """Return a screw's flanks laid into the grooves of a hole, and where the two meet.

    Shape: the first groove is drawn in step; from there on the mismatch of the pitches
    grows as it does in the metal. ``turns`` is where it binds, None where it never does;
    ``names`` are those of the screw's thread and the hole's.
    """
    scale = max(1.0, min(15.0, math.floor(_LAID / (screw.pitch_mm * 9))))
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
    binds = ""
    if turns is not None and 0 < turns * screw.pitch_mm < long:
        at = (turns + 0.5) * screw.pitch_mm * scale
        body += _path("meet", f"M{_n(at)} -6V{_n(base + 6)}")
        binds = f" The stroke is where it binds, after {turns:.1f} turns."
    box = (-0.5, -6.5, _LAID + 2, base + 13)
    words = f"the flanks of {names[0]} laid into the grooves of {names[1]}"
    caption = Markup("Solid the {} screw, in line the {} hole, drawn {} : 1 on paper.{}").format(
        stamp(names[0]), stamp(names[1]), f"{scale:g}", binds
    )
    return _figure(body, box, "draw laid", words, caption)


def steel_rule(long_cm: int) -> Markup:
    """Return a graduated rule, true to the millimetre where a page prints at 100 %.

    Shape: an ornament of strokes alone, its figures engraved as strokes too; the style
    draws the millimetres, half and whole centimetres as dashes of three lines.
    """
    figures = "".join(_engraved(at * 10 + 0.9, 3, str(at)) for at in range(1, long_cm))
    long = 10 * long_cm
    body = Markup("").join(
        _path(kind, f"M0 {middle}h{long}")
        for kind, middle in (("mm", ".9"), ("cc", "1.3"), ("cm", "1.8"), ("edge", ".1"))
    )
    return Markup(
        '<svg class="rule" width="{0}mm" height="6mm" viewBox="0 0 {0} 6" aria-hidden="true" '
        'focusable="false">{1}</svg>'
    ).format(long, body + _path("nos", figures))


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
    body += _path("nos", "".join(_engraved(at * per, 3.6, words) for at, words in figures))
    return Markup(
        '<svg class="minutes" viewBox="-1 -5 104 12" aria-hidden="true" focusable="false">{}</svg>'
    ).format(body)
