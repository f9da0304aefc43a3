"""Show notes: the text that goes under a recording, as the place that shows films takes it.

Plain text, for such places know no Markdown. A line begins with a time only where it is
a chapter, so that nothing else is taken for one.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import asdict, dataclass, replace
from typing import Any

from kbgen.checks import Checked
from kbgen.content import Note, RecordingFile, plain_text
from kbgen.content.models import FitVerdict, Hazard, ShowNotesHabits, Signal
from kbgen.desk.reply import OBTAINED
from kbgen.desk.reply_text import one_line, section, sentence
from kbgen.desk.told import Tellings
from kbgen.findings import Finding, Severity, finding
from kbgen.links import Reference, Scheme, address_of, seconds

__all__ = [
    "LEFT_OUT",
    "ShowNotes",
    "ShownChapter",
    "ShownLink",
    "show_notes",
    "show_notes_shape",
    "timed",
]

LEFT_OUT = ("summary", "notes", "parts")
"""What may be left out where the block is too long; cautions and corrections never are."""

_CODE = "show-notes-refused"
_WORKSHOP = "content/workshop.yaml"
_HOUR_S = 3600


@dataclass(frozen=True, slots=True)
class ShownChapter:
    """A chapter: when it begins, as written under the recording, and the note it shows."""

    at: str
    second: int
    title: str
    note: int | None


@dataclass(frozen=True, slots=True)
class ShownLink:
    """A note or a part that is shown: its number or id, its words, its permanent address.

    Shape: ``tie`` says how we came by a part that we did not buy, else empty.
    """

    name: str
    words: str
    address: str
    tie: str = ""


@dataclass(frozen=True, slots=True)
class ShowNotes:
    """The block under a recording.

    Shape: ``address`` is the recording's page; ``cautions`` are the most severe first;
    ``corrections`` are ready lines. ``refused`` is what stands against the block, which
    may not be used then. ``longest`` is how many characters it may have.
    """

    recording: str
    title: str
    address: str
    summary: str
    chapters: tuple[ShownChapter, ...]
    notes: tuple[ShownLink, ...]
    parts: tuple[ShownLink, ...]
    cautions: tuple[Hazard, ...]
    corrections: tuple[str, ...]
    disclosure: str
    longest: int
    refused: tuple[Finding, ...] = ()

    @property
    def sections(self) -> Mapping[str, str]:
        """The parts of the block by name, in their order; one that is empty is left out."""
        chapters = (f"{chapter.at} {chapter.title}" for chapter in self.chapters)
        notes = (f"{link.words}: {link.address}" for link in self.notes)
        parts = (_part(link) for link in self.parts)
        sections = {
            "summary": self.summary,
            "corrections": section("SAID WRONGLY IN IT", *self.corrections),
            "cautions": "\n".join(_caution(hazard) for hazard in self.cautions),
            "chapters": "\n".join(chapters),
            "notes": section("Written up, with every screw and its tightness", *notes),
            "parts": section("Parts", *parts, self.disclosure) if self.parts else "",
            "address": f"Everything of this recording, corrections first: {self.address}",
        }
        return {name: text for name, text in sections.items() if text}

    @property
    def text(self) -> str:
        """The whole block, a blank line between its parts, a line feed at its end."""
        return "\n\n".join(self.sections.values()) + "\n"


def _caution(hazard: Hazard) -> str:
    said = [hazard.hazard, hazard.consequence or "", hazard.avoid]
    text = " ".join(sentence(plain_text(one)) for one in said if one)
    if hazard.defer_to:
        text += f" {sentence(f'Leave this work to {plain_text(hazard.defer_to)}')}"
    return one_line(f"{str(hazard.signal).upper()}: {text}")


def _part(link: ShownLink) -> str:
    return f"{link.words}{f' ({link.tie})' if link.tie else ''}: {link.address}"


def timed(second: int, longest_s: int) -> str:
    """Return a moment as the longest of its list needs it: ``0:40``, ``12:40``, ``0:12:40``."""
    minutes, rest = divmod(second, 60)
    if longest_s < _HOUR_S:
        return f"{minutes}:{rest:02}"
    return f"{minutes // 60}:{minutes % 60:02}:{rest:02}"


def show_notes(
    checked: Checked, recording: RecordingFile, left_out: Collection[str] = ()
) -> ShowNotes:
    """Return the block under a recording, and whatever stands against it.

    Shape: ``left_out`` are some of ``LEFT_OUT``.
    """
    shown = _Shown(checked, recording)
    workshop = checked.tree.workshop
    parts = tuple(shown.parts()) if "parts" not in left_out else ()
    block = ShowNotes(
        recording=recording.id,
        title=plain_text(recording.model.title),
        address=shown.address(Scheme.RECORDING, recording.id),
        summary=_line(recording.model.summary or "") if "summary" not in left_out else "",
        chapters=tuple(shown.chapters()),
        notes=tuple(shown.links()) if "notes" not in left_out else (),
        parts=parts,
        cautions=shown.cautions(),
        corrections=tuple(shown.corrections()),
        disclosure=_line(workshop.disclosure) if workshop and parts else "",
        longest=(workshop.shownotes if workshop else ShowNotesHabits()).longest,
    )
    refused = (*shown.wrong(), *_too_long(recording, block))
    return replace(block, refused=tuple(sorted(refused)))


def _line(text: str) -> str:
    return one_line(plain_text(text))


class _Shown:
    """What a recording shows, looked up in the checked tree."""

    def __init__(self, checked: Checked, recording: RecordingFile) -> None:
        self._checked = checked
        self._tree = checked.tree
        self._recording = recording
        workshop = checked.tree.workshop
        self._base = workshop.base_address.rstrip("/") + "/" if workshop else ""
        self._notes = tuple(self._shown_notes())

    def address(self, scheme: Scheme, name: str) -> str:
        """Return the permanent address of something, whole."""
        return self._base + address_of(Reference(scheme, name))

    def _shown_notes(self) -> Iterator[Note]:
        """Yield the published notes that the recording shows, by when it shows them."""
        published = {note.number: note for note in self._checked.published}
        moments = [
            (seconds(chapter.at), chapter.note)
            for chapter in self._recording.model.chapters
            if chapter.note in published
        ]
        for note in published.values():
            moments += [
                (seconds(moment.at or "0:00"), note.number)
                for moment in note.front.recordings
                if moment.recording == self._recording.id
            ]
        for number in dict.fromkeys(number for _, number in sorted(moments)):
            yield published[number]

    def chapters(self) -> Iterator[ShownChapter]:
        """Yield the chapters, their times as long as that of the last needs it."""
        chapters = self._recording.model.chapters
        last_s = max((seconds(chapter.at) for chapter in chapters), default=0)
        for chapter in chapters:
            second = seconds(chapter.at)
            title = _line(chapter.title)
            yield ShownChapter(timed(second, last_s), second, title, chapter.note)

    def links(self) -> Iterator[ShownLink]:
        """Yield the notes that are shown."""
        for note in self._notes:
            name = str(note.number)
            yield ShownLink(name, _line(note.front.title), self.address(Scheme.NOTE, name))

    def parts(self) -> Iterator[ShownLink]:
        """Yield the parts that the notes need, each once."""
        uses = (use.part for note in self._notes for use in note.front.parts)
        for name in dict.fromkeys(uses):
            part = self._tree.parts[name].model if name in self._tree.parts else None
            if part is None:
                continue
            told = [OBTAINED[part.obtained]] if OBTAINED[part.obtained] else []
            if any(fit.verdict is FitVerdict.HARMS for fit in part.fits):
                told.append("it fits some machines and harms them: read its page first")
            address = self.address(Scheme.PART, name)
            yield ShownLink(name, _line(part.name), address, "; ".join(told))

    def cautions(self) -> tuple[Hazard, ...]:
        """Return the cautions of the notes, each once, the most severe first."""
        names = (name for note in self._notes for name in note.front.hazards)
        hazards = [self._tree.hazards[one] for one in dict.fromkeys(names)]
        order = list(Signal)
        return tuple(sorted(hazards, key=lambda hazard: order.index(hazard.signal)))

    def corrections(self) -> Iterator[str]:
        """Yield a ready line for everything that was said wrongly in it, by its time."""
        lines = [
            (said.at_s or 0, line)
            for telling in Tellings(self._checked).all()
            for said, line in telling.recordings
            if said.recording == self._recording.id and said.sure
        ]
        yield from (one_line(line) for _, line in sorted(lines))

    def wrong(self) -> Iterator[Finding]:
        """Yield what is wrong with the list of chapters and with what the block draws on."""
        paths = {self._recording.source.path, _WORKSHOP, "content/hazards.yaml"}
        paths |= {note.source.path for note in self._notes}
        paths |= {f"content/parts/{use.part}.yaml" for n in self._notes for use in n.front.parts}
        for found in self._checked.findings:
            if found.path in paths and (found.severity is Severity.ERROR or found.code == _CODE):
                yield found


def _too_long(recording: RecordingFile, block: ShowNotes) -> Iterator[Finding]:
    """Yield the finding of a block that is longer than is taken, and what could be shortened."""
    length = len(block.text)
    if length <= block.longest:
        return
    sizes = sorted(((len(text), name) for name, text in block.sections.items()), reverse=True)
    told = ", ".join(f"{name} {size}" for size, name in sizes)
    place = recording.source.place("chapters")
    yield finding(
        _CODE,
        recording.source.path,
        place.line,
        place.column,
        f"the show notes have {length} of at most {block.longest} characters, "
        f"{length - block.longest} too many ({_WORKSHOP}: shownotes, longest): {told}",
        f"shorten titles and sentences of the longest part, {sizes[0][1]}, or leave one out: "
        f"{', '.join(LEFT_OUT)}",
    )


def show_notes_shape(block: ShowNotes) -> dict[str, Any]:
    """Return a block as plain data of a stable shape; its text is null where it is refused."""
    return {
        "recording": block.recording,
        "title": block.title,
        "address": block.address,
        "chapters": [
            {"at": one.at, "second": one.second, "title": one.title, "note": one.note}
            for one in block.chapters
        ],
        "notes": [
            {"note": int(one.name), "title": one.words, "address": one.address}
            for one in block.notes
        ],
        "parts": [
            {"part": one.name, "name": one.words, "address": one.address, "tie": one.tie or None}
            for one in block.parts
        ],
        "cautions": [
            {
                "signal": str(one.signal),
                "hazard": one.hazard,
                "consequence": one.consequence,
                "avoid": one.avoid,
                "defer_to": one.defer_to,
            }
            for one in block.cautions
        ],
        "corrections": list(block.corrections),
        "disclosure": block.disclosure or None,
        "characters": len(block.text),
        "longest": block.longest,
        "text": None if block.refused else block.text,
        "findings": [asdict(one) for one in block.refused],
    }
