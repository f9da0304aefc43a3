"""Find every thread, torque, tightness and length that a text states.

Any text will do and none makes it fail. The text is searched once for figures;
only where one stands is anything read.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache

from kbgen.units.complete import NO_HOUSE, HouseThreads
from kbgen.units.context import speaks_of_tightening
from kbgen.units.dual import Dual, dual_length, dual_torque
from kbgen.units.feel import TightnessRead, tightness_in
from kbgen.units.glance import announced, figure_places, may_begin, may_state
from kbgen.units.judging import judge
from kbgen.units.length import LengthRead, length_at
from kbgen.units.metric import lay_metric_at
from kbgen.units.prepared import Prepared, prepare
from kbgen.units.reads import Asked, ThreadRead
from kbgen.units.stated import Kind, Stated, Value
from kbgen.units.thread import thread_at
from kbgen.units.torque import TorqueRead, angle_at, torque_at
from kbgen.units.verdict import Objection, Verdict

__all__ = ["scan"]


def scan(text: str, house: HouseThreads = NO_HOUSE) -> tuple[Stated, ...]:
    """Return every value that ``text`` states, in order.

    Shape: spans are code points of ``text`` and do not overlap; ``as_written``
    is the stretch itself. A length behind a designation is a value of its own.
    Every paragraph and list item is read for itself: no value and no context
    runs on past an empty line or a bullet.
    """
    if "\n" not in text:
        return _paragraph(text, house) if may_state(text) else ()
    found: list[Stated] = []
    start = 0
    while start < len(text):
        border = _border().search(text, start)
        end = border.end() if border else len(text)
        paragraph = text[start:end]
        if may_state(paragraph):
            read = _paragraph(paragraph, house)
            found += read if not start else (_shifted(stated, start) for stated in read)
        start = end
    return tuple(found)


@cache
def _border() -> re.Pattern[str]:
    return re.compile(r"\n(?:\n+|(?=[*+#>|-] |\d{1,3}[.)] ))")


def _shifted(stated: Stated, by: int) -> Stated:
    """Return a value as it stands in a text that begins earlier."""
    objections = tuple(replace(one, span=one.span.shifted(by)) for one in stated.objections)
    return replace(stated, span=stated.span.shifted(by), objections=objections)


def _paragraph(text: str, house: HouseThreads) -> tuple[Stated, ...]:
    """Return every value that a paragraph states, in order."""
    ready = prepare(text)
    low = ready.low
    found: list[Stated] = []
    tight = tightness_in(ready)
    reads = iter(tight)
    ahead = next(reads, None)
    done = 0
    for match in figure_places().finditer(low):
        follows = match.lastgroup
        if follows == "chain" and not may_begin(low, match):
            continue
        at = match.start()
        if (
            low[at - 1 : at] == "."
            and not low[at - 2 : at - 1].isalnum()
            and low[at - 2 : at - 1] != "."
        ):
            at -= 1
        while ahead is not None and ahead.end <= at:
            ahead = next(reads, None)
        if at < done or (ahead is not None and ahead.start <= at):
            continue
        while True:
            for stated, end in _values_at(Asked(ready, house, since=done), at, follows or ""):
                found.append(stated)
                done = max(done, end)
            if not at < done < match.end() or low[done] != "/":
                break
            at = done + 1  # "10-24/10-32": one word of two values
        if done <= at:
            done = _skipped(match)
    found += (_tightness(ready, read) for read in tight)
    return _apart(found)


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
    if before == "/" and asked.since == at - 1:
        before = ""
    if before == "," and low[at - 2 : at - 1].isalpha():
        before = ""
    if (
        before in ("/", ":", "_", "=", "&", "@", "\\", "-", ".", ",")
        and low[at - 2 : at - 1].isalnum()
        and not announced(low, at)
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
            yield _length(ready, thread.length)
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
            f"'{unit.of(ready.written)}' is a force; a torque is a force on an arm",
            "write N·m, lbf·ft or lbf·in",
            unit,
        )
        made = _stated(
            ready, Kind.TORQUE, read.start, read.end, read.torque, Verdict.UNSTATED, (objection,)
        )
        return made, read.end
    dual = dual_torque(ready, read)
    end = dual.end if dual else read.end
    torque = read.torque
    if dual is not None and torque.then_deg is None and (then := angle_at(ready.low, end)):
        torque, end = replace(torque, then_deg=then[0]), then[1]
    objections: tuple[Objection, ...] = ()
    verdict = Verdict.STANDARD
    if dual is not None and not dual.agrees:
        second = ready.span(dual.start, dual.stop)
        objections = (Objection("torque-units-disagree", dual.message, dual.hint, second),)
        verdict = Verdict.CONTRADICTORY
    return _stated(ready, Kind.TORQUE, read.start, end, torque, verdict, objections, dual), end


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
