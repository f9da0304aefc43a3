"""Find every thread, torque, tightness and length that a text states.

Any text will do and none makes it fail. The text is searched once for figures;
only where one stands is anything read.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache

from kbgen.units.complete import NO_HOUSE, HouseThreads
from kbgen.units.context import speaks_of_tightening
from kbgen.units.dual import Dual, dual_length, dual_torque
from kbgen.units.feel import TightnessRead, says_tightness, tightness_in
from kbgen.units.judging import judge
from kbgen.units.length import LengthRead, length_at
from kbgen.units.metric import lay_metric_at
from kbgen.units.prepared import Prepared, prepare
from kbgen.units.reads import Asked, ThreadRead
from kbgen.units.spoken import says_number
from kbgen.units.stated import Kind, Objection, Stated, Value, Verdict
from kbgen.units.thread import thread_at
from kbgen.units.torque import TorqueRead, torque_at

__all__ = ["scan"]


def scan(text: str, house: HouseThreads = NO_HOUSE) -> tuple[Stated, ...]:
    """Return every value that ``text`` states, in order.

    Shape: spans are code points of ``text`` and do not overlap; ``as_written``
    is the stretch itself. A length behind a designation is a value of its own.
    """
    if not may_state(text):
        return ()
    ready = prepare(text)
    low = ready.low
    found: list[Stated] = []
    tight = tightness_in(ready)
    done = 0
    for match in _figures().finditer(low):
        follows = match.lastgroup
        if follows == "chain" and not _may_begin(low, match):
            continue
        at = match.start()
        if low[at - 1 : at] == "." and not low[at - 2 : at - 1].isalnum():
            at -= 1
        if at < done or (tight and any(read.start <= at < read.end for read in tight)):
            continue
        for stated, end in _values_at(Asked(ready, house, since=done), at, follows or ""):
            found.append(stated)
            done = max(done, end)
        if done <= at:
            done = _skipped(match)
    found += (_tightness(ready, read) for read in tight)
    return _apart(found)


def may_state(text: str) -> bool:
    """Return whether ``text`` holds anything that a value could begin with.

    What most sentences of a note are asked, so it is asked first and cheaply.
    """
    if not text.isascii() or _digit().search(text) is not None:
        return True
    low = text.lower()
    return says_number(low) or says_tightness(low)


@cache
def _digit() -> re.Pattern[str]:
    return re.compile(r"[0-9]")


@cache
def _figures() -> re.Pattern[str]:
    # A figure and what hangs on to it (12-28-04 and 12:40 are one word each), and
    # whether what follows can make a value of it: a unit, a series, another figure.
    # The group that took part says which kinds are worth trying.
    length = r"[ -]?(?:mm\b|cm\b(?![ ·-]?k)|millim|centim|µm|micro|mils?\b|thou)"
    torque = (
        r"[ -]?(?:[cm]?n(?:\b|[ ·.*x-]{0,3}c?m|ewton)|milli|centi|lb|pound|f(?:oo|ee|t)|oz|ounce"
        r"|in[. ·-]{0,2}(?:lb|pound|oz|ounce)|inch(?:es)?[ -](?:lb|pound|oz|ounce)|m[· -]?k[gp]"
        r"|k[gp]|kilo|gf?[ ·.*-]?cm|gram|cm[ ·-]?k)|(?: of)? (?:of )?an? newton"
    )
    other = (
        r"[ -]?(?:in|met|\"|'|n[cefs]|t(?:\.?p|h(?:rea|d|r))|u[.ns ]|b[. ]?[as]|whit|ww|n\.?p"
        r"|i\.?p|s\.?a\.?e|sm|c\.?e|cycle|brass|british|house|gas|unified|american|national|extra"
        r"|pitch|山|fine|coarse)| ?[x*]| (?:by|with|plus|per inch|to the inch)"
        r"| (?:of )?an? (?:inch|met|milli|centi|thou)"
    )
    ranged = (
        r" ?[±+%]|,? [\d.]| ?- ?[\d.?]| ?\.\.| ?…"
        r"|(?: to| and| or| through| up to|,) [\d.,/]+[ -]?[\"'a-zµ±°(]"
    )
    return re.compile(
        rf"\d+(?P<chain>(?:[.,:/-]\d+)*)(?:(?P<length>(?={length}))|(?P<torque>(?={torque}))"
        rf"|(?P<ranged>(?={ranged}))|(?P<other>(?={other})))?"
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


def _may_begin(low: str, match: re.Match[str]) -> bool:
    """Return whether a value can begin at a figure by what stands before and in it."""
    chain = match["chain"]
    return (chain and ("-" in chain or chain in _SLASHED)) or _announced(low, match.start())


def _announced(low: str, at: int) -> bool:
    """Return whether the word before ``at``, set apart or not, makes a value of a figure."""
    before = low[max(0, at - 12) : at].rstrip(" :-")
    word = before.rsplit(None, 1)[-1].lstrip("(\"'“[`") if before and not before.isspace() else ""
    return word in _AHEAD or word[-1:] == "#" or word[-2:] in ("?x", "/m", "-m")


def _skipped(match: re.Match[str]) -> int:
    """Return how far to go on where a figure begins no value: past codes and dates."""
    parts = re.split(r"[.,:/-]", match[0])
    return match.end() if len(parts) > 2 else match.start() + len(parts[0])


def _values_at(asked: Asked, at: int, follows: str) -> Iterator[tuple[Stated, int]]:
    """Yield the value whose first figure begins at ``at``, and a length that belongs to it.

    Shape: ``follows`` says what stands behind the figure, as the search named it.
    """
    ready, low = asked.ready, asked.low
    before = low[at - 1 : at]
    if (
        before in ("/", ":", "_", "=", "&", "@", "\\", "-", ".", ",")
        and low[at - 2 : at - 1].isalnum()
        and not _announced(low, at)
    ):
        return
    if follows in ("torque", "ranged") and not before.isalpha():
        torque = torque_at(ready, at)
        if torque is not None and (stated := _torque(ready, torque)) is not None:
            yield stated
            return
    if follows == "length" and not before.isalpha():
        thread = lay_metric_at(asked, at)
    else:
        thread = thread_at(asked, at)
    if thread is not None:
        yield _thread(ready, thread, asked.house), thread.end
        if thread.length is not None:
            length, start, end = thread.length
            yield _stated(ready, Kind.LENGTH, start, end, length, Verdict.STANDARD), end
        return
    if not before.isalpha():
        length_read = length_at(ready, at)
        if length_read is not None:
            yield _length(ready, length_read)


def _stated(
    ready: Prepared,
    kind: Kind,
    start: int,
    end: int,
    value: Value,
    verdict: Verdict,
    objections: tuple[Objection, ...] = (),
    dual: Dual | None = None,
) -> Stated:
    span = ready.span(start, end)
    return Stated(
        kind,
        span,
        span.of(ready.written),
        value,
        str(value),
        verdict,
        objections,
        None if dual is None else "agrees" if dual.agrees else "conflicts",
    )


def _thread(ready: Prepared, read: ThreadRead, house: HouseThreads) -> Stated:
    judgement = judge(read.thread, house)
    whole = ready.span(read.start, read.end)
    named = ready.span(*read.series_at) if read.series_at else whole
    objections = tuple(
        Objection(
            made.code,
            made.message,
            made.hint,
            named if made.code == "series-on-wrong-pair" else whole,
        )
        for made in judgement.objections
    )
    return _stated(
        ready, Kind.THREAD, read.start, read.end, read.thread, judgement.verdict, objections
    )


def _torque(ready: Prepared, read: TorqueRead) -> tuple[Stated, int] | None:
    if read.doubtful and not speaks_of_tightening(ready.low, read.start, read.end):
        return None
    if _is_yarn(ready.low, read):
        return None
    unit = ready.span(read.unit_start, read.unit_end)
    if read.torque.unit is None:
        if not _force_for_torque(ready.low, read):
            return None
        objection = Objection(
            "unit-spelling-ambiguous",
            f"'{unit.of(ready.written).strip()}' is a force; a torque is a force on an arm",
            "write N·m, lbf·ft or lbf·in",
            unit,
        )
        made = _stated(
            ready, Kind.TORQUE, read.start, read.end, read.torque, Verdict.UNSTATED, (objection,)
        )
        return made, read.end
    dual = dual_torque(ready, read)
    end = dual.end if dual else read.end
    objections: tuple[Objection, ...] = ()
    verdict = Verdict.STANDARD
    if dual is not None and not dual.agrees:
        second = ready.span(dual.start, dual.stop)
        objections = (Objection("torque-units-disagree", dual.message, dual.hint, second),)
        verdict = Verdict.CONTRADICTORY
    return _stated(ready, Kind.TORQUE, read.start, end, read.torque, verdict, objections, dual), end


@cache
def _patterns() -> dict[str, re.Pattern[str]]:
    return {
        "yarn": re.compile(
            r" (?:\w+ )?(?:yarn|needles?|thread|cotton|wool|linen|silk|floss|light|laser|led"
            r"|wavelength)"
        ),
        "yarn_before": re.compile(r"(?:\d/|needles?(?: size)? )$"),
        "force": re.compile(
            r"(?:tighten(?:ed|ing)?|torqued?|\bset|pinch(?:ed)?|nip(?:ped)?|\bdo (?:it"
            r"|them) up)\b[^.;]{0,30}$"
        ),
        "force_after": re.compile(r" (?:of )?torque\b"),
    }


def _is_yarn(low: str, read: TorqueRead) -> bool:
    if read.torque.unit is None or read.torque.unit.name != "N·m":
        return False
    patterns = _patterns()
    return bool(
        patterns["yarn"].match(low, read.end)
        or patterns["yarn_before"].search(low[max(0, read.start - 16) : read.start])
    )


def _force_for_torque(low: str, read: TorqueRead) -> bool:
    """Return whether a force stands where a torque is spoken of: "tighten to 12 lb"."""
    patterns = _patterns()
    return bool(
        patterns["force"].search(low[max(0, read.start - 50) : read.start])
        or patterns["force_after"].match(low, read.end)
    )


def _length(ready: Prepared, read: LengthRead) -> tuple[Stated, int]:
    dual = dual_length(ready, read)
    end = dual.end if dual else read.end
    verdict, objections = Verdict.STANDARD, ()
    if dual is not None and not dual.agrees:
        second = ready.span(dual.start, dual.stop)
        made = (Objection("length-units-disagree", dual.message, dual.hint, second),)
        return (
            _stated(
                *(ready, Kind.LENGTH, read.start, end, read.length, Verdict.CONTRADICTORY),
                *(made, dual),
            ),
            end,
        )
    return (
        _stated(ready, Kind.LENGTH, read.start, end, read.length, verdict, objections, dual),
        end,
    )


def _tightness(ready: Prepared, read: TightnessRead) -> Stated:
    return _stated(ready, Kind.TIGHTNESS, read.start, read.end, read.tightness, Verdict.DECLARED)


def _apart(found: list[Stated]) -> tuple[Stated, ...]:
    """Return the values in order, none over another."""
    kept: list[Stated] = []
    end = 0
    for stated in sorted(found, key=lambda one: (one.span.start, -one.span.end)):
        if stated.span.start >= end and stated.span.end > stated.span.start:
            kept.append(stated)
            end = stated.span.end
    return tuple(kept)
