"""Read a metric thread.

Shape: ``M6x1-6g``, ``M6``, ``M6 × 20``, ``em six by one``, ``6 mm by 1 mm pitch``.
"""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from functools import cache

from kbgen.units.complete import metric_sizes, with_metric_pitch
from kbgen.units.context import FASTENER, is_code, names_thread_soon
from kbgen.units.designation import System, Thread
from kbgen.units.length import LengthRead
from kbgen.units.prepared import figure
from kbgen.units.quantity import Length
from kbgen.units.reads import Asked, ThreadRead
from kbgen.units.standards import pitches_of
from kbgen.units.tail import hand_before, length_after, tail_at

__all__ = ["lay_metric_at", "metric_at"]

_PITCH = (
    r"(?:\d?[.,]\d{1,3}|\d[ -]\d/[248](?! ?(?:in\b|inch|\"))|\d(?![ -]\d{1,2}/\d))(?![\d]|[.,/]\d)"
)


@cache
def _patterns() -> dict[str, re.Pattern[str]]:
    return {
        "letter": re.compile(
            r"(?:(?<![a-z0-9.'&-])(?<![a-z0-9]_)(?<![a-z.]/)(?:m[ -]?|em[ -])|\bmetric )$"
        ),
        "size": re.compile(r"\d{1,3}(?:[.,]\d{1,2})?(?![\d])"),
        "pitch": re.compile(
            rf"(?: ?mm)?(?: ?(?P<fine>fine|coarse))?(?P<sep>,? ?[x*] ?|,? by | ?- ?|, ?| ?\(| ?/ ?)"
            rf"(?P<pitch>{_PITCH})(?! ?[x-] ?\d*/)(?P<mm> ?mm\b)?(?P<word>[ -]pitch\b)?\)?"
        ),
        "pitch_word": re.compile(
            rf",? (?:with |at |on )?(?:an? |the )?pitch(?: of| is|:"
            rf"|=)? ?(?P<pitch>{_PITCH})(?: ?mm\b)?"
        ),
        "pitch_said": re.compile(
            rf",? (?:with |at |of |and |in )(?:an? |the )?(?P<pitch>{_PITCH})[ -]?(?:mm"
            rf"|millimet(?:re|er)s?)?"
            r"[ -](?:thread )?pitch\b"
        ),
        "fine": re.compile(
            rf"[ -](?P<fine>fine|coarse)\b(?:[ -](?:pitch|thread(?:ed)?|{FASTENER})\b)?"
        ),
        "length": re.compile(
            r" ?(?:[x*]|by|-) ?(?P<length>\d{1,3}(?:[.,]\d)?)(?: ?mm\b)?(?![\d/]|\.\d)"
        ),
        "road": re.compile(
            r" (?:motorway|south|north|east|west|towards|postcode|road|junction|toll|services"
            r"|chip|processor|camera|rifle|carbine|tank|macbook|mac|laptop|money|globular|galaxy"
            r"|bus|highway|corridor|competition|max|pro|ultra|mailing|class star|star|util|macro"
            r"|(?:was|is|were|got) (?:closed|blocked|shut|jammed|open|busy)|at junction)\b"
        ),
        "road_before": re.compile(
            r"\b(?:on|along|off|up|down|via|of|leica|bmw|apple|mini|macbook|nikon|canon"
            r"|the a\d+(?:\(m\))? and|leave|left|join(?:ed)?|taking)(?: the)? $"
        ),
        "lay": re.compile(
            rf"(?P<size>\d{{1,2}}(?:[.,]\d)?) ?-?(?:mm|millimet(?:re|er)s?)?(?P<dia> dia(?:meter"
            rf"|m)?\.?)?"
            rf"(?P<noun>(?: (?P<fine>fine|coarse))?(?:[ -](?:{FASTENER}))?)"
            r"(?P<sep>,? ?\(?(?:x|by|with|at|on|and|-)? ?(?:an? |the )?| ?x ?)"
            rf"(?:(?P<pitch>{_PITCH}) ?-?(?:mm|millimet(?:re|er)s?)?[ -](?P<word>pitch"
            rf"|thread pitch)\b|pitch(?: of| is|:|=)? ?(?P<after>{_PITCH})(?: ?mm\b)?"
            rf"|(?<=[xy] )(?P<bare>{_PITCH})(?: ?mm\b)?|(?<=x)(?P<tight>{_PITCH})(?: ?mm\b)?)\)?"
        ),
        "alone": re.compile(
            rf"(?P<pitch>{_PITCH}) ?-?(?:mm|millimet(?:re|er)s?)?[ -](?:thread )?pitch\b"
            r"(?! (?:belt|chain|gear|rack|connector|header|pulley|pins?|sprocket|circle))"
        ),
        "alone_before": re.compile(
            r"(?:(?<!belt )(?<!chain )(?<!gear )\bpitch)(?: of| is|:|=)? ?(?:about )?$"
        ),
    }


