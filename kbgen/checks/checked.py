"""The one way from loaded to checked: scan, link, hold to the rules."""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import TypeVar

from kbgen.checks.rule import Material
from kbgen.checks.rules import RULES
from kbgen.content import Loaded, Note, Tree
from kbgen.content.models import Standing
from kbgen.findings import Finding, Severity, stops_build
from kbgen.kept import Record, Store, Unpackable, pack, unpack
from kbgen.links import Graph, Ledger, check_ledger, link_graph
from kbgen.prose import (
    Scan,
    Statement,
    Where,
    scan_family,
    scan_fields,
    scan_fragment,
    scan_note,
    scan_part,
    scan_question,
    scan_recording,
)
from kbgen.units import HouseThreads

__all__ = ["Checked", "Facts", "check"]

T = TypeVar("T")

_STAGE = "of all facts"


@dataclass(frozen=True, slots=True)
class Facts:
    """What tells of a tree whether anything changed in it that was joined.

    Shape: ``digest`` is one of all that was joined, empty where nothing tells; ``sums``
    are those of the bytes of files, by path. What follows from the joined facts alone is
    kept in ``store``.
    """

    digest: bytes = b""
    sums: Mapping[str, bytes] = field(default_factory=dict)
    store: Store | None = None


@dataclass(frozen=True)
class Checked:
    """A tree that every rule has been over.

    Shape: ``graph`` and ``ledger`` are those of the links room; ``findings`` are all
    there are, of loading, links and rules, sorted; ``loading`` are those of loading alone.
    """

    tree: Tree
    graph: Graph
    ledger: Ledger
    findings: tuple[Finding, ...]
    loading: tuple[Finding, ...] = ()
    facts: Facts = field(default_factory=Facts, repr=False, compare=False)

    @cached_property
    def statements(self) -> tuple[Statement, ...]:
        """All that the tree states, by file and place."""
        return tuple(one for scan in _scans(self.tree) for one in scan.statements)

    @cached_property
    def correctable(self) -> tuple[Statement, ...]:
        """What registers and recordings state, and notes that carry a correction."""
        notes = {number: note for number, note in self.tree.notes.items() if _corrects(note)}
        told = Tree(
            self.tree.root,
            threads_file=self.tree.threads_file,
            families=self.tree.families,
            notes=notes,
            recordings=self.tree.recordings,
        )
        return tuple(one for scan in _scans(told) for one in scan.statements)

    def once(self, name: str, make: Callable[[], T]) -> T:
        """Return what follows from the joined facts of the tree alone, from an earlier build too.

        Shape: ``make`` asks for no text of a note and no words of a question.
        """
        facts = self.facts
        if facts.store is None or not facts.digest:
            return make()
        record = facts.store.record(_STAGE, name)
        if record is not None and record.key == facts.digest:
            with contextlib.suppress(Unpackable):
                found: T = unpack(record.data)
                return found
        made = make()
        facts.store.keep(_STAGE, [(name, Record(facts.digest, pack(made)))])
        return made

    @property
    def publishable(self) -> bool:
        """Whether nothing found is an error."""
        return not stops_build(self.findings)

    @cached_property
    def standings(self) -> Mapping[int, Standing]:
        """The standing of every note, by number."""
        return self.once(
            "standings",
            lambda: {number: note.front.standing for number, note in self.tree.notes.items()},
        )

    @cached_property
    def faces(self) -> Mapping[int, bytes]:
        """The digest of the front matter of every note, by number."""
        return self.once(
            "faces", lambda: {number: note.face for number, note in self.tree.notes.items()}
        )

    @cached_property
    def published(self) -> tuple[Note, ...]:
        """The notes that are published, by number; drafts and withdrawn ones are not."""
        return tuple(
            note for note in self.tree.notes.values() if note.front.standing is Standing.PUBLISHED
        )


def _corrects(note: Note) -> bool:
    own = (one for one in note.front.fasteners if not isinstance(one, str))
    return bool(note.front.corrections) or any(one.corrections for one in own)


def check(loaded: Loaded) -> Checked:
    """Return a loaded tree with everything that is to be said of it.

    Raises: OSError where the machine does not give the address ledger.
    """
    tree = loaded.tree
    house = _house(tree)
    scans = tuple(_scans(tree))
    statements = tuple(statement for scan in scans for statement in scan.statements)
    unreadable = tuple(slip for scan in scans for slip in scan.unreadable)
    graph = link_graph(tree, statements)
    ledger, lost = check_ledger(tree, graph)
    broken = frozenset(one.path for one in loaded.findings if one.severity is Severity.ERROR)
    material = Material(tree, house, statements, unreadable, broken)
    findings = [*loaded.findings, *graph.findings, *lost, *_ruled(material)]
    found = tuple(sorted(set(findings)))
    return Checked(tree, graph, ledger, found, loaded.findings)


def _ruled(material: Material) -> Iterable[Finding]:
    for rule in RULES:
        yield from rule.find(material)


def _house(tree: Tree) -> HouseThreads:
    return HouseThreads.of([row.thread for row in tree.house_threads])


def _scans(tree: Tree) -> Iterator[Scan]:
    house = _house(tree)
    for family in tree.families.values():
        yield scan_family(family, house)
    for note in tree.notes.values():
        yield scan_note(note, house)
    for part in tree.parts.values():
        yield scan_part(part, house)
    for recording in tree.recordings.values():
        yield scan_recording(recording, house)
    for question in tree.questions.values():
        yield scan_question(question, house)
    for fragment in tree.fragments:
        yield scan_fragment(fragment, house)
    lists = (
        tree.workshop_file,
        tree.threads_file,
        tree.hazards_file,
        tree.symptoms_file,
        tree.vocabulary_file,
    )
    for file in lists:
        if file is not None:
            yield scan_fields(file.source, file.model, house, Where.RECORD)
