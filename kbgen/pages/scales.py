"""Graduated rules: the ornament, a recording's hours, years, shares of a load, a printer's bar.

One user unit is one millimetre where a rule is to be true on paper.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from markupsafe import Markup

from kbgen.pages.strokes import engraved, n, path

__all__ = [
    "BAR_MM",
    "hour_scale",
    "load_bar",
    "printers_bar",
    "rule_again",
    "since",
    "steel_rule",
    "year_scale",
]

BAR_MM = 50
"""How long the bar is that a printer is checked by."""


def steel_rule(long_cm: int) -> Markup:
    """Return a graduated rule, true to the millimetre where a page prints at 100 %.

    Shape: an ornament of strokes alone, its figures engraved as strokes too; the style
    draws the millimetres, half and whole centimetres as dashes of three lines.
    """
    figures = "".join(engraved(at * 10 + 0.9, 3, str(at)) for at in range(1, long_cm))
    long = 10 * long_cm
    body = Markup("").join(
        path(kind, f"M0 {middle}h{long}")
        for kind, middle in (("mm", ".9"), ("cc", "1.3"), ("cm", "1.8"), ("edge", ".1"))
    )
    marks = Markup('<g id="_steel-rule" class="marks">{}</g>').format(body + path("nos", figures))
    return Markup(
        '<svg class="rule" width="{0}mm" height="6mm" viewBox="0 0 {0} 6" aria-hidden="true" '
        'focusable="false">{1}</svg>'
    ).format(long, marks)


def rule_again(long_cm: int) -> Markup:
    """Return the rule a second time in a page, by what it is drawn of above.

    What is used again sees no element around it: its style must hold for ``marks`` alone.
    """
    return Markup(
        '<svg class="rule" width="{0}mm" height="6mm" viewBox="0 0 {0} 6" aria-hidden="true" '
        'focusable="false"><use href="#_steel-rule"/></svg>'
    ).format(10 * long_cm)


def printers_bar() -> Markup:
    """Return a bar of fifty millimetres with its centimetres, to lay a rule on."""
    ticks = "".join(f"M{at} 3v{n(1.4 if at % 10 else 2.2)}" for at in range(0, BAR_MM + 1, 5))
    figures = "".join(engraved(at + 0.5, 3.8, str(at // 10)) for at in range(10, BAR_MM, 10))
    body = Markup('<rect width="{}" height="3"/>').format(BAR_MM)
    body += path("mm", ticks) + path("nos", figures)
    return Markup(
        '<svg class="bar" width="{0}mm" height="6mm" viewBox="0 0 {0} 6" role="img" '
        'aria-label="a bar of {0} millimetres">{1}</svg>'
    ).format(BAR_MM, body)


def load_bar(low: float, high: float) -> Markup:
    """Return a bar from nought to the whole proof load, filled as far as a torque uses it.

    Units: shares, 1 the proof load; what is over 1 fills the bar. The words beside it
    say the same.
    """
    first, last = min(1.0, low) * 40, min(1.0, high) * 40
    body = path("full", f"M0 0H{n(first)}V3H0z")
    if last > first:
        body += path("part", f"M{n(first)} 0H{n(last)}V3H{n(first)}z")
    body += path("edge", "M0 0H40V3H0zM10 2v1M20 1.4v1.6M30 2v1")
    return Markup(
        '<svg class="load" viewBox="-.2 -.2 40.4 3.4" width="40mm" height="3.4mm" '
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


def _range(dates: Sequence[float]) -> tuple[int, int]:
    """Return the years from before the first of the dates to after the last, by fives."""
    return int(min(dates)) // 5 * 5, -(-int(max(dates) + 1) // 5) * 5


def year_scale(dates: Sequence[float]) -> Markup:
    """Return years as a graduated rule, with a flag at every date.

    Units: ``dates`` in years and their fractions, 1911.5 the middle of 1911.
    """
    first, last = _range(dates)
    every = 5 if last - first <= 40 else 10 if last - first <= 80 else 20
    figures = [(year - first, str(year)) for year in range(first, last, every)]
    return _graduated(last - first, 1, figures, [date - first for date in dates])


def since(date: float, dates: Sequence[float]) -> Markup:
    """Return one line of a chart below ``year_scale(dates)``: a flag at a date, and on from it.

    Shape: a hair line before the date, a stroke after it, for what may be later and
    cannot be earlier. Units: as ``year_scale``.
    """
    first, last = _range(dates)
    at = n((date - first) * 100 / (last - first))
    body = path("edge", "M0 3h100") + path("later", f"M{at} 3H100") + path("flag", f"M{at} 0v3")
    return Markup(
        '<svg class="since" viewBox="-1 0 104 3.5" aria-hidden="true" focusable="false">{}</svg>'
    ).format(body)


def _graduated(
    long: int, step: int, figures: Sequence[tuple[int, str]], flags: Sequence[float]
) -> Markup:
    """Return a rule 100 units wide: a stroke a step, a longer one every fifth."""
    per = 100 / max(1, long)
    ticks = "".join(
        f"M{n(at * per)} 0v{1.5 if (at // step) % 5 else 2.6}" for at in range(0, long + 1, step)
    )
    body = path("edge", "M0 0h100") + path("mm", ticks)
    body += path("flag", "".join(f"M{n(at * per)} -4.5v4.5" for at in flags))
    body += path("nos", "".join(engraved(at * per, 3.6, words) for at, words in figures))
    return Markup(
        '<svg class="minutes" viewBox="-1 -5 104 12" aria-hidden="true" focusable="false">{}</svg>'
    ).format(body)