def metric_at(asked: Asked, at: int) -> ThreadRead | None:
    """Return the metric thread whose size begins at ``at``, behind its letter M."""
    low, plain = asked.low, asked.ready.plain
    patterns = _patterns()
    letter = patterns["letter"].search(low[max(0, at - 8, asked.since) : at])
    size = patterns["size"].match(low, at)
    if letter is None or size is None:
        return None
    mark = letter[0]
    start = at - len(mark)
    stated, end = _size(size[0], size.end())
    if stated is None:
        return None
    fine, pitch, length = None, None, None
    match = patterns["pitch"].match(low, end)
    if match is not None:
        pitch, end, length = _second(stated, match, low, end)
        fine = match["fine"] if pitch is not None else None
    unknown = low.startswith("x?", end)
    if unknown:
        end += 2
    elif pitch is None and length is None:
        match = patterns["pitch_word"].match(low, end) or patterns["pitch_said"].match(low, end)
        if match is not None:
            pitch, end = _millimetres(match["pitch"]), match.end()
    if pitch is None and length is None and not unknown:
        match = patterns["fine"].match(low, end)
        if match is not None:
            fine, end, far = match["fine"], match.end("fine"), match.end()
            more = next(
                (
                    found
                    for place in (far, end)
                    for name in ("pitch", "pitch_word", "pitch_said")
                    if (found := patterns[name].match(low, place)) is not None
                ),
                None,
            )
            if more is not None and (value := _millimetres(more["pitch"])) < 7:
                pitch, end = value, more.end()
    if not _let(asked, start, end, mark, stated, pitch is not None or length is not None):
        return None
    tail = tail_at(low, end, metric=True)
    fit_class = plain[end : tail.end] if tail.fit_class else None
    hand = hand_before(low, start, asked.since)
    thread = Thread(
        System.METRIC,
        _plain_size(stated),
        None,
        pitch,
        series="fine" if fine == "fine" and pitch is None else None,
        fit_class=_class(fit_class, tail.fit_class),
        left_hand=tail.left_hand or bool(hand and hand[0]),
        inch_size=False,
    )
    if length is None:
        length = length_after(low, tail.end, metric=True)
    finished = thread if unknown else replace(with_metric_pitch(thread), series=None)
    return ThreadRead(finished, hand[1] if hand else start, tail.end, None, length)


def _millimetres(written: str) -> Decimal:
    """Return a pitch or a size as written, ``1.25``, ``1,25`` or ``1 1/4``."""
    value = figure(written).value
    return Decimal(value.numerator) / Decimal(value.denominator)


def _size(written: str, end: int) -> tuple[Decimal | None, int]:
    """Return the diameter, a decimal comma told from the comma of a list."""
    whole = written.replace(",", ".")
    if Decimal(whole) in metric_sizes() or "," not in written:
        return (Decimal(whole) if Decimal(whole) > 0 else None), end
    head = written.partition(",")[0]
    return Decimal(head), end - len(written) + len(head)


def _second(
    size: Decimal, match: re.Match[str], low: str, end: int
) -> tuple[Decimal | None, int, LengthRead | None]:
    """Return the number behind a size as its pitch, or as the length of the screw."""
    value = _millimetres(match["pitch"])
    sep = match["sep"].strip(" ,(")
    rows = pitches_of(Thread(System.METRIC, _plain_size(size), inch_size=False))
    tabled = any(row.pitch_mm == Fraction(value) for row in rows)
    worded = bool(match["word"])
    if "/" in match["pitch"] and not tabled:
        return None, end, None
    if sep not in ("x", "*", "by") and not (worded or match["fine"] or match["sep"] == " ("):
        if sep != "-" and sep != "/":
            return None, end, None
        if not (tabled or "." in match["pitch"]):
            return None, end, None
        behind = low[match.end() : match.end() + 2]
        if behind[:1].isalpha() and not match["mm"] and not re.fullmatch(r"x\d", behind):
            return None, end, None
    coarse = max((row.pitch_mm for row in rows), default=Fraction(0))
    whole = "." not in match["pitch"] and "," not in match["pitch"]
    long = value > 6 or (whole and value >= 2 and 2 * value >= size)
    if not tabled and not worded and value > coarse and long:
        millimetres = Fraction(value)
        length = Length(millimetres, millimetres)
        one = figure(match["pitch"])
        read = LengthRead(length, match.start("pitch"), match.end(), one, one, "mm")
        return None, end, read
    if value <= 0 or value > 8:
        return None, end, None
    closed = match[0].endswith(")") and "(" not in match[0]
    return value, match.end() - closed, None


