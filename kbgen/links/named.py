"""What the front matter of notes and questions, the parts and the chapters name by id."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.content import Filed, Note, PartFile, Question, Source, Tree
from kbgen.content.models import Recording
from kbgen.links.edge import Edge, Relation
from kbgen.links.reference import Reference, Scheme, clock, seconds

__all__ = [
    "named_by_note",
    "named_by_part",
    "named_by_question",
    "named_by_recording",
    "named_in",
]


def named_in(tree: Tree) -> Iterator[Edge]:
    """Yield everything that is named by id anywhere in the tree, dead or alive."""
    for note in tree.notes.values():
        yield from named_by_note(note, _missing(tree, note))
    for part in tree.parts.values():
        yield from named_by_part(part)
    for recording in tree.recordings.values():
        yield from named_by_recording(recording)
    for question in tree.questions.values():
        film = question.front.about.recording
        there = film is not None and tree.holds("recording", film)
        yield from named_by_question(question, there)


def _missing(tree: Tree, note: Note) -> frozenset[str]:
    """Return the recordings that a note names and that are not there."""
    named = (shown.recording for shown in note.front.recordings)
    return frozenset(name for name in named if not tree.holds("recording", name))


def named_by_note(note: Note, missing: frozenset[str]) -> tuple[Edge, ...]:
    """Return what a note's front matter names.

    Shape: of the recordings that are ``missing`` the moment is not named.
    """
    name = f"named, without {', '.join(sorted(missing))}"
    return note.source.once(name, lambda: tuple(_by_note(note, missing)), of_all=True)


def _by_note(note: Note, missing: frozenset[str]) -> Iterator[Edge]:
    origin = Reference(Scheme.NOTE, str(note.number))
    front = note.front

    def edge(target: Reference, relation: Relation, *path: str | int) -> Edge:
        return _edge(note.source, origin, target, relation, *path)

    if front.successor is not None:
        successor = Reference(Scheme.NOTE, str(front.successor))
        yield edge(successor, Relation.SUCCESSOR, "successor")
    for at, name in enumerate(front.headings):
        yield edge(Reference(Scheme.SYMPTOM, name), Relation.HEADING, "headings", at)
    for at, name in enumerate(front.families):
        yield edge(Reference(Scheme.FAMILY, name), Relation.FAMILY, "families", at)
    for at, use in enumerate(front.parts):
        part = Reference(Scheme.PART, use.part)
        yield edge(part, Relation.PART, "parts", at, "part")
    if front.before.spares != "none":
        for at, name in enumerate(front.before.spares):
            part = Reference(Scheme.PART, name)
            yield edge(part, Relation.SPARE, "before", "spares", at)
    for at, fastener in enumerate(front.fasteners):
        if isinstance(fastener, str):
            family, _, row = fastener.partition("/")
            place = Reference(Scheme.FASTENER, family, row)
            yield edge(place, Relation.FASTENER, "fasteners", at)
    for at, shown in enumerate(front.recordings):
        timed = shown.at is not None and shown.recording not in missing
        moment = _moment(shown.recording, shown.at if timed else None)
        key = "at" if timed else "recording"
        yield edge(moment, Relation.RECORDING, "recordings", at, key)


def named_by_part(part: PartFile) -> tuple[Edge, ...]:
    """Return the families that a part says it fits, or does not."""
    return part.source.once("named", lambda: tuple(_by_part(part)), of_all=True)


def _by_part(part: PartFile) -> Iterator[Edge]:
    origin = Reference(Scheme.PART, part.id)
    for at, fit in enumerate(part.model.fits):
        family = Reference(Scheme.FAMILY, fit.family)
        yield _edge(part.source, origin, family, Relation.FIT, "fits", at, "family")


def named_by_recording(recording: Filed[Recording]) -> tuple[Edge, ...]:
    """Return the notes that the chapters of a recording name."""
    return recording.source.once("named", lambda: tuple(_by_recording(recording)), of_all=True)


def _by_recording(recording: Filed[Recording]) -> Iterator[Edge]:
    for at, chapter in enumerate(recording.model.chapters):
        if chapter.note is not None:
            origin = _moment(recording.id, chapter.at)
            note = Reference(Scheme.NOTE, str(chapter.note))
            path = ("chapters", at, "note")
            yield _edge(recording.source, origin, note, Relation.CHAPTER, *path)


def named_by_question(question: Question, there: bool) -> tuple[Edge, ...]:
    """Return what a question is about, the one it repeats, and the note that answers it.

    Shape: unless the recording that it is about is ``there``, its moment is not named.
    """
    name = "named" if there else "named, without its moment"
    return question.source.once(name, lambda: tuple(_by_question(question, there)), of_all=True)


def _by_question(question: Question, there: bool) -> Iterator[Edge]:
    origin = Reference(Scheme.QUESTION, str(question.number))
    front, about = question.front, question.front.about

    def edge(target: Reference, relation: Relation, *path: str | int) -> Edge:
        return _edge(question.source, origin, target, relation, *path)

    if about.recording is not None:
        timed = about.at is not None and there
        moment = _moment(about.recording, about.at if timed else None)
        yield edge(moment, Relation.ABOUT, "about", "at" if timed else "recording")
    if about.note is not None:
        yield edge(Reference(Scheme.NOTE, str(about.note)), Relation.ABOUT, "about", "note")
    for at, name in enumerate(front.families):
        yield edge(Reference(Scheme.FAMILY, name), Relation.FAMILY, "families", at)
    if front.answered_by is not None:
        note = Reference(Scheme.NOTE, str(front.answered_by))
        yield edge(note, Relation.ANSWER, "answered_by")
    if front.same_as is not None:
        earlier = Reference(Scheme.QUESTION, str(front.same_as))
        yield edge(earlier, Relation.REPEATED, "same_as")


def _moment(recording: str, at: str | None) -> Reference:
    return Reference(Scheme.RECORDING, recording, clock(seconds(at)) if at else "")


def _edge(
    source: Source, origin: Reference, target: Reference, relation: Relation, *path: str | int
) -> Edge:
    place = source.place(*path)
    return Edge(source.path, place.line, place.column, origin, target, relation)
