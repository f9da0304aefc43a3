"""The running order as Markdown, and as plain data of a stable shape."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from kbgen.content import plain_text
from kbgen.desk.matching_shape import candidate_shape
from kbgen.desk.repeats import numbers
from kbgen.desk.reply_shape import screw_shape
from kbgen.desk.reply_text import listed, one_line
from kbgen.desk.rundown import RULE, Item, Rundown
from kbgen.desk.rundown_lines import caution_line, clock_of, screw_line
from kbgen.text import day_in_words

__all__ = [
    "asked_by",
    "asked_times",
    "header",
    "look_lines",
    "render_rundown",
    "rundown_shape",
]

_SIGNS = re.compile(r"([\\`*_\[\]<>#|~])")
_LIST = re.compile(r"^(\d+)([.)])|^([-+=])")


def render_rundown(rundown: Rundown) -> str:
    """Return the running order as Markdown, the leftovers on a sheet of their own."""
    return "\n\n".join(_blocks(rundown)) + "\n"


def _blocks(rundown: Rundown) -> Iterator[str]:
    yield f"# Running order, {day_in_words(rundown.day)}"
    yield " ".join(_plain(line) for line in header(rundown))
    if not rundown.items:
        yield "No question waits that a note answers."
    number = 0
    for heading, items in rundown.groups:
        yield f"## {_plain(heading)}"
        for item in items:
            number += 1
            yield _item(number, item)
    if rundown.later:
        yield "## Left for next time"
        yield "\n".join(f"- {_brief(item)}" for item in rundown.later)
    if rundown.to_look_at:
        yield "## To look at before"
        yield "\n".join(line for item in rundown.to_look_at for line in _look(item))
    if rundown.left_over:
        yield "# Left over: no note answers these"
        yield "\n".join(line for item in rundown.left_over for line in _look(item))


def header(rundown: Rundown) -> Iterator[str]:
    """Yield the sentences at the head: how many, how long, and by which rule."""
    items = rundown.items
    asked = sum(item.times for item in items)
    habits = rundown.habits
    yield (
        f"{rundown.workshop}. {_count(len(items), 'subject')}, asked {_count(asked, 'time')}, "
        f"{clock_of(rundown.seconds)} at {habits.words_a_minute} words a minute and "
        f"{habits.pause} seconds between two."
    )
    if rundown.minutes is not None:
        yield f"To fit into {_count(rundown.minutes, 'minute')}. {RULE}"


def _item(number: int, item: Item) -> str:
    assert item.note is not None and item.reply is not None
    lines = [
        f"### {number}. {_plain(item.short)}",
        "",
        f"*{asked_times(item)}, {clock_of(item.seconds)}*",
        "",
        f"- Asked by {_plain(asked_by(item))}",
        f"- Note {item.note.number} ({item.confidence}): {_plain(item.reply.title)}, "
        f"<{item.reply.address}>",
    ]
    lines += [f"- **{_plain(caution_line(hazard))}**" for hazard in item.reply.cautions]
    lines.append(f"- Answer: {_plain(item.reply.fix)}")
    if not item.reply.fitting:
        lines.append(f"- Not written for the {_plain(listed(item.reply.families))}")
    elif item.say and not item.reply.families:
        lines.append("- Ask which machine before a figure is said")
    lines += [f"- Say: {_plain(screw_line(screw))}" for screw in item.say]
    if item.more_screws:
        lines.append(f"- {_count(item.more_screws, 'more screw')} on the page")
    lines += [f"- Do not say: {_plain(one.figure)} ({_plain(one.why)})" for one in item.not_to_say]
    lines += [f"- They write: {_plain(one.says)}" for one in item.reply.told]
    return "\n".join(lines)


def _brief(item: Item) -> str:
    return (
        f"{_plain(item.short)} ({asked_times(item)}; {_plain(asked_by(item))}"
        + (f"; {_plain(listed(item.families))}" if item.families else "")
        + (f"; note {item.note.number}, {clock_of(item.seconds)}" if item.note else "")
        + ")"
    )


def _look(item: Item) -> Iterator[str]:
    yield f"- {_brief(item)}"
    for line in look_lines(item):
        yield f"  - {_plain(line)}"


def look_lines(item: Item) -> Iterator[str]:
    """Yield why an item is not read out, and which notes may answer it or come nearest."""
    if item.refused:
        yield f"No answer: {item.refused}"
    for one in item.candidates:
        title = plain_text(one.note.front.title)
        why = "; ".join(reason.text for reason in one.reasons)
        if one.confidence:
            yield f"Note {one.note.number}, {title} ({one.confidence}): {why}"
        else:
            yield f"Nearest, too far to be said: note {one.note.number}, {title}"


def asked_by(item: Item) -> str:
    """Return who asks and since when: ``Hazel B. (Q0007, 6 March 2026) and somebody (...)``.

    Shape: a question that the note answers only likely says so.
    """
    return listed(
        f"{_alias(one.front.alias)} ({numbers([one])}, {day_in_words(one.front.date)}"
        f"{', likely' if one.number in item.unsure else ''})"
        for one in item.questions
    )


def _alias(alias: str) -> str:
    return "somebody" if alias.lower() == "withheld" else one_line(alias)


def asked_times(item: Item) -> str:
    """Return how often it was asked."""
    return {1: "asked once", 2: "asked twice"}.get(item.times, f"asked {item.times} times")


def _count(number: int, what: str) -> str:
    return f"{number} {what}" if number == 1 else f"{number} {what}s"


def _plain(text: str) -> str:
    """Return a text whose signs mean nothing to Markdown."""
    text = _SIGNS.sub(r"\\\1", one_line(text))
    return _LIST.sub(lambda found: f"{found[1] or ''}\\{found[2] or found[3]}", text)


def rundown_shape(rundown: Rundown) -> dict[str, Any]:
    """Return the running order as plain data."""
    return {
        "day": rundown.day.isoformat(),
        "minutes": rundown.minutes,
        "seconds": rundown.seconds,
        "rule": RULE,
        "groups": [
            {"heading": heading, "items": [_shape(item) for item in items]}
            for heading, items in rundown.groups
        ],
        "later": [_shape(item) for item in rundown.later],
        "to_look_at": [_shape(item) for item in rundown.to_look_at],
        "left_over": [_shape(item) for item in rundown.left_over],
    }


def _shape(item: Item) -> dict[str, Any]:
    reply = item.reply
    return {
        "short": item.short,
        "times": item.times,
        "seconds": item.seconds,
        "questions": [
            {
                "number": one.number,
                "alias": None if one.front.alias.lower() == "withheld" else one.front.alias,
                "date": one.front.date.isoformat(),
                "sure": item.note is not None and one.number not in item.unsure,
            }
            for one in item.questions
        ],
        "families": list(item.families),
        "note": item.note.number if item.note else None,
        "confidence": str(item.confidence) if item.confidence else None,
        "answer": reply.fix if reply else None,
        "refused": item.refused or None,
        "cautions": [caution_line(one) for one in reply.cautions] if reply else [],
        "say": [screw_shape(one) for one in item.say],
        "more_screws": item.more_screws,
        "not_to_say": [{"figure": one.figure, "why": one.why} for one in item.not_to_say],
        "stated": [one.says for one in reply.told] if reply else [],
        "candidates": [candidate_shape(one) for one in item.candidates],
    }
