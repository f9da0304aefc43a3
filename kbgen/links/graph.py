"""The link graph: who leads to whom among what is published, and the links that are wrong."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, Protocol

from kbgen.content import Tree, question_pages
from kbgen.content.models import Standing
from kbgen.findings import Finding
from kbgen.links.address import address_of, plain_thread
from kbgen.links.edge import Edge, Lead, Relation
from kbgen.links.leads import Leads
from kbgen.links.named import named_in
from kbgen.links.origins import origins
from kbgen.links.reference import Reference, Scheme, clock, seconds
from kbgen.links.rules import (
    dead_links,
    fragment_edges,
    links_to_unpublished,
    lonely_notes,
    written_edges,
)
from kbgen.links.target import standing_of
from kbgen.units import HouseThreads, Stated, Thread, Verdict, parse_thread

__all__ = ["Graph", "Stating", "link_graph"]


class Stating(Protocol):
    """A statement of the prose room, as much of it as is read here."""

    @property
    def path(self) -> str: ...  # noqa: D102
    @property
    def line(self) -> int: ...  # noqa: D102
    @property
    def column(self) -> int: ...  # noqa: D102
    @property
    def value(self) -> Stated: ...  # noqa: D102
    @property
    def subject(self) -> str | None: ...  # noqa: D102
    @property
    def withdrawn(self) -> bool: ...  # noqa: D102


_NOTHING = Reference(Scheme.PAGE, "")


@dataclass(frozen=True)
class Graph:
    """The links among what is published.

    Shape: ``leads`` are sorted by file and place; ``threads`` holds every thread that has a
    page, by its reference, sorted; ``findings`` are those of the links alone.
    """

    leads: Leads
    threads: Mapping[Reference, Thread] = field(default_factory=dict)
    findings: tuple[Finding, ...] = ()
    _chapters: Mapping[str, tuple[int, ...]] = field(default_factory=dict)

    def __getstate__(self) -> tuple[Any, ...]:
        """Leave as plain values."""
        return self.leads.state, self.findings, dict(self._chapters)

    def __setstate__(self, state: tuple[Any, ...]) -> None:
        kept, findings, chapters = state
        leads = Leads.from_state(kept)
        self.__dict__.update(
            leads=leads, threads=_threads(leads), findings=findings, _chapters=chapters
        )

    @property
    def edges(self) -> tuple[Lead, ...]:
        """All links, sorted by file and place."""
        return tuple(self.leads)

    @cached_property
    def _details(self) -> dict[Reference, list[Reference]]:
        """What is led to of each thing beside itself: its rows, its moments."""
        found: dict[Reference, list[Reference]] = {}
        for target in self.leads.targets:
            if target.detail:
                found.setdefault(target.whole, []).append(target)
        return found

    def leads_from(self, reference: Reference) -> tuple[Lead, ...]:
        """Return the links that leave one thing, in the order of its file."""
        return tuple(self.leads.leaving(reference))

    def leads_to(self, reference: Reference) -> tuple[Lead, ...]:
        """Return the links back: whatever names this very thing, sorted by place.

        A family's rows and a recording's moments are things of their own.
        """
        return tuple(self.leads.reaching(reference))

    def leads_to_page(self, reference: Reference) -> tuple[Lead, ...]:
        """Return the links back to a thing, its rows and its moments, sorted by place."""
        return tuple(self.leads.reaching(reference, *self._details.get(reference, ())))

    def ahead(self) -> None:
        """Work out what every look-up asks, so that processes that part have it in common."""
        self.leads_from(_NOTHING)
        self.leads_to_page(_NOTHING)

    def address(self, reference: Reference) -> str:
        """Return where a link to something leads on the site.

        A moment of a recording at which no chapter begins leads to the chapter that
        runs then: only chapters are anchors.
        """
        if reference.scheme is not Scheme.RECORDING or not reference.detail:
            return address_of(reference)
        starts = self._chapters.get(reference.target, ())
        at = bisect_right(starts, seconds(reference.detail))
        moment = clock(starts[at - 1]) if at else ""
        return address_of(Reference(Scheme.RECORDING, reference.target, moment))


def link_graph(tree: Tree, statements: Iterable[Stating]) -> Graph:
    """Return the graph of a tree. Wrong links are its findings and not among its edges.

    Shape: ``statements`` are all that the tree states; threads among them have pages.
    """
    house = HouseThreads.of([row.thread for row in tree.house_threads])
    written, wrong = written_edges(tree)
    candidates = sorted([*named_in(tree), *written])
    alive, dead = dead_links(tree, house, candidates)
    loose, loose_wrong = fragment_edges(tree)
    wrong += [*loose_wrong, *dead_links(tree, house, sorted(loose))[1]]
    stated = _stated_threads(tree, statements)
    homes = _question_homes(tree)
    shown = (_as_shown(edge, homes) for edge in (*alive, *stated))
    published = dict.fromkeys(_published(tree, filter(None, shown)))  # in order, so soon sorted
    edges = sorted(_not_only_said(tree, published))
    leads = Leads.of(edges)
    findings = [*wrong, *dead, *links_to_unpublished(tree, alive), *lonely_notes(tree, edges)]
    chapters = {
        name: tuple(sorted(seconds(chapter.at) for chapter in recording.model.chapters))
        for name, recording in tree.recordings.items()
    }
    return Graph(leads, _threads(leads), tuple(sorted(findings)), chapters)


def _stated_threads(tree: Tree, statements: Iterable[Stating]) -> Iterator[Edge]:
    """Yield a link to the page of every thread that the tree states as its own."""
    origin_of = origins(tree)
    for stated in statements:
        thread = stated.value.value
        if stated.withdrawn or not isinstance(thread, Thread) or not thread.whole:
            continue
        if stated.value.verdict is Verdict.CONTRADICTORY or stated.path not in origin_of:
            continue
        origin = origin_of[stated.path]
        if origin.scheme is Scheme.FAMILY and stated.subject:
            family, _, row = stated.subject.partition("/")
            origin = Reference(Scheme.FASTENER, family, row)
        yield Edge(
            stated.path,
            stated.line,
            stated.column,
            origin,
            Reference(Scheme.THREAD, str(plain_thread(thread))),
            Relation.THREAD,
        )


def _not_only_said(tree: Tree, edges: Collection[Edge]) -> Iterator[Edge]:
    """Yield the links but for those to threads that films say and nothing states in writing.

    A film cannot be re-cut: a slip that was corrected long ago would keep its page.
    """
    films = {recording.captions_path for recording in tree.recordings.values()}
    said = {edge.target for edge in edges if edge.path in films}
    written = {edge.target for edge in edges if edge.target in said and edge.path not in films}
    yield from (edge for edge in edges if edge.path not in films or edge.target in written)


def _question_homes(tree: Tree) -> Mapping[Reference, Reference]:
    """Return the question on whose page each shown question stands."""
    return {
        Reference(Scheme.QUESTION, str(question.number)): Reference(Scheme.QUESTION, str(page))
        for page, standing_here in question_pages(tree).items()
        for question in standing_here
    }


def _as_shown(edge: Edge, homes: Mapping[Reference, Reference]) -> Edge | None:
    """Return a link between the pages on which its ends stand; None where there is none."""
    if Scheme.QUESTION not in (edge.origin.scheme, edge.target.scheme):
        return edge
    origin, target = (
        homes.get(end) if end.scheme is Scheme.QUESTION else end
        for end in (edge.origin, edge.target)
    )
    if origin is None or target is None or origin == target:
        return None
    return edge._replace(origin=origin, target=target)


def _published(tree: Tree, edges: Iterable[Edge]) -> Iterator[Edge]:
    """Yield the links whose ends are both on the site."""
    shown = _Shown(tree)
    yield from (edge for edge in edges if shown[edge.origin] and shown[edge.target])


class _Shown(dict[Reference, bool]):
    """Whether things are on the site, each looked at when it is first asked for."""

    def __init__(self, tree: Tree) -> None:
        super().__init__()
        self._tree = tree

    def __missing__(self, end: Reference) -> bool:
        self[end] = found = standing_of(self._tree, end) in (None, Standing.PUBLISHED)
        return found


def _threads(leads: Leads) -> dict[Reference, Thread]:
    """Return every thread that is linked to, by its reference, sorted."""
    named = {target for target in leads.targets if target.scheme is Scheme.THREAD}
    return {reference: parse_thread(reference.target) for reference in sorted(named)}
