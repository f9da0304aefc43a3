"""Checked content that tells what was asked of it: what a page depends on is what it asked.

A page builder is given content that looks like any other; every question it asks (a note's
front matter, its text, a family, what leads to a page) is noted down by a ``Watch``. What
is asked in a way that is not known here counts as a question about everything.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from kbgen.content import Note
from kbgen.content.models import Standing
from kbgen.links import Reference
from kbgen.pages.watch import ALL, EVERYTHING, FACTS, SHELVES, Asked, Watch

__all__ = ["citing", "notes_under", "published_notes", "rows_of", "watched"]

_OF_FACTS = frozenset({"statements", "correctable", "standings"})
_LISTS = ("workshop", "threads", "hazards", "symptoms", "vocabulary")
# What every page may ask without a word: it goes into the digest of all of them.
_COMMON = frozenset(
    {"workshop", "house_threads", "hazards", "headings", "vocabulary", "root", "broken", "photos"}
    | {f"{name}_file" for name in _LISTS}
)


def watched(watch: Watch) -> Any:
    """Return checked content whose answers are noted by ``watch``."""
    return _Checked(watch)


def published_notes(checked: Any) -> Mapping[int, Note]:
    """Return the published notes of watched content by number, each asked for by itself."""
    return _Published(checked.watch, checked.tree.notes)


def notes_under(checked: Any, way: str, name: str) -> list[Note]:
    """Return the published notes of watched content that name a family or a heading.

    Shape: ``way`` is the key they name it under: ``families`` or ``headings``.
    """
    checked.watch.tell("under", (way, name))
    return [checked.tree.notes[number] for number in checked.watch._by_name[way].get(name, ())]


def rows_of(checked: Any) -> Mapping[str, Any]:
    """Return every register row of watched content by FAMILY/ROW, with its family."""
    return _Rows(checked.watch, checked.tree.families)


def citing(checked: Any) -> Mapping[str, list[Note]]:
    """Return the published notes that cite a row of watched content, by FAMILY/ROW."""
    return _Citing(checked.watch, checked.tree.notes)


class _Checked:
    """Checked content under watch."""

    def __init__(self, watch: Watch) -> None:
        self.watch = watch
        self.tree = _Tree(watch)
        self.graph = _Graph(watch)

    @property
    def published(self) -> tuple[Note, ...]:
        """The notes that are published."""
        return tuple(_Published(self.watch, self.tree.notes).values())

    def __getattr__(self, name: str) -> Any:
        if name != "ledger":  # old addresses are named apart for every page
            self.watch.tell(*(FACTS if name in _OF_FACTS else EVERYTHING))
        return getattr(self.watch.checked, name)


class _Tree:
    """The content tree under watch."""

    def __init__(self, watch: Watch) -> None:
        self._watch = watch
        tree = watch.checked.tree
        for name, kind in SHELVES.items():
            setattr(self, name, _Shelf(watch, kind, getattr(tree, name)))

    def holds(self, kind: str, name: str | int) -> bool:
        """Return whether the tree has such a thing, whole or broken."""
        self._watch.tell(kind, name)
        return self._watch.checked.tree.holds(kind, name)

    def __getattr__(self, name: str) -> Any:
        if name not in _COMMON:
            self._watch.tell(*EVERYTHING)
        return getattr(self._watch.checked.tree, name)


class _Shelf(Mapping[Any, Any]):
    """Notes, families, parts, recordings or questions: each asked for by itself, or all."""

    def __init__(self, watch: Watch, kind: str, inner: Mapping[Any, Any]) -> None:
        self._watch = watch
        self._kind = kind
        self._inner = inner
        self._faces: dict[Any, Any] = {}

    def __getitem__(self, key: Any) -> Any:
        if key not in self._faces:
            if key not in self._inner:
                self._watch.tell(self._kind, key)
            self._faces[key] = _face(self._watch, self._kind, key, self._inner[key])
        return self._faces[key]

    def __contains__(self, key: object) -> bool:
        self._watch.tell(self._kind, key)
        return key in self._inner

    def __iter__(self) -> Iterator[Any]:
        self._watch.tell(self._kind, ALL)
        return iter(self._inner)

    def __len__(self) -> int:
        self._watch.tell(self._kind, ALL)
        return len(self._inner)


class _Published(Mapping[int, Note]):
    """The published notes."""

    def __init__(self, watch: Watch, notes: _Shelf) -> None:
        self._watch = watch
        self._notes = notes

    def __getitem__(self, number: int) -> Note:
        self._watch.tell("published", number)
        if self._watch.checked.standings.get(number) is not Standing.PUBLISHED:
            raise KeyError(number)
        found: Note = self._notes[number]
        return found

    def __iter__(self) -> Iterator[int]:
        self._watch.tell("published", ALL)
        standings = self._watch.checked.standings.items()
        return (number for number, one in standings if one is Standing.PUBLISHED)

    def __len__(self) -> int:
        self._watch.tell("published", ALL)
        return sum(1 for _ in self)


class _Rows(Mapping[str, Any]):
    """The rows of the registers, each asked for with its family."""

    def __init__(self, watch: Watch, families: _Shelf) -> None:
        self._watch = watch
        self._families = families
        self._places = {
            f"{family.id}/{row.id}": (family.id, number)
            for family in watch.checked.tree.families.values()
            for number, row in enumerate(family.model.fasteners)
        }

    def __getitem__(self, key: str) -> Any:
        self._watch.tell("family", key.partition("/")[0])
        name, number = self._places[key]
        family = self._families[name]
        return family, family.model.fasteners[number]

    def __iter__(self) -> Iterator[str]:
        self._watch.tell("family", ALL)
        return iter(self._places)

    def __len__(self) -> int:
        self._watch.tell("family", ALL)
        return len(self._places)


class _Citing(Mapping[str, list[Note]]):
    """The notes that cite each row."""

    def __init__(self, watch: Watch, notes: _Shelf) -> None:
        self._watch = watch
        self._notes = notes

    def __getitem__(self, row: str) -> list[Note]:
        self._watch.tell("citing", row)
        return [self._notes[number] for number in self._watch._citing_by_row[row]]

    def __iter__(self) -> Iterator[str]:
        self._watch.tell("published", ALL)
        return iter(self._watch._citing_by_row)

    def __len__(self) -> int:
        self._watch.tell("published", ALL)
        return len(self._watch._citing_by_row)


class _Threads(Mapping[Reference, Any]):
    """The threads that have a page: a thread is all in its reference."""

    def __init__(self, watch: Watch) -> None:
        self._watch = watch

    def __getitem__(self, reference: Reference) -> Any:
        self._watch.tell("thread", reference)
        return self._watch.checked.graph.threads[reference]

    def __iter__(self) -> Iterator[Reference]:
        self._watch.tell("thread", ALL)
        return iter(self._watch.checked.graph.threads)

    def __len__(self) -> int:
        self._watch.tell("thread", ALL)
        return len(self._watch.checked.graph.threads)


class _Graph:
    """The link graph under watch: who leads to a thing, whatever the lines say so."""

    def __init__(self, watch: Watch) -> None:
        self._watch = watch
        self.threads = _Threads(watch)

    def address(self, reference: Reference) -> str:
        """Return where a link to something leads on the site."""
        if reference.detail:
            self._watch.tell("recording", reference.target)
        return self._watch.checked.graph.address(reference)

    def __getattr__(self, name: str) -> Any:
        if name not in ("leads_from", "leads_to", "leads_to_page"):
            self._watch.tell(*EVERYTHING)
            return getattr(self._watch.checked.graph, name)

        def asked(reference: Reference) -> Any:
            self._watch.tell("leads", (name, reference))
            return getattr(self._watch.checked.graph, name)(reference)

        return asked


_OF_ALL = frozenset({"id", "number", "slug"})
"""What a thing is called, which is what it was asked for by."""
_OF_FRONT = frozenset({"front", "alias"})
_PLACES = frozenset({"path", "place", "place_in", "key_place", "body_line"})
"""What a source tells of its front matter."""

_KINDS: dict[type, type] = {}
_WHOLE = {"note": "text", "question": "words"}


def _face(watch: Watch, kind: str, key: Any, inner: Any) -> Any:
    """Return a thing that tells when something is asked of it."""
    made = _KINDS.get(type(inner))
    if made is None:
        made = _KINDS[type(inner)] = type(type(inner).__name__, (_Face, type(inner)), {})
    face: Any = object.__new__(made)
    whole, front = (_WHOLE.get(kind, kind), key), (kind, key)
    object.__setattr__(face, "_face", (watch._asked, whole, front, inner))
    return face


class _Face:
    """Stands for a thing of the tree, and tells what is asked of it."""

    def __getattribute__(self, name: str) -> Any:
        told = object.__getattribute__(self, "_face")
        listeners, whole, front, inner = told
        if name == "source":
            return _Source(*told)
        if listeners and name not in _OF_ALL:
            listeners[-1].add(front if name in _OF_FRONT else whole)
        return getattr(inner, name)


class _Source:
    """Stands for the source of a thing."""

    __slots__ = ("_front", "_inner", "_listeners", "_whole")

    def __init__(self, listeners: list[set[Asked]], whole: Asked, front: Asked, of: Any) -> None:
        self._listeners, self._whole, self._front = listeners, whole, front
        self._inner = of.source

    def __getattr__(self, name: str) -> Any:
        if self._listeners:
            self._listeners[-1].add(self._front if name in _PLACES else self._whole)
        return getattr(self._inner, name)
