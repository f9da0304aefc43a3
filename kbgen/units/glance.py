"""The first glance at a text: whether, and where, a value could begin in it.

Most paragraphs state nothing. They are let go after one search that skips every
letter but figures and the beginnings of words; only where a figure has a unit, a
series or another figure beside it is anything read.
"""

from __future__ import annotations

import re
from functools import cache

from kbgen.units.feel import says_tightness
from kbgen.units.spoken import WORD_START, glance_patterns, number_beginnings

__all__ = ["announced", "figure_places", "may_begin", "may_state"]


def may_state(text: str) -> bool:
    """Return whether ``text`` holds anything that a value could begin with.

    What most paragraphs of a note are asked, so it is asked first and cheaply.
    """
    if not text.isascii():
        return True
    low = " " + text.lower()
    if _number_beginnings().search(low):
        for match in _glance().finditer(low):
            if match.lastgroup != "chain" or may_begin(low, match):
                return True
    return says_tightness(low)


# What makes a value of the figure before it: a unit, a series, another figure. The
# names say which kinds are worth trying.
_LENGTH = r"[ -]?(?:mm\b|cm\b(?![ ·-]?k)|millim|centim|µm|micro|mils?\b|thou)"
_TORQUE = (
    r"[ -]?(?:[cm]?n(?:\b|[ ·.*x-]{0,3}c?m|ewton)|milli|centi|lb|pound|f(?:oo|ee|t)|oz|ounce"
    r"|in[. ·/-]{0,2}(?:lb|pound|oz|ounce)|inch(?:es)?[ /-](?:lb|pound|oz|ounce)|m[· -]?k[gp]"
    r"|k[gp]|kilo|gf?[ ·.*-]?cm|gram|cm[ ·-]?k)|(?: of)? (?:of )?an? (?:newton|foot|pound|kilo"
    r"|inch[ -](?:pound|lb|ounce))"
)
_RANGED = (
    r" ?[±+%~÷]| ?\([±+]| plus (?:or )?minus|,? [\d.]| ?- ?[\d.?]| ?\.\.| ?…"
    r"|(?: to| and| or| through| up to|,) [\d.,/]+[ -]?[\"'a-zµ±°(]"
)
_OTHER = (
    r"[ -]?(?:in|met|\"|'|n[cefs]|t(?:\.?p|h(?:rea|d|r))|u[.ns ]|b\.? ?[as]|whit|ww|n\.?p|i\.?p"
    r"|s\.?a\.?e|sm|c\.?e|cycle|brass|brit|house|gas|unified|american|national|extra|pitch"
    r"|pipe|山|fine|coarse|dia)| ?[x*]| (?:by|with|plus|per inch|to the inch)| (?:of )?an? (?:inch"
    r"|met|milli|centi|thou)"
)
# A figure and what hangs on to it: 12-28-04 and 12:40 are one word each.
_CHAIN = r"(?:[.,:/-]\d+)*"


@cache
def figure_places() -> re.Pattern[str]:
    """Return what finds figures, its last group naming what stands behind each."""
    return re.compile(
        rf"\d+(?P<chain>{_CHAIN})(?:(?P<length>(?={_LENGTH}))|(?P<torque>(?={_TORQUE}))"
        rf"|(?P<ranged>(?={_RANGED}))|(?P<other>(?={_OTHER})))?"
    )


@cache
def _number_beginnings() -> re.Pattern[str]:
    """Return what finds a figure or the first letters of a number word: few texts hold any."""
    return re.compile(rf"[0-9{WORD_START[1:]}(?:(?<=[0-9])|{number_beginnings()})")


@cache
def _glance() -> re.Pattern[str]:
    spoken, behind = glance_patterns()
    # One class of first letters, so that the search can skip all others at once.
    return re.compile(
        rf"[\d{WORD_START[1:]}"
        rf"(?:(?<!\d)(?:{spoken})|(?<=\d)(?<!\d\d)\d*(?P<chain>{_CHAIN})"
        rf"(?P<go>(?={_LENGTH}|{_TORQUE}|{_RANGED}|{_OTHER}|{behind}))?)"
    )


# Words that make a value of the figure behind them.
_AHEAD = frozenset(
    (
        *("metric", "em", "m", "ba", "b.a.", "sm", "g", "w", "no.", "ip", "ips", "ww"),
        *("unc", "unf", "unef", "uns", "un", "nc", "nf", "ns", "nef", "bsw", "bsf", "bsb", "bsp"),
        *("bsc", "bscy", "bspp", "cei", "npt", "nps", "npsm", "whit", "whit.", "whitworth"),
        *(
            "b.s.w.",
            "b.s.f.",
            "u.n.c.",
            "u.n.f.",
            "n.c.",
            "n.f.",
            "n.p.t.",
            "#",
            "?",
            "m?",
            "pitch",
        ),
    )
)
# Threads per inch as they stand behind a slash: "6/32 screws", said for 6-32.
_SLASHED = frozenset(f"/{tpi}" for tpi in (24, 28, 32, 36, 40, 44, 48, 56, 64, 72, 80))


def may_begin(low: str, match: re.Match[str]) -> bool:
    """Return whether a value can begin at a figure by what stands before and in it."""
    chain = match["chain"]
    return (chain and ("-" in chain or chain in _SLASHED)) or announced(low, match.start())


def announced(low: str, at: int) -> bool:
    """Return whether the word before ``at``, set apart or not, makes a value of a figure."""
    before = low[max(0, at - 12) : at].rstrip(" :-")
    word = before.rsplit(None, 1)[-1].lstrip("(\"'“[`") if before and not before.isspace() else ""
    return word in _AHEAD or word[-1:] == "#" or word[-2:] in ("?x", "/m", "-m")
