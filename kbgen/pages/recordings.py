"""Recording pages: chapters that lead to the moment, and what was said there."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

from kbgen.content import RecordingFile
from kbgen.links import Reference, Scheme, address_of, clock, moment_anchor, seconds
from kbgen.pages.asked import questions_about
from kbgen.pages.leads import leads_to
from kbgen.pages.scales import hour_scale
from kbgen.pages.shelf import Shelf
from kbgen.pages.structured import duration
from kbgen.pages.views import ChapterView, CorrectionLine, LinkView, Page, RecordingView

__all__ = ["moment_link", "recording_page"]


def recording_page(shelf: Shelf, recording: RecordingFile) -> Page:
    """Return the page of a recording."""
    model = recording.model
    reference = Reference(Scheme.RECORDING, recording.id)
    chapters = tuple(_chapters(shelf, recording))
    view = RecordingView(
        title=model.title,
        date=model.date,
        address=model.address,
        length=model.length,
        seconds=seconds(model.length),
        duration=duration(seconds(model.length)),
        summary=shelf.prose(model.summary or ""),
        scale=hour_scale(seconds(model.length), [seconds(row.at) for row in model.chapters]),
        chapters=chapters,
        questions=questions_about(shelf, reference),
        corrections=tuple(_corrections(shelf, recording)),
    )
    return Page(
        path=address_of(reference),
        kind="recording",
        title=model.title,
        purpose="What is shown in this recording, and when.",
        revised=max((c.date for c in model.corrections), default=model.date),
        body=view,
        source=recording.source.path,
        leads_here=leads_to(shelf, reference),
    )


def _chapters(shelf: Shelf, recording: RecordingFile) -> Iterator[ChapterView]:
    """Yield the chapters in order, each with the captions until the next one begins."""
    chapters = sorted(recording.model.chapters, key=lambda chapter: seconds(chapter.at))
    starts = [seconds(chapter.at) for chapter in chapters]
    ends = [*starts[1:], float("inf")]
    for chapter, start, end in zip(chapters, starts, ends, strict=True):
        first = starts.index(start) == chapters.index(chapter)
        note = shelf.notes.get(chapter.note or 0)
        said = [caption for caption in recording.captions if start <= caption.start < end]
        yield ChapterView(
            anchor=moment_anchor(chapter.at) if first else "",
            at=clock(start),
            title=shelf.prose(chapter.title),
            moment=moment(recording.model.address, start),
            second=start,
            note=shelf.note_link(note) if note else None,
            transcript=tuple(
                (clock(int(caption.start)), shelf.figured(" ".join(caption.text.split())))
                for caption in said
            ),
        )


def moment(address: str, second: int) -> str:
    """Return the address of a moment: the recording's with a time in seconds.

    Source: W3C Media Fragments URI 1.0, temporal dimension (``#t=760``).
    """
    return f"{re.sub('#.*', '', address)}#t={second}"


def moment_link(recording: RecordingFile, at: str | None) -> LinkView | None:
    """Return the link to a moment of the recording itself, None where none is named."""
    if not at:
        return None
    return LinkView(f"at {at}", moment(recording.model.address, seconds(at)))


def _corrections(shelf: Shelf, recording: RecordingFile) -> Iterator[CorrectionLine]:
    for line in recording.model.corrections:
        yield replace(shelf.correction(line), at=moment_link(recording, line.at))
