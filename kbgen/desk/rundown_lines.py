"""The lines of a running order as they are read aloud."""

from __future__ import annotations

from kbgen.content import plain_text
from kbgen.content.models import Hazard
from kbgen.desk.reply_screws import Screw
from kbgen.desk.reply_text import sentence

__all__ = ["caution_line", "clock_of", "screw_line"]


def caution_line(hazard: Hazard) -> str:
    """Return a caution as it is read aloud."""
    said = [hazard.hazard, hazard.consequence or "", hazard.avoid]
    text = " ".join(sentence(plain_text(one)) for one in said if one)
    defer = f" {sentence(f'Leave it to {plain_text(hazard.defer_to)}')}" if hazard.defer_to else ""
    return f"{str(hazard.signal).upper()}. {text}{defer}"


def screw_line(screw: Screw) -> str:
    """Return a screw as it is said: place, thread, hand, tightness and what that rests on."""
    place = f"{screw.where}, {screw.family}" if screw.family else screw.where
    hand = f", {screw.hand}-hand" if screw.hand else ""
    tightness = f"; {screw.tightness}" if screw.tightness else "; tightness not on our list"
    return f"{place}: {screw.thread}{hand}{tightness}; {screw.basis}"


def clock_of(seconds: int) -> str:
    """Return a length of time, ``2 min 40 s``."""
    minutes, rest = divmod(seconds, 60)
    return f"{minutes} min {rest} s" if minutes else f"{rest} s"
