"""Threads drawn to scale, as SVG that stands in the page and says in words what it shows.

One user unit is one millimetre of the drawing, so that a print at 100 % is true to the
stated scale. Source of the proportions: the basic profile of the thread itself, its
flanks at its own angle; ISO 6410-1 for the dimension lines.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from markupsafe import Markup

from kbgen.pages.figures import stamp
from kbgen.pages.strokes import engraved, n, path
from kbgen.units import Flanks

__all__ = ["Cabinet", "Profile", "comb", "elevation", "overlay"]

_SCALES = (20, 10, 8, 5, 4, 3, 2, 1)
_WIDE, _HIGH = 90.0, 42.0
"""The place of a thread that has a page to itself, in millimetres."""
_PIECE, _TALLEST = 40.0, 40.0
"""The length of thread on a drawer label, and how tall the thickest one may be."""
_LAID = 120.0
"""How long two threads are that are laid over each other."""
_COMB = 60.0

Section = Sequence[tuple[float, float]]


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


def _svg(
    box: tuple[float, float, float, float], kind: str, words: str, body: str | Markup
) -> Markup:
    x, y, wide, high = (n(side) for side in box)
    return Markup(
        '<svg class="{}" width="{}mm" height="{}mm" viewBox="{} {} {} {}" role="img" '
        'aria-label="{}">{}</svg>'
    ).format(kind, wide, high, x, y, wide, high, words, body)


def _figure_of(value: float) -> str:
    """Return a figure of a drawing, to the micrometre, one decimal at least."""
    text = f"{value:.3f}".rstrip("0")
    return text + "0" if text.endswith(".") else text


def _told(profile: Profile, name: str) -> str:
    """Return what a drawing shows to somebody who does not see it."""
    across, along = _figure_of(profile.major_mm), _figure_of(profile.pitch_mm)
    return f"{name} seen from the side: {across} mm across, {along} mm from crest to crest"


# --- a thread seen from the side


def _lean(profile: Profile, scale: float) -> float:
    """Return how far a crest leans from the near edge to the far one, as its hand makes it."""
    return (-0.5 if profile.left_hand else 0.5) * profile.pitch_mm * scale


@lru_cache(maxsize=2048)
def _side(profile: Profile, scale: float, turns: int) -> Markup:
    """Return the outline and the crests of some turns, the first foot at 0, the top crest at 0.

    Every turn is drawn by the same relative strokes, which makes for a small page.
    """
    high, pitch = profile.major_mm * scale, profile.pitch_mm * scale
    depth, flank, crest = (
        value * scale for value in (profile.depth_mm, profile.flank_mm, profile.crest_mm)
    )
    root = round(pitch, 2) - 2 * round(flank, 2) - round(crest, 2)
    lean = _lean(profile, scale)
    upper = f"l{n(flank)} {n(-depth)}h{n(crest)}l{n(flank)} {n(depth)}h{n(root)}" * turns
    lower = f"h{n(-root)}l{n(-flank)} {n(depth)}h{n(-crest)}l{n(-flank)} {n(-depth)}" * turns
    outline = f"M0 {n(depth)}{upper}l{n(lean)} {n(high - 2 * depth)}{lower}z"
    edge = f"l{n(lean)} {n(high)}m{n(-lean)} {n(-high)}"
    crests = f"M{n(flank)} 0" + f"{edge}m{n(crest)} 0{edge}m{n(pitch - crest)} 0" * turns
    return path("steel", outline) + path("thin", crests)


def elevation(profile: Profile, name: str) -> Markup:
    """Return a thread seen from the side, with its diameter and pitch measured on it.

    Shape: the lines of the thread lean as the hand of the helix makes them.
    """
    scale = next(
        (
            scale
            for scale in _SCALES
            if profile.major_mm * scale <= _HIGH and profile.pitch_mm * scale * 4 <= _WIDE
        ),
        1,
    )
    high, pitch = profile.major_mm * scale, profile.pitch_mm * scale
    turns = max(3, min(12, int(_WIDE / pitch)))
    lean = _lean(profile, scale)
    left, right = min(0, lean) - 1, turns * pitch + max(0, lean)
    body = _side(profile, scale, turns)
    body += path("axis", f"M{n(left)} {n(high / 2)}H{n(right + 1)}")
    first = (profile.flank_mm + profile.crest_mm / 2) * scale + (turns // 2 - 1) * pitch
    body += _pitch_measured(profile, first, first + pitch)
    body += _diameter_measured(profile, right, high)
    box = (left - 0.5, -9.0, right + 22 - left, high + 10)
    return Markup(
        '<figure class="draw">{}<figcaption>drawn {} : 1 on paper</figcaption></figure>'
    ).format(_svg(box, "big", _told(profile, name), body), scale)


def _large(x: float, y: float, figure: str) -> Markup:
    """Return engraved figures of a drawing that stands alone, half as large again."""
    return Markup('<path class="nos" transform="translate({} {})scale(1.5)" d="{}"/>').format(
        n(x), n(y), engraved(0, 0, figure)
    )


def _pitch_measured(profile: Profile, crest: float, after: float) -> Markup:
    """Return the dimension line over two neighbouring crests, with its figure."""
    lines = f"M{n(crest)} -1.4V-5m0 1.4h-3M{n(after)} -1.4V-5m0 1.4h3"
    figure = _large(after + 4, -5.1, _figure_of(profile.pitch_mm))
    return path("dim", lines) + figure


def _diameter_measured(profile: Profile, right: float, high: float) -> Markup:
    """Return the dimension line across the thread, with its figure."""
    line = right + 2.2
    lines = f"M{n(right)} 0h3.4m-3.4 {n(high)}h3.4m-1.2 0v{n(-high)}"
    return path("dim", lines) + _large(line + 1.6, high / 2 - 1.5, _figure_of(profile.major_mm))


class Cabinet:
    """The threads of one page's drawer labels: each drawn once, all to one scale.

    A thicker screw then looks thicker. A label shows its thread by its name.
    """

    def __init__(self, profiles: Mapping[str, Profile]) -> None:
        thickest = max((profile.major_mm for profile in profiles.values()), default=1.0)
        self._profiles = profiles
        self._names = {name: f"_d{number}" for number, name in enumerate(profiles)}
        self.scale = next((s for s in _SCALES if thickest * s <= _TALLEST), 1)

    def _turns(self, profile: Profile) -> int:
        return max(3, int(_PIECE / (profile.pitch_mm * self.scale)))

    def symbols(self) -> Markup:
        """Return the drawings that the labels show, in an element that takes no room."""
        if not self._profiles:
            return Markup("")
        drawn = "".join(
            f'<g id="{self._names[name]}">{_side(profile, self.scale, self._turns(profile))}</g>'
            for name, profile in self._profiles.items()
        )
        return Markup(
            '<svg class="defs" width="0" height="0" aria-hidden="true" focusable="false">'
            f"<defs>{drawn}</defs></svg>"
        )

    def drawing(self, name: str) -> Markup:
        """Return the drawing of a thread on its label, with its figures; empty for none."""
        profile = self._profiles.get(name)
        if profile is None:
            return Markup("")
        return _piece(profile, self.scale, self._turns(profile), name, self._names[name])


@lru_cache(maxsize=2048)
def _piece(profile: Profile, scale: int, turns: int, name: str, mark: str) -> Markup:
    """Return the drawing on a label: some turns that stand under ``mark``, and their figures."""
    lean = _lean(profile, scale)
    left = min(0, lean) - 0.3
    wide = turns * profile.pitch_mm * scale + abs(lean) + 0.6
    box = (left, -0.3, wide, profile.major_mm * scale + 0.6)
    use = Markup('<use href="#{}"/>').format(mark)
    across, along = _figure_of(profile.major_mm), _figure_of(profile.pitch_mm)
    return Markup('<figure class="draw">{}<figcaption>⌀ {} × {} mm</figcaption></figure>').format(
        _svg(box, "piece", f"{name} from the side", use), across, along
    )


# --- a screw in a hole


def overlay(flanks: Flanks, turns: float | None, names: tuple[str, str], mark: str) -> Markup:
    """Return a screw laid into a hole: ridge by ridge out of step, black where metal meets.

    Shape: the first ridge lies against that flank of its groove from which the mismatch
    takes the longest way; ``turns`` is where it binds, None where it never does; ``names``
    are those of the screw's thread and the hole's; ``mark`` makes the drawing's own ids.
    """
    scale = max(2, min(20, math.floor(_LAID / (flanks.ridge_pitch * 9))))
    ridge, groove = (_corners(side) for side in (flanks.ridge, flanks.groove))
    step, other = flanks.ridge_pitch * scale, flanks.groove_pitch * scale
    count = int(_LAID / step)
    sign = 1 if step >= other else -1
    first = max(ridge[-1][1], groove[-1][1]) * scale / 2
    start = first - sign * flanks.room * scale / 2
    low, high = ridge[-1][0] * scale, min(0.0, groove[0][0] * scale)
    wide = first + count * step
    solid = _run(ridge, start, step, count, scale, low + 4)
    around = _run(groove, first, other, int(_LAID / other) + 1, scale, high - 4)
    body = Markup(
        '<defs><path id="{0}s" d="{1}"/><clipPath id="{0}c"><path id="{0}h" d="{2}"/></clipPath>'
        '</defs><use class="steel" href="#{0}s"/><use class="hole" href="#{0}h"/>'
        '<use class="clash" href="#{0}s" clip-path="url(#{0}c)"/>'
    ).format(mark, solid, around)
    numbers = "".join(
        engraved(start + turn * step - 0.7, low + 1.2, str(turn)) for turn in range(count)
    )
    body += path("nos", numbers)
    binds = ""
    if turns is not None and turns < count - 1:
        at = n(start + turns * step)
        body += path("meet", f"M{at} {n(low + 4)}V{n(high - 5)}l-1.6 -3.2h3.2L{at} {n(high - 5)}")
        binds = f"It binds at the arrow, after {turns:.1f} turns."
        binds = binds if turns else "The flanks foul at the arrow, in the first turn."
    box = (-0.5, high - 8.7, wide + 1, low - high + 13.5)
    words = f"the flanks of {names[0]} laid into the grooves of {names[1]}. {binds}".strip()
    caption = Markup(
        "Below the {} screw, its turns numbered; above the {} hole; {} : 1 on paper. "
        "Black is where two metals want one place. {}"
    ).format(stamp(names[0]), stamp(names[1]), scale, binds)
    return Markup('<figure class="draw laid">{}<figcaption>{}</figcaption></figure>').format(
        _svg(box, "pairing", words, body), caption
    )


def _corners(section: Section) -> list[tuple[float, float]]:
    """Return a section without the points that lie within a hair of the line between others.

    The way of Ramer, Douglas and Peucker; a hair is a sixtieth of the section's width.
    """
    (first, wide), (last, narrow) = section[0], section[-1]
    hair = max(wide for _, wide in section) / 60

    def off(point: tuple[float, float]) -> float:
        along = (point[0] - first) / (last - first)
        return abs(point[1] - wide - along * (narrow - wide))

    worst = max(range(1, len(section) - 1), key=lambda n: off(section[n]), default=0)
    if not worst or off(section[worst]) <= hair:
        return [section[0], section[-1]]
    return [*_corners(section[: worst + 1])[:-1], *_corners(section[worst:])]


def _run(section: Section, start: float, step: float, count: int, scale: float, end: float) -> str:
    """Return the outline of a section repeated along the axis, closed at the height ``end``.

    Shape: ``start`` is the middle of the first one. What is rounded within a turn is made
    good by its last stroke, so that no error adds up.
    """
    half = [(round(down * scale, 2), round(wide * scale / 2, 2)) for down, wide in section]
    fall = [(two[1] - one[1], two[0] - one[0]) for one, two in pairwise(half)]
    rise = [(along, -down) for along, down in reversed(fall)]
    turn = "".join(f"l{n(along)} {n(down)}" for along, down in rise)
    turn += f"h{n(2 * half[0][1])}" + "".join(f"l{n(along)} {n(down)}" for along, down in fall)
    turn += f"h{n(round(step, 2) - 2 * half[-1][1])}"
    return f"M{n(start - half[-1][1])} {n(end)}V{n(half[-1][0])}{turn * count}V{n(end)}z"


# --- a pitch gauge


def comb(profile: Profile, words: str) -> Markup:
    """Return a leaf of a pitch gauge at true scale, its teeth up, sixty millimetres long."""
    flank, crest, depth = profile.flank_mm, profile.crest_mm, profile.depth_mm
    count = int(_COMB / profile.pitch_mm)
    # what is rounded within a tooth is made good by its root, so that no error adds up
    root = round(profile.pitch_mm, 4) - 2 * round(flank, 4) - round(crest, 4)
    tooth = f"l{flank:.4f} {-depth:.4f}h{crest:.4f}l{flank:.4f} {depth:.4f}h{root:.4f}"
    line = f"M0 6V{depth:.4f}{tooth * count}V6z"
    return _svg((-0.2, -0.2, _COMB + 0.4, 6.4), "comb", words, path("leaf", line))
