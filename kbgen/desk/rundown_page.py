"""The running order set as a page to print."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from kbgen.checks import Checked
from kbgen.desk.repeats import numbers
from kbgen.desk.reply_text import listed
from kbgen.desk.rundown import Item, Rundown
from kbgen.desk.rundown_lines import caution_line, clock_of
from kbgen.desk.rundown_text import asked_by, asked_times, header, look_lines
from kbgen.pages import RundownItem, RundownPage, RundownScrew, rundown_page
from kbgen.text import day_in_words

__all__ = ["render_rundown_page"]


def render_rundown_page(checked: Checked, rundown: Rundown, templates: Path | None = None) -> bytes:
    """Return the running order as one HTML file to be opened and printed.

    Raises: ValueError where the workshop's own file cannot be read.
    """
    places = {id(item): number for number, item in enumerate(rundown.items, 1)}
    sheets = (
        ("Left for next time", tuple((_brief(one), ()) for one in rundown.later)),
        (
            "To look at before",
            tuple((_brief(one), tuple(look_lines(one))) for one in rundown.to_look_at),
        ),
    )
    view = RundownPage(
        title=f"Running order, {day_in_words(rundown.day)}",
        head=tuple(header(rundown)),
        groups=tuple(
            (heading, tuple(_item(places[id(item)], item) for item in items))
            for heading, items in rundown.groups
        ),
        sheets=tuple(sheet for sheet in sheets if sheet[1]),
        left_over=tuple((_brief(item), tuple(look_lines(item))) for item in rundown.left_over),
    )
    return rundown_page(checked, view, templates)


def _item(number: int, item: Item) -> RundownItem:
    assert item.note is not None and item.reply is not None
    return RundownItem(
        number=number,
        short=item.short,
        told=f"{asked_times(item).capitalize()}, {clock_of(item.seconds)}, by",
        asked_by=asked_by(item),
        note=f"Note {item.note.number} ({item.confidence}): {item.reply.title}",
        address=item.reply.address,
        cautions=tuple(
            (str(one.signal), caution_line(one).partition(". ")[2]) for one in item.reply.cautions
        ),
        answer=item.reply.fix,
        hints=tuple(_hints(item)),
        screws=tuple(
            RundownScrew(
                f"{one.where}, {one.family}" if one.family else one.where,
                one.thread,
                one.hand == "left",
                one.tightness,
                one.basis,
            )
            for one in item.say
        ),
        not_to_say=tuple((one.figure, one.why) for one in item.not_to_say),
        stated=tuple(one.says for one in item.reply.told),
    )


def _hints(item: Item) -> Iterator[str]:
    assert item.reply is not None
    if not item.reply.fitting:
        yield f"Not written for the {listed(item.reply.families)}."
    elif item.say and not item.reply.families:
        yield "Ask which machine before a figure is said."
    if item.more_screws:
        yield f"The page has {item.more_screws} more."


def _brief(item: Item) -> str:
    told = [asked_times(item), numbers(item.questions), listed(item.families)]
    if item.note:
        told += [f"note {item.note.number}", clock_of(item.seconds) if item.seconds else ""]
    return f"{item.short} ({'; '.join(one for one in told if one)})"