def _let(asked: Asked, start: int, end: int, mark: str, size: Decimal, more: bool) -> bool:
    """Return whether the context lets a letter M and a number be a thread."""
    low, plain = asked.low, asked.ready.plain
    patterns = _patterns()
    after = low[end : end + 1]
    if after.isalnum() or (
        after in "-_/" and low[end + 1 : end + 2].isalnum() and not low.startswith("/m", end)
    ):
        rest = tail_at(low, end, metric=True)
        if rest.end == end and low[end - 1] != "?" and length_after(low, end, metric=True) is None:
            return False
    if more or asked.alone:
        return True
    soon = names_thread_soon(low, end, strictly=True)
    if size not in metric_sizes() or is_code(low, start):
        return False
    if length_after(low, end, metric=True) is not None:
        return True
    rows = pitches_of(Thread(System.METRIC, _plain_size(size), inch_size=False))
    if not any("coarse" in row.series for row in rows) and not soon:
        return False
    if patterns["road"].match(low, end):
        return False
    if patterns["road_before"].search(low[max(0, start - 24) : start]) and not soon:
        return False
    if mark == "m" and plain[start] == "M":
        return True
    return soon


def _class(written: str | None, found: str | None) -> str | None:
    if written is None or found is None:
        return None
    at = written.lower().find(found)
    return written[at : at + len(found)]


def _plain_size(size: Decimal) -> str:
    text = f"{size:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def lay_metric_at(asked: Asked, at: int) -> ThreadRead | None:
    """Return a metric thread said without its letter, or a pitch said alone."""
    low = asked.low
    patterns = _patterns()
    match = patterns["lay"].match(low, at)
    if match is not None:
        read = _lay(asked, at, match)
        if read is not None:
            return read
    match = patterns["alone"].match(low, at)
    end = match.end() if match else at
    start = at
    if match is None:
        before = patterns["alone_before"].search(low[max(0, at - 24) : at])
        match = re.compile(rf"(?P<pitch>{_PITCH}) ?mm\b").match(low, at) if before else None
        if match is None or before is None:
            return None
        start, end = at - len(before[0]), match.end()
        start += len(before[0]) - len(before[0].lstrip())
    pitch = _millimetres(match["pitch"])
    if not 0 < pitch <= 8:
        return None
    return ThreadRead(Thread(System.METRIC, None, None, pitch, inch_size=False), start, end)


def _lay(asked: Asked, at: int, match: re.Match[str]) -> ThreadRead | None:
    low = asked.low
    written = match["pitch"] or match["after"] or match["bare"] or match["tight"]
    size = _millimetres(match["size"])
    pitch = _millimetres(written)
    if not 0 < pitch < size or size < 1 or pitch > 8:
        return None
    metric = low[max(0, at - 7) : at] == "metric "
    worded = bool(match["pitch"] or match["after"])
    thread = Thread(System.METRIC, _plain_size(size), None, pitch, inch_size=False)
    tabled = any(row.pitch_mm == Fraction(pitch) for row in pitches_of(thread))
    if not (worded or metric):
        named = match["noun"].strip() or names_thread_soon(low, match.end(), strictly=True)
        if not tabled or not (named and "mm" in match[0]):
            return None
    if low[match.end() : match.end() + 1].isalnum():
        return None
    tail = tail_at(low, match.end(), metric=True)
    start = at - 7 if metric else at
    hand = hand_before(low, start, asked.since)
    thread = replace(thread, left_hand=tail.left_hand or bool(hand and hand[0]))
    return ThreadRead(
        thread,
        hand[1] if hand else start,
        tail.end,
        None,
        length_after(low, tail.end, metric=True) if asked.alone or metric else None,
    )
