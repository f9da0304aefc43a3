"""From the checked tree to what search knows: one document a published note."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Protocol

from kbgen.content.models import NoteFront, Signal, Standing
from kbgen.links import Reference, address_of, plain_thread, thread_slug
from kbgen.prose import Statement, Where
from kbgen.search.documents import Facet, SearchDocument, Shelf, ThreadPage, Widening
from kbgen.units import Kind, Thread

if TYPE_CHECKING:
    from kbgen.content import Note, Tree

__all__ = ["CheckedTree", "shelf_of"]

SEVERITY = [Signal.DANGER, Signal.WARNING, Signal.CAUTION, Signal.NOTICE]


class ThreadPages(Protocol):
    """As much of the link graph as is read here."""

    @property
    def threads(self) -> Mapping[Reference, Thread]:
        """Every thread that has a page, by its reference."""


class CheckedTree(Protocol):
    """As much of the checked content as is read here."""

    @property
    def tree(self) -> Tree:
        """The content tree."""

    @property
    def statements(self) -> Sequence[Statement]:
        """Every figure that the tree states."""

    @property
    def graph(self) -> ThreadPages:
        """The link graph."""


def shelf_of(checked: CheckedTree) -> Shelf:
    """Return everything that can be found: the published notes, the threads' pages, the words."""
    tree = checked.tree
    by_path: dict[str, list[Statement]] = defaultdict(list)
    by_row: dict[str, list[Statement]] = defaultdict(list)
    for statement in checked.statements:
        if statement.withdrawn or statement.value.kind not in (Kind.THREAD, Kind.TORQUE):
            continue
        by_path[statement.path].append(statement)
        if statement.where is Where.REGISTER and statement.subject:
            by_row[statement.subject].append(statement)
    documents = []
    for note in tree.notes.values():
        if note.front.standing is not Standing.PUBLISHED:
            continue
        stated = list(by_path[note.source.path])
        for row in note.front.fasteners:
            if isinstance(row, str):
                stated.extend(by_row[row])
        documents.append(_document(note, tree, stated))
    pages = [
        ThreadPage(str(plain_thread(thread)), address_of(reference))
        for reference, thread in checked.graph.threads.items()
    ]
    return Shelf.of(documents, pages, (Widening(p.lay, p.trade) for p in tree.vocabulary))


def _document(note: Note, tree: Tree, stated: Iterable[Statement]) -> SearchDocument:
    front = note.front
    values = {str(statement.value.canonical): statement.value for statement in stated}
    threads = {
        str(plain_thread(value.value)): plain_thread(value.value)
        for value in values.values()
        if value.kind is Kind.THREAD and isinstance(value.value, Thread)
    }
    signals = [tree.hazards[h].signal for h in front.hazards if h in tree.hazards]
    return SearchDocument(
        number=note.number,
        title=front.title,
        body="\n".join([*_lines(front), front.fix, note.plain]),
        names=tuple(_names(front, tree)),
        address=f"n/{note.number:04}.html",
        fix=front.fix,
        lines=tuple(_lines(front)),
        stated=tuple(sorted(values)),
        facets=tuple(sorted({*_facets(front, tree), *_thread_facets(threads)})),
        caution=min(signals, key=SEVERITY.index).value if signals else "",
    )


def _lines(front: NoteFront) -> Iterator[str]:
    """Give the sentences that can be shown as the one that matched, the symptom's first."""
    yield from front.symptom
    for cause in front.causes:
        yield f"{cause.cause}: {cause.tell}"
        if cause.fix:
            yield cause.fix


def _names(front: NoteFront, tree: Tree) -> Iterator[str]:
    """Give the names of the families, parts and headings that a note stands under."""
    for family in front.families:
        if family in tree.families:
            model = tree.families[family].model
            yield " ".join([model.name, *model.also_called])
    for use in front.parts:
        if use.part in tree.parts:
            part = tree.parts[use.part].model
            yield " ".join([part.name, *part.also_called])
    for heading in front.headings:
        if heading in tree.headings:
            yield " ".join([tree.headings[heading].heading, *tree.headings[heading].also])


def _facets(front: NoteFront, tree: Tree) -> Iterator[Facet]:
    for family in front.families:
        if family in tree.families:
            yield Facet("family", family, tree.families[family].model.name)
    for heading in front.headings:
        if heading in tree.headings:
            yield Facet("symptom", heading, tree.headings[heading].heading)
    for use in front.parts:
        if use.part in tree.parts:
            yield Facet("part", use.part, tree.parts[use.part].model.name)
    for hazard in front.hazards:
        if hazard in tree.hazards:
            yield Facet("hazard", hazard, tree.hazards[hazard].hazard)


def _thread_facets(threads: Mapping[str, Thread]) -> Iterator[Facet]:
    for name, thread in threads.items():
        yield Facet("thread", thread_slug(thread), name)
