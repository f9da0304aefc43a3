"""What every page builder asks of the checked content: links, figures in prose, threads.

Computed once a build and read by all page kinds; nothing in it knows a template.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Hashable, Mapping, Sequence
from functools import cached_property, lru_cache
from typing import TYPE_CHECKING, Any, TypeVar

from markupsafe import Markup

from kbgen.checks import Checked
from kbgen.content import FamilyFile, Note, Question, parse_markdown
from kbgen.content.models import Correction, Fastener, RegisterRow
from kbgen.links import (
    Reference,
    Scheme,
    address_of,
    clock,
    parse_reference,
    plain_thread,
    seconds,
)
from kbgen.pages.bodies import body_of
from kbgen.pages.figured import figured, figured_markdown
from kbgen.pages.figures import stamp
from kbgen.pages.views import CorrectionLine, LinkView
from kbgen.pages.watch import Watch
from kbgen.pages.watched import citing, notes_under, published_notes, rows_of, watched
from kbgen.text import NotationError
from kbgen.units import HouseThreads, Kind, Thread, Torque, parse_thread, scan

if TYPE_CHECKING:
    from markdown_it.token import Token

__all__ = ["Shelf", "question_title"]

T = TypeVar("T")

PAGES = {
    "about": "About us, and safety",
    "find": "Find",
    "screws": "Screws",
    "symptoms": "What it does wrong",
}
"""The lists that a content file of several things speaks on."""

_MARKED = re.compile(r"[*_\[\]`<>&\\#|\n]")


class Shelf:
    """The checked content, with the look-ups that pages share."""

    def __init__(self, checked: Checked, watch: Watch | None = None) -> None:
        """Take the content; a ``watch`` notes what each page asks of it."""
        self._watch = watch
        self.checked: Checked = watched(watch) if watch else checked
        self.tree = self.checked.tree
        self.house = HouseThreads.of([row.thread for row in checked.tree.house_threads])
        self._scan = lru_cache(maxsize=4096)(lambda text: scan(text, self.house))
        # The title of a note stands on every page that leads to it.
        self._figured = lru_cache(maxsize=16_384)(lambda text: figured(text, self._scan(text)))
        self._once: dict[Hashable, Any] = {}

    def once(self, name: Hashable, make: Callable[[], T], kept: bool = False) -> T:
        """Return what several pages share, made when it is first asked for.

        Shape: what is ``kept`` for later builds is plain values that follow from facts alone.
        """
        if self._watch:
            self._watch.tell("group", repr(name))
        if name not in self._once:
            self._once[name] = self._watch.group(name, make, kept) if self._watch else make()
        found: T = self._once[name]
        return found

    # --- what there is

    @cached_property
    def notes(self) -> Mapping[int, Note]:
        """The published notes by number, sorted."""
        if self._watch:
            return published_notes(self.checked)
        return {note.number: note for note in self.checked.published}

    @cached_property
    def rows(self) -> Mapping[str, tuple[FamilyFile, RegisterRow]]:
        """Every register row by FAMILY/ROW."""
        if self._watch:
            return rows_of(self.checked)
        return {
            f"{family.id}/{row.id}": (family, row)
            for family in self.tree.families.values()
            for row in family.model.fasteners
        }

    @cached_property
    def notes_of_row(self) -> Mapping[str, list[Note]]:
        """The published notes that cite a register row, by FAMILY/ROW."""
        if self._watch:
            return citing(self.checked)
        found: dict[str, list[Note]] = {}
        for note in self.notes.values():
            for fastener in note.front.fasteners:
                if isinstance(fastener, str):
                    found.setdefault(fastener, []).append(note)
        return found

    def notes_under(self, way: str, name: str) -> list[Note]:
        """Return the published notes that name a family or a heading, by number.

        Shape: ``way`` is the key they name it under: ``families`` or ``headings``.
        """
        if self._watch:
            return notes_under(self.checked, way, name)
        return [note for note in self.notes.values() if name in getattr(note.front, way)]

    def thread(self, text: str) -> Thread | None:
        """Return a thread, or None where the text is none."""
        return _thread(text)

    def name_of(self, text: str) -> str:
        """Return the canonical designation of a thread, a text that is none as it stands."""
        return _name(text)

    def torque(self, text: str) -> Torque | None:
        """Return the torque that a field states, in one unit or two; None where it states none."""
        for stated in self._scan(text):
            if isinstance(stated.value, Torque):
                return stated.value
        return None

    # --- where things are

    def note_link(self, note: Note) -> LinkView:
        """Return the link to a note, by its title."""
        return LinkView(
            self.prose(note.front.title),
            address_of(Reference(Scheme.NOTE, str(note.number))),
        )

    def family_link(self, family: str) -> LinkView:
        """Return the link to a family, by its name."""
        name = self.tree.families[family].model.name
        return LinkView(name, address_of(Reference(Scheme.FAMILY, family)))

    def row_link(self, key: str) -> LinkView:
        """Return the link to a register row, by family and place."""
        family, row = self.rows[key]
        return LinkView(
            f"{family.model.name}: {row.where}",
            address_of(Reference(Scheme.FASTENER, family.id, row.id)),
        )

    def part_link(self, part: str) -> LinkView:
        """Return the link to a part, by its name."""
        return LinkView(self.tree.parts[part].model.name, address_of(Reference(Scheme.PART, part)))

    def recording_link(self, recording: str, at: str | None = None) -> LinkView:
        """Return the link to a recording, or to the chapter that runs at a moment of it."""
        title = self.tree.recordings[recording].model.title
        moment = clock(seconds(at)) if at else ""
        address = self.checked.graph.address(Reference(Scheme.RECORDING, recording, moment))
        return LinkView(title, address, f"at {at}" if at else "")

    def question_link(self, question: Question) -> LinkView:
        """Return the link to a question's page, by the question in one line."""
        reference = Reference(Scheme.QUESTION, str(question.number))
        return LinkView(question_title(question), address_of(reference))

    def thread_address(self, thread: Thread | None) -> str:
        """Return the page of a thread, empty for one that has none."""
        if thread is None:
            return ""
        reference = Reference(Scheme.THREAD, str(plain_thread(thread)))
        return address_of(reference) if reference in self.checked.graph.threads else ""

    def link(self, reference: Reference) -> LinkView | None:
        """Return the link to anything that is published, None for what is not."""
        match reference.scheme:
            case Scheme.NOTE:
                note = self.notes.get(int(reference.target))
                return self.note_link(note) if note else None
            case Scheme.FAMILY:
                return self.family_link(reference.target)
            case Scheme.FASTENER:
                return self.row_link(f"{reference.target}/{reference.detail}")
            case Scheme.PART:
                return self.part_link(reference.target)
            case Scheme.RECORDING:
                return self.recording_link(reference.target, reference.detail)
            case Scheme.THREAD:
                return LinkView(stamp(reference.target), address_of(reference))
            case Scheme.QUESTION:
                return self.question_link(self.tree.questions[int(reference.target)])
            case Scheme.PAGE:
                return LinkView(PAGES[reference.target], address_of(reference))
            case _:
                return LinkView(self.tree.headings[reference.target].heading, address_of(reference))

    # --- words

    def designation(self, text: str) -> Markup:
        """Return a thread as written in a thread's field, stamped in its canonical form."""
        return stamp(self.name_of(text))

    def figured(self, text: str) -> Markup:
        """Return plain text with its stated threads stamped and its units unbroken."""
        return self._figured(text)

    def prose(self, text: str) -> Markup:
        """Return a line of a field: inline Markdown, its figures set.

        Shape: no paragraph around it; links lead where the project's schemes lead.
        """
        if not _MARKED.search(text):
            return self.figured(text)
        html = self.markdown(parse_markdown(text)).strip()
        if html.count("<p>") == 1 and html.startswith("<p>") and html.endswith("</p>"):
            html = html.removeprefix("<p>").removesuffix("</p>")
        return Markup(html)

    def blocks(self, text: str) -> Markup:
        """Return a field of several paragraphs as Markdown blocks."""
        return self.markdown(parse_markdown(text)) if text else Markup("")

    def markdown(self, tokens: Sequence[Token]) -> Markup:
        """Return parsed Markdown as the blocks of a section, headings one step down."""
        return figured_markdown(tokens, self._scan, self.resolve)

    def body(self, note: Note) -> Markup:
        """Return a note's Markdown as the blocks of a section, headings one step down."""
        return body_of(note, self.house, self.resolve)

    def resolve(self, target: str) -> str | None:
        """Return where a link of prose leads: outside, or ``root:`` and the address.

        Shape: None for a link to what is not published; its words stay.
        """
        if target.startswith(("http://", "https://", "mailto:", "#")):
            return target
        reference = _reference(target)
        if reference.scheme is Scheme.NOTE and int(reference.target) not in self.notes:
            return None
        return "root:" + self.checked.graph.address(reference)

    def correction(
        self, line: Correction, place: LinkView | None = None, row: Fastener | None = None
    ) -> CorrectionLine:
        """Return a dated line of the ledger.

        Shape: where the line does not say what is right, the ``row`` it stands in does,
        by its figure of the same kind.
        """
        now = self.prose(line.now) if line.now else self._stands(line.was, row)
        return CorrectionLine(
            line.date,
            self.prose(line.what or ""),
            self._was(line.was),
            now,
            line.told_by or "",
            place=place,
        )

    def _stands(self, was: str, row: Fastener | None) -> Markup:
        """Return the figure of a row that took the place of ``was``; empty where none did."""
        if row is None:
            return Markup("")
        if self.thread(was):
            return self.designation(row.thread)
        kinds = {stated.kind for stated in self._scan(was)}
        if Kind.LENGTH in kinds:
            return self.figured(row.length or "")
        if kinds & {Kind.TORQUE, Kind.TIGHTNESS}:
            return self.figured(row.torque or row.tightness or "")
        return Markup("")

    def _was(self, text: str) -> Markup:
        return stamp(text) if self.thread(text) else self.figured(text)


@lru_cache(maxsize=4096)
def _thread(text: str) -> Thread | None:
    try:
        return parse_thread(text)
    except NotationError:
        return None


@lru_cache(maxsize=4096)
def _name(text: str) -> str:
    return str(_thread(text) or text)


_reference = lru_cache(maxsize=16_384)(parse_reference)  # many notes lead to the same things


def question_title(question: Question) -> str:
    """Return a question in one line: ours, else its writer's own, else its number."""
    front = question.front
    return front.in_short or front.subject or f"Question {question.number}"
