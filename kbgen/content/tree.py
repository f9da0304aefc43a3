"""The typed content tree that loading returns."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any, Generic, TypeVar

from kbgen.content.captions import Caption
from kbgen.content.models import (
    Family,
    Hazard,
    HouseThread,
    NoteFront,
    Part,
    QuestionFront,
    Recording,
    SymptomHeading,
    VocabularyPair,
    Workshop,
)
from kbgen.content.source import Source, digest_of
from kbgen.findings import Finding

if TYPE_CHECKING:
    from markdown_it.token import Token

__all__ = [
    "Body",
    "FamilyFile",
    "Filed",
    "HazardsFile",
    "Loaded",
    "Note",
    "PartFile",
    "Question",
    "RecordingFile",
    "SymptomsFile",
    "ThreadsFile",
    "Tree",
    "VocabularyFile",
    "WorkshopFile",
]

M = TypeVar("M")


@dataclass(frozen=True)
class Body:
    """The Markdown of a note, and all that can be read of a file that is broken.

    Shape: ``body`` begins on line ``source.body_line`` of the file; it is empty for a
    file that is YAML throughout. ``source`` places the values that could be read.
    """

    source: Source
    body: str

    @property
    def tokens(self) -> Sequence[Token]:
        """The parsed Markdown of the body; that of the bodies asked for last is at hand."""
        from kbgen.content.markdown import parsed_lately

        return parsed_lately(self.body)

    @property
    def plain(self) -> str:
        """The words of the Markdown, a block a line, without its marks."""
        from kbgen.content.markdown import plain_texts

        return "\n".join(plain_texts(self.tokens))

    @property
    def face(self) -> bytes:
        """A digest of the front matter: of all that others show of a note or a question."""
        return self.source.once("face", self._digest_of_front)

    def _digest_of_front(self) -> bytes:
        text = self.source.text
        return digest_of(self.source.path, text[: len(text) - len(self.body)])

    def let_go(self, facts: bool = True) -> None:
        """Give back the room of what can be unpacked again, facts or not."""
        if "_length" in self.__dict__:
            self.__dict__.pop("body", None)
        self.source.let_go(facts)

    def __getstate__(self) -> dict[str, Any]:
        """Leave the body behind, which is the end of the file's text."""
        return {**self.__dict__, "body": len(self.body)}

    def __setstate__(self, state: dict[str, Any]) -> None:
        self.__dict__.update(state, _length=state["body"])
        del self.__dict__["body"]

    if not TYPE_CHECKING:

        def __getattr__(self, name: str) -> Any:
            """Return the body of a note that was kept, when it is first asked for."""
            if name != "body" or "_length" not in self.__dict__:
                raise AttributeError(name)
            text = self.source.text
            self.__dict__["body"] = text[len(text) - self.__dict__["_length"] :]
            return self.__dict__["body"]


@dataclass(frozen=True)
class Note(Body):
    """One repair write-up: its Markdown, its number, and its front matter.

    Shape: ``slug`` is the words of the file name.
    """

    number: int
    slug: str
    front: NoteFront


@dataclass(frozen=True)
class Question(Body):
    """A question as it was received: the words as written, its number, its front matter.

    Shape: ``slug`` is the words of the file name; ``body`` is plain text, not Markdown.
    """

    number: int
    slug: str
    front: QuestionFront

    @property
    def words(self) -> str:
        """The words as they were written, without blank lines around them."""
        return self.body.strip()

    @property
    def alias(self) -> str:
        """The alias of who asked, empty where it is withheld."""
        alias = self.front.alias
        return "" if alias.lower() == "withheld" else alias


@dataclass(frozen=True, slots=True)
class Filed(Generic[M]):
    """A YAML content file: its id (the file's name), its text, its model."""

    id: str
    source: Source
    model: M


@dataclass(frozen=True, slots=True)
class RecordingFile(Filed[Recording]):
    """A recording, with the captions of ``recordings/ID.vtt`` or ``ID.srt`` when present.

    Shape: ``captions_path`` is the path of the caption file, empty where there is none.
    """

    captions: tuple[Caption, ...] = ()
    captions_path: str = ""


FamilyFile = Filed[Family]
PartFile = Filed[Part]
WorkshopFile = Filed[Workshop]
ThreadsFile = Filed[tuple[HouseThread, ...]]
HazardsFile = Filed[tuple[Hazard, ...]]
SymptomsFile = Filed[tuple[SymptomHeading, ...]]
VocabularyFile = Filed[tuple[VocabularyPair, ...]]


@dataclass(frozen=True)
class Tree:
    """The whole content tree, everything in it that could be read.

    Shape: mappings are sorted by number or id. ``broken`` names what is there but
    could not be read, as ``note:17`` or ``family:halverin-h``, and a list by its kind
    alone (``hazards``): a reference to it leads somewhere. ``fragments`` are what
    could be read of broken files, and notes whose number is taken, so that what they
    state is inspected in the same run. ``photos`` are the names of the files in
    ``content/photos``, sorted.
    """

    root: Path
    workshop_file: WorkshopFile | None = None
    notes: Mapping[int, Note] = field(default_factory=dict)
    families: Mapping[str, FamilyFile] = field(default_factory=dict)
    parts: Mapping[str, PartFile] = field(default_factory=dict)
    recordings: Mapping[str, RecordingFile] = field(default_factory=dict)
    questions: Mapping[int, Question] = field(default_factory=dict)
    threads_file: ThreadsFile | None = None
    hazards_file: HazardsFile | None = None
    symptoms_file: SymptomsFile | None = None
    vocabulary_file: VocabularyFile | None = None
    fragments: tuple[Body, ...] = ()
    photos: tuple[str, ...] = ()
    broken: frozenset[str] = frozenset()

    @property
    def workshop(self) -> Workshop | None:
        """The workshop, or None where its file could not be read."""
        return self.workshop_file.model if self.workshop_file else None

    @cached_property
    def house_threads(self) -> tuple[HouseThread, ...]:
        """The declared house threads, in the order of their file."""
        return self.threads_file.model if self.threads_file else ()

    @cached_property
    def hazards(self) -> dict[str, Hazard]:
        """The hazards by id, sorted."""
        rows = self.hazards_file.model if self.hazards_file else ()
        return {row.id: row for row in sorted(rows, key=lambda row: row.id)}

    @cached_property
    def headings(self) -> dict[str, SymptomHeading]:
        """The headings of symptoms by id, sorted."""
        rows = self.symptoms_file.model if self.symptoms_file else ()
        return {row.id: row for row in sorted(rows, key=lambda row: row.id)}

    @cached_property
    def vocabulary(self) -> tuple[VocabularyPair, ...]:
        """The pairs of lay and trade words, in the order of their file."""
        return self.vocabulary_file.model if self.vocabulary_file else ()

    def holds(self, kind: str, name: str | int) -> bool:
        """Return whether the tree has such a thing, whole or broken.

        Shape: ``kind`` is note, family, part, recording or question.
        """
        shelves: dict[str, Mapping[Any, object]] = {
            "note": self.notes,
            "family": self.families,
            "part": self.parts,
            "recording": self.recordings,
            "question": self.questions,
        }
        return name in shelves[kind] or f"{kind}:{name}" in self.broken


@dataclass(frozen=True, slots=True)
class Loaded:
    """What loading returns: the tree and every finding, sorted."""

    tree: Tree
    findings: tuple[Finding, ...]
