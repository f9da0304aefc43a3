"""Pencil, ruler and compasses: what the pictures of the demonstration are drawn with.

Everything is drawn four times as large as it is shown and brought down once, so that
lines are smooth. Units are pixels of the finished picture; angles are in degrees, with
the clock. The ground is the picture's own, so that it looks the same on a light page
and on a dark one. No chance and no clock: the same program draws the same picture.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations
from math import cos, hypot, radians, sin

from PIL import Image, ImageDraw, ImageFont

__all__ = [
    "ACCENT",
    "BRASS",
    "COPPER",
    "INK",
    "PAPER",
    "RUBBER",
    "STEEL",
    "WHITE",
    "Point",
    "Sketch",
    "tab",
    "turned",
]

Point = tuple[float, float]
Colour = tuple[int, int, int]

LARGER = 4
PAPER: Colour = (246, 241, 228)
WHITE: Colour = (255, 253, 247)
INK: Colour = (31, 45, 56)
ACCENT: Colour = (176, 58, 32)
STEEL: Colour = (201, 210, 215)
BRASS: Colour = (222, 190, 120)
COPPER: Colour = (201, 132, 88)
RUBBER: Colour = (92, 96, 100)


class Sketch:
    """One picture while it is being drawn."""

    def __init__(self, width: int = 960, height: int = 600) -> None:
        self.width, self.height = width, height
        self._image = Image.new("RGB", (width * LARGER, height * LARGER), PAPER)
        self._pen = ImageDraw.Draw(self._image)

    def line(self, *points: Point, colour: Colour = INK, wide: float = 4) -> None:
        """Draw a line through the points, with round ends and corners."""
        large = [_large(point) for point in points]
        thick = round(wide * LARGER)
        self._pen.line(large, fill=colour, width=thick, joint="curve")
        for x, y in (large[0], large[-1]):
            half = thick / 2
            self._pen.ellipse((x - half, y - half, x + half, y + half), fill=colour)

    def shape(
        self,
        points: Sequence[Point],
        fill: Colour | None = WHITE,
        colour: Colour = INK,
        wide: float = 4,
    ) -> None:
        """Draw a closed shape."""
        if fill is not None:
            self._pen.polygon([_large(point) for point in points], fill=fill)
        if wide:
            self.line(*points, points[0], points[1], colour=colour, wide=wide)

    def box(
        self, left: float, top: float, right: float, low: float, fill: Colour | None = WHITE,
        colour: Colour = INK, wide: float = 4,
    ) -> None:  # fmt: skip
        """Draw an upright rectangle."""
        corners = [(left, top), (right, top), (right, low), (left, low)]
        self.shape(corners, fill, colour, wide)

    def ring(
        self, centre: Point, radius: float, fill: Colour | None = WHITE, colour: Colour = INK,
        wide: float = 4, across: float | None = None,
    ) -> None:  # fmt: skip
        """Draw a circle, or an ellipse whose half-width is ``across``."""
        x, y = _large(centre)
        high, half = radius * LARGER, (across or radius) * LARGER
        edge = (x - half, y - high, x + half, y + high)
        self._pen.ellipse(edge, fill=fill, outline=colour, width=round(wide * LARGER))

    def arc(
        self, centre: Point, radius: float, start: float, end: float,
        colour: Colour = INK, wide: float = 4,
    ) -> None:  # fmt: skip
        """Draw a part of a circle; nought degrees is on the right."""
        steps = max(8, int(abs(end - start) / 4))
        turns = [start + (end - start) * step / steps for step in range(steps + 1)]
        self.line(*(turned(centre, radius, turn) for turn in turns), colour=colour, wide=wide)

    def hatch(self, left: float, top: float, right: float, low: float, apart: float = 16) -> None:
        """Hatch an upright rectangle, as a cut surface is hatched."""
        at = left - (low - top)
        while at < right:
            first, last = max(at, left), min(at + (low - top), right)
            if last > first:
                self.line(
                    (first, low - (first - at)), (last, low - (last - at)), colour=INK, wide=1.6
                )
            at += apart

    def arrow(self, start: Point, end: Point, colour: Colour = ACCENT, wide: float = 5) -> None:
        """Draw an arrow that points at ``end``."""
        (x, y), (to_x, to_y) = start, end
        long = hypot(to_x - x, to_y - y)
        along_x, along_y = (to_x - x) / long, (to_y - y) / long
        head, half = 26, 11
        neck = (to_x - along_x * head, to_y - along_y * head)
        self.line(start, neck, colour=colour, wide=wide)
        left = (neck[0] - along_y * half, neck[1] + along_x * half)
        right = (neck[0] + along_y * half, neck[1] - along_x * half)
        self.shape([end, left, right], fill=colour, colour=colour, wide=1)

    def measure(self, start: Point, end: Point) -> None:
        """Draw a dimension line with a head at either end."""
        middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
        self.arrow(middle, start)
        self.arrow(middle, end)

    def say(
        self, words: str, at: Point, colour: Colour = INK, size: float = 38, anchor: str = "mm"
    ) -> None:
        """Write words; the anchor is Pillow's: l, m or r, then a, m or s.

        Raises: ValueError where they would run out of the picture.
        """
        font = ImageFont.load_default(size * LARGER)
        left, top, right, low = self._pen.textbbox(_large(at), words, font=font, anchor=anchor)
        if min(left, top) < 0 or right > self._image.width or low > self._image.height:
            raise ValueError(f"{words!r} runs out of the picture at {at}")
        self._pen.text(_large(at), words, fill=colour, font=font, anchor=anchor)

    def note(self, words: str, at: Point, to: Point, anchor: str = "mm") -> None:
        """Write words in the accent colour with a line that leads from them to a place."""
        self.say(words, at, colour=ACCENT, anchor=anchor)
        start = {"l": (at[0] - 10, at[1]), "r": (at[0] + 10, at[1])}.get(anchor[0])
        if start is None:
            start = (at[0], at[1] + (24 if to[1] > at[1] else -24))
        self.line(start, to, colour=ACCENT, wide=3)
        self.ring(to, 7, fill=ACCENT, colour=ACCENT)

    def verdict(self, right: bool, at: Point) -> None:
        """Draw a tick or a cross."""
        x, y = at
        if right:
            self.line((x - 22, y), (x - 6, y + 18), (x + 24, y - 22), colour=INK, wide=9)
        else:
            self.line((x - 20, y - 20), (x + 20, y + 20), colour=ACCENT, wide=9)
            self.line((x - 20, y + 20), (x + 20, y - 20), colour=ACCENT, wide=9)

    def finished(self) -> Image.Image:
        """Return the picture at the size in which it is shown, in few colours."""
        small = self._image.resize((self.width, self.height), Image.Resampling.LANCZOS)
        return small.quantize(palette=_palette(), dither=Image.Dither.NONE)


def turned(centre: Point, radius: float, turn: float) -> Point:
    """Return the point on a circle at an angle."""
    return centre[0] + radius * cos(radians(turn)), centre[1] + radius * sin(radians(turn))


def tab(centre: Point, reach: tuple[float, float], turn: float, half: float) -> list[Point]:
    """Return the corners of a tab on a ring, from one radius to another, ``half`` either side."""
    near, far = reach
    return [
        turned(centre, near, turn - half),
        turned(centre, far, turn - half),
        turned(centre, far, turn + half),
        turned(centre, near, turn + half),
    ]


def _palette() -> Image.Image:
    """Return the colours of a finished picture: the named ones and what lies between two."""
    named = [PAPER, WHITE, INK, ACCENT, STEEL, BRASS, COPPER, RUBBER]
    between = [
        [round(a + (b - a) * share) for a, b in zip(one, other, strict=True)]
        for one, other in combinations(named, 2)
        for share in (0.25, 0.5, 0.75)
    ]
    palette = Image.new("P", (1, 1))
    palette.putpalette([part for colour in [*named, *between] for part in colour])
    return palette


def _large(point: Point) -> Point:
    return point[0] * LARGER, point[1] * LARGER
