"""Chapters as the place where recordings are shown takes them: else it shows none at all."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.checks.rule import Material
from kbgen.content import RecordingFile
from kbgen.content.models import ShowNotesHabits
from kbgen.findings import Finding, finding
from kbgen.links import clock, seconds

__all__ = ["show_notes_refused"]


def show_notes_refused(material: Material) -> Iterator[Finding]:
    """Report a list of chapters that would be passed over under its recording.

    A recording without chapters has no list, and nothing is reported of it.
    """
    workshop = material.tree.workshop
    habits = workshop.shownotes if workshop else ShowNotesHabits()
    for recording in material.tree.recordings.values():
        if recording.model.chapters and recording.source.path not in material.broken:
            yield from _late(recording)
            yield from _too_few(recording, habits.fewest_chapters)
            yield from _too_near(recording, habits.smallest_gap)


def _late(recording: RecordingFile) -> Iterator[Finding]:
    first = recording.model.chapters[0]
    if seconds(first.at) > 0:
        yield _refused(
            recording,
            0,
            f"the first chapter begins at {first.at}; a list that does not begin at 0:00 is shown "
            "as no chapters (common practice, no published source)",
            'put a chapter above it: {at: "0:00", title: …}',
        )


def _too_few(recording: RecordingFile, fewest: int) -> Iterator[Finding]:
    count = len(recording.model.chapters)
    if count < fewest:
        yield _refused(
            recording,
            count - 1,
            f"there {'is' if count == 1 else 'are'} {count} of at least {fewest} chapters "
            "(content/workshop.yaml: shownotes, fewest_chapters)",
            f"add {fewest - count}, or leave all of them out",
        )


def _too_near(recording: RecordingFile, gap_s: int) -> Iterator[Finding]:
    chapters = recording.model.chapters
    ends = [*(chapter.at for chapter in chapters[1:]), recording.model.length]
    for number, (chapter, end) in enumerate(zip(chapters, ends, strict=True)):
        lasts_s = seconds(end) - seconds(chapter.at)
        if lasts_s >= gap_s:
            continue
        what = "the recording ends" if number + 1 == len(chapters) else "the next one begins"
        yield _refused(
            recording,
            min(number + 1, len(chapters) - 1),
            f"the chapter at {chapter.at} lasts {lasts_s} s of at least {gap_s} s: {what} at "
            f"{clock(seconds(end))} (content/workshop.yaml: shownotes, smallest_gap)",
            "join the two, or move one of them",
        )


def _refused(recording: RecordingFile, number: int, message: str, hint: str) -> Finding:
    place = recording.source.place("chapters", number, "at")
    return finding(
        "show-notes-refused", recording.source.path, place.line, place.column, message, hint
    )
