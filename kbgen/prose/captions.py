"""What is said in a recording: captions read as the running speech that they are."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence

from kbgen.content import Caption, Place, RecordingFile
from kbgen.prose.sentences import sentence_around
from kbgen.prose.statement import Statement, Where, faults_of
from kbgen.text import Span
from kbgen.units import HouseThreads, Kind, scan

__all__ = ["scan_captions"]

# A breath between two captions; after a longer silence a figure begins anew.
BREATH_S = 2.0


def scan_captions(recording: RecordingFile, house: HouseThreads) -> tuple[Statement, ...]:
    """Return what the captions of a recording state.

    Shape: "five sixteenths" in one caption and "eighteen" in the next are read as one
    figure, placed where it begins.
    """
    found: list[Statement] = []
    for run in _runs(recording.captions):
        starts: list[int] = []
        text = ""
        for caption in run:
            starts.append(len(text))
            text += caption.text.replace("\n", " ") + " "

        def place_of(offset: int, run: list[Caption] = run, starts: list[int] = starts) -> Place:
            at = bisect_right(starts, offset) - 1
            return run[at].place_in(offset - starts[at])

        stated_here = scan(text, house)
        starts_of: dict[Kind, list[int]] = {}
        for stated in stated_here:
            starts_of.setdefault(stated.kind, []).append(stated.span.start)
        for stated in stated_here:
            place = place_of(stated.span.start)
            sentence = sentence_around(text, stated.span)
            before = _before(text, sentence)
            others = starts_of[stated.kind]
            if bisect_left(others, before.start) < bisect_left(others, before.end):
                before = Span(0, 0)
            found.append(
                Statement(
                    recording.captions_path,
                    place.line,
                    place.column,
                    Where.CAPTION,
                    stated,
                    sentence=sentence.of(text).strip(),
                    at=stated.span.start - sentence.start,
                    before=before.of(text).strip(),
                    said_at_s=run[bisect_right(starts, stated.span.start) - 1].start,
                    faults=faults_of(stated, text, place_of),
                )
            )
    return tuple(found)


def _before(text: str, sentence: Span) -> Span:
    """Return the sentence before another, empty where there is none."""
    if sentence.start < 2:
        return Span(0, 0)
    found = sentence_around(text, Span(sentence.start - 2, sentence.start - 1))
    return Span(found.start, min(found.end, sentence.start))


def _runs(captions: Sequence[Caption]) -> Iterator[list[Caption]]:
    """Yield captions that follow each other without a silence between them."""
    run: list[Caption] = []
    for caption in captions:
        if run and caption.start - run[-1].end > BREATH_S:
            yield run
            run = []
        run.append(caption)
    if run:
        yield run
