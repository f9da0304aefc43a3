"""Rules that need one file and nothing else: dates in order, ids once, one tightness."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from kbgen.content.marks import KeyPath, Mark
from kbgen.content.models import (
    Family,
    Fastener,
    NoteFront,
    QuestionFront,
    QuestionStanding,
    Recording,
    Standing,
)
from kbgen.content.plain_yaml import Slip

__all__ = ["slips_in"]

Marks = Mapping[KeyPath, Mark]


def slips_in(model: object, marks: Marks) -> list[Slip]:
    """Return what is wrong in one file that is of the right shape throughout."""
    match model:
        case NoteFront():
            slips = [*_dates(model, marks), *_successor(model, marks)]
            for number, fastener in enumerate(model.fasteners):
                if isinstance(fastener, Fastener):
                    slips += _tightness(fastener, ("fasteners", number), marks)
            return slips
        case QuestionFront():
            return list(_answer(model, marks))
        case Family():
            slips = []
            for key in ("fasteners", "variants", "settings"):
                slips += _ids_once(getattr(model, key), (key,), marks)
            for number, fastener in enumerate(model.fasteners):
                slips += _tightness(fastener, ("fasteners", number), marks)
            return slips
        case Recording():
            return list(_chapters(model, marks))
        case tuple() if model and hasattr(model[0], "id"):
            return list(_ids_once(model, (), marks))
    return []


def _dates(front: NoteFront, marks: Marks) -> Iterator[Slip]:
    if front.revised < front.first_published:
        yield Slip(
            "dates-out-of-order",
            marks[("revised",)].start,
            f"revised on {front.revised}, before it was first published on {front.first_published}",
            "one of the two days is a slip",
            ("revised",),
        )


def _successor(front: NoteFront, marks: Marks) -> Iterator[Slip]:
    if front.standing is Standing.WITHDRAWN and front.successor is None:
        yield Slip(
            "successor-missing",
            marks[("standing",)].start,
            "a withdrawn note names no successor; its address has to lead on to something",
            "add `successor:` with the number of the note that replaces it",
            ("standing",),
        )
    if front.standing is not Standing.WITHDRAWN and front.successor is not None:
        yield Slip(
            "successor-missing",
            marks[("successor",)].key,
            f"a successor is named, but the note is {front.standing}, not withdrawn",
            "take the successor out, or set standing: withdrawn",
            ("successor",),
        )


def _answer(front: QuestionFront, marks: Marks) -> Iterator[Slip]:
    """Yield what an answered question leaves out, and what another one has too much."""
    keys = ("answered_by", "answered")
    said = [key for key in keys if getattr(front, key) is not None]
    if front.standing is QuestionStanding.ANSWERED:
        for key in keys:
            if key not in said:
                yield Slip(
                    "answer-incomplete",
                    marks[("standing",)].start,
                    f"an answered question without `{key}`: nobody can tell what was answered when",
                    f"add `{key}:`, or set standing: waiting",
                    ("standing",),
                )
    elif said:
        yield Slip(
            "answer-incomplete",
            marks[(said[0],)].key,
            f"`{said[0]}` is given, but the question is {front.standing}, not answered",
            f"set standing: answered, or take `{said[0]}` out",
            (said[0],),
        )
    if front.answered is not None and front.answered < front.date:
        yield Slip(
            "dates-out-of-order",
            marks[("answered",)].start,
            f"answered on {front.answered}, before it came on {front.date}",
            "one of the two days is a slip",
            ("answered",),
        )


def _tightness(fastener: Fastener, path: KeyPath, marks: Marks) -> Iterator[Slip]:
    if fastener.torque is not None and fastener.tightness is not None:
        later = max(("torque", "tightness"), key=lambda key: marks[(*path, key)].key)
        yield Slip(
            "tightness-twice",
            marks[(*path, later)].key,
            "a torque and a tightness in words are both given; a reader cannot tell which holds",
            "keep the one that was measured, and put the other into `remark` or `disputed`",
            (*path, later),
        )


def _ids_once(rows: Iterable[Any], path: KeyPath, marks: Marks) -> Iterator[Slip]:
    first: dict[str, int] = {}
    for number, row in enumerate(rows):
        if row.id in first:
            yield Slip(
                "id-twice",
                marks[(*path, number, "id")].start,
                f"the id `{row.id}` is taken by item {first[row.id] + 1} of this list",
                "give one of the two another id; the published one keeps its own",
                (*path, number, "id"),
            )
        first.setdefault(row.id, number)


def _chapters(recording: Recording, marks: Marks) -> Iterator[Slip]:
    length = _seconds(recording.length)
    before = -1
    for number, chapter in enumerate(recording.chapters):
        at = _seconds(chapter.at)
        path = ("chapters", number, "at")
        if at >= length:
            yield Slip(
                "chapter-out-of-order",
                marks[path].start,
                f"a chapter begins at {chapter.at}; the recording ends at {recording.length}",
                "look at the time and the length again",
                path,
            )
        elif at <= before:
            yield Slip(
                "chapter-out-of-order",
                marks[path].start,
                f"a chapter begins at {chapter.at}, not after the one above it",
                "put the chapters in the order of their beginning",
                path,
            )
        before = max(before, at)


def _seconds(clock: str) -> int:
    seconds = 0
    for part in clock.split(":"):
        seconds = seconds * 60 + int(part)
    return seconds
