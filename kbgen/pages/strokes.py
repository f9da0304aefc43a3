"""What every drawing is made of: coordinates, paths, and figures engraved as strokes."""

from __future__ import annotations

from markupsafe import Markup

__all__ = ["engraved", "n", "path"]


def n(value: float) -> str:
    """Return a coordinate, to the hundredth of a millimetre of the drawing."""
    return f"{value:.2f}".rstrip("0").rstrip(".").replace("-0", "0" if value > -0.005 else "-0")


def path(kind: str, line: str) -> Markup:
    """Return a path of a kind that the style knows."""
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


def engraved(x: float, y: float, figure: str) -> str:
    """Return the strokes of a figure whose upper left corner is at ``x``, ``y``."""
    strokes = []
    for sign in figure:
        stroke, advance = _ENGRAVED[sign]
        strokes.append(f"M{n(x)} {n(y)}{stroke}")
        x += advance
    return "".join(strokes)
