"""Checked content that tells what was asked of it: what a page depends on is what it asked.

A page builder is given content that looks like any other; every question it asks (a note's
front matter, its text, a family, what leads to a page) is noted down. Between builds a
page is the same while the template, the program and every answer are, and that is
proved by the digests of the answers. What is asked in a way that is not known here
counts as a question about everything.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping
from functools import cached_property
from typing import Any, TypeVar

from kbgen.checks import Checked
from kbgen.content import Note
from kbgen.content.models import Standing
from kbgen.kept import pack, stamp_of
from kbgen.links import Reference

__all__ = [
    "Asked",
    "Watch",
    "citing",
    "digest",
    "notes_under",
    "published_notes",
    "rows_of",
    "watched",
]

T = TypeVar("T")

Asked = tuple[str, Any]
"""One question: its kind, and of what; ``*`` of all there are."""

ALL = "*"
EVERYTHING: Asked = ("everything", "")
_LISTS = ("workshop", "threads", "hazards", "symptoms", "vocabulary")
_SHELVES = {
    "notes": "note",
    "families": "family",
    "parts": "part",
    "recordings": "recording",
    "questions": "question",
}
_WITH_TEXTS = frozenset({"text", "question"})
"""What is asked with more than its facts; all else is joined anew when it changes."""
# What every page may ask without a word: it goes into the digest of all of them.
_COMMON = frozenset(
    {"workshop", "house_threads", "hazards", "headings", "vocabulary", "root", "broken", "photos"}
    | {f"{name}_file" for name in _LISTS}
)


def digest(*parts: bytes) -> bytes:
    """Return a digest of parts, each apart from the others."""
    whole = hashlib.blake2b(digest_size=16)
    for part in parts:
        whole.update(len(part).to_bytes(8, "little"))
        whole.update(part)
    return whole.digest()


class Watch:
    """What is being asked, and the digest of every answer."""

    def __init__(self, checked: Checked) -> None:
        self.checked = checked
        self._tree = checked.tree
        self._asked: list[set[Asked]] = []
        self._known: dict[Asked, bytes] = {}
        self._of_groups: dict[str, bytes] = {}
        self._texts_of_groups: dict[str, frozenset[str]] = {}
        self.groups: dict[str, tuple[Asked, ...]] = {}
        self.regrouped: set[str] = set()

    # --- asking

    def tell(self, kind: str, name: Any) -> None:
        """Note a question down where somebody listens."""
        if self._asked:
            self._asked[-1].add((kind, name))

    def listen(self, make: Callable[[], T]) -> tuple[T, tuple[Asked, ...]]:
        """Return what is made, and everything that was asked on the way, sorted."""
        self._asked.append(set())
        try:
            made = make()
        finally:
            asked = self._asked.pop()
        return made, tuple(sorted(self._without_implied(asked), key=repr))

    def _without_implied(self, asked: set[Asked]) -> Iterable[Asked]:
        """Leave out questions about one thing where all of its kind were asked for."""
        of_all = {kind for kind, name in asked if name == ALL}
        if not of_all:
            return asked
        implied = of_all | ({"published"} if "note" in of_all else set())
        shown = "published" in of_all

        def adds(kind: str, name: Any) -> bool:
            return kind not in implied and not (shown and kind == "note" and self._is_shown(name))

        return [one for one in asked if one[1] == ALL or adds(*one)]

    def _is_shown(self, number: int) -> bool:
        note = self._tree.notes.get(number)
        return note is not None and note.front.standing is Standing.PUBLISHED

    def group(self, name: Hashable, make: Callable[[], T]) -> T:
        """Return what is made once for many pages; they depend on all that was asked for it."""
        made, asked = self.listen(make)
        self.regroup(repr(name), asked)
        return made

    def regroup(self, name: str, asked: tuple[Asked, ...]) -> None:
        """Take over what was asked for a group, here or in another process."""
        if self.groups.get(name) != asked:
            self.groups[name] = asked
            self.regrouped.add(name)
            self._of_groups.clear()  # one may be asked for by another
            self._texts_of_groups.clear()

    def texts_in(self, asked: Iterable[Asked]) -> frozenset[str]:
        """Return the content files of which more than facts was asked, by path.

        Shape: a question about all there are is one about the file of an empty path.
        """
        found: set[str] = set()
        for kind, name in asked:
            if kind == "group":
                if name not in self._texts_of_groups:
                    self._texts_of_groups[name] = self.texts_in(self.groups.get(name, ()))
                found |= self._texts_of_groups[name]
            elif (kind, name) == EVERYTHING or (kind in _WITH_TEXTS and name == ALL):
                found.add("")
            elif kind in _WITH_TEXTS:
                shelf = self._shelf(kind)
                if name in shelf:
                    found.add(shelf[name].source.path)
        return frozenset(found)

    # --- answers

    def answers(self, asked: Iterable[Asked]) -> bytes:
        """Return one digest of the answers to all that was asked, in the order given."""
        return digest(*map(self.answer, asked))

    def answer(self, asked: Asked) -> bytes:
        """Return the digest of the answer to one question."""
        if asked[0] == "group":
            return self._group(asked[1])
        found = self._known.get(asked)
        if found is None:
            found = self._known[asked] = self._worked_out(*asked)
        return found

    def _worked_out(self, kind: str, name: Any) -> bytes:
        answer: Callable[[Any], bytes] | None = getattr(self, f"_{kind}", None)
        if kind in ("note", "text", "family", "part", "recording", "question", "published"):
            if name == ALL:
                shelf = self._shelf(kind)
                return digest(*(repr(key).encode() + self.answer((kind, key)) for key in shelf))
            if name not in self._shelf(kind):
                return b"none"
        return answer(name) if answer is not None else self._everything(name)

    def _shelf(self, kind: str) -> Mapping[Any, Any]:
        if kind in ("note", "text", "published"):
            return self._tree.notes
        shelf: Mapping[Any, Any] = getattr(
            self._tree, next(name for name, one in _SHELVES.items() if one == kind)
        )
        return shelf

    def _note(self, number: int) -> bytes:
        return self._tree.notes[number].face

    def _text(self, number: int) -> bytes:
        return self._tree.notes[number].source.digest

    def _published(self, number: int) -> bytes:
        note = self._tree.notes[number]
        return note.face if note.front.standing is Standing.PUBLISHED else b"none"

    def _family(self, name: str) -> bytes:
        return self._tree.families[name].source.digest

    def _part(self, name: str) -> bytes:
        return self._tree.parts[name].source.digest

    def _question(self, number: int) -> bytes:
        return self._tree.questions[number].source.digest

    def _recording(self, name: str) -> bytes:
        file = self._tree.recordings[name]
        captions = pack(file.captions) if file.captions else b""
        return digest(file.source.digest, captions)

    def _citing(self, row: str) -> bytes:
        numbers = self._citing_by_row.get(row, ())
        return digest(*(self.answer(("note", number)) for number in numbers))

    def _under(self, name: tuple[str, str]) -> bytes:
        numbers = self._by_name[name[0]].get(name[1], ())
        return digest(*(b"%d" % number + self.answer(("note", number)) for number in numbers))

    @cached_property
    def _by_name(self) -> dict[str, dict[str, list[int]]]:
        """The numbers of the published notes that name a family or a heading."""
        found: dict[str, dict[str, list[int]]] = {"families": {}, "headings": {}}
        for note in self.checked.published:
            for way, by_name in found.items():
                for name in dict.fromkeys(getattr(note.front, way)):
                    by_name.setdefault(name, []).append(note.number)
        return found

    @cached_property
    def _citing_by_row(self) -> dict[str, list[int]]:
        found: dict[str, list[int]] = {}
        for note in self.checked.published:
            for fastener in note.front.fasteners:
                if isinstance(fastener, str):
                    found.setdefault(fastener, []).append(note.number)
        return found

    def _leads(self, name: tuple[str, Reference]) -> bytes:
        way, reference = name
        edges = getattr(self.checked.graph, way)(reference)
        return digest(*("\0".join(map(str, edge[3:])).encode() for edge in edges))

    def _thread(self, name: Any) -> bytes:
        threads = self.checked.graph.threads
        if name == ALL:
            return digest(*(str(reference).encode() for reference in threads))
        return b"there" if name in threads else b"none"

    def _photo(self, name: str) -> bytes:
        try:
            stamp = stamp_of((self._tree.root / "content" / "photos" / name).stat())
        except OSError:
            return b"none"
        return pack(tuple(stamp))

    def _group(self, name: str) -> bytes:
        if name not in self.groups:
            return b"unknown"
        found = self._of_groups.get(name)
        if found is None:
            found = self._of_groups[name] = self.answers(self.groups[name])
        return found

    def _everything(self, _: Any) -> bytes:
        parts = [self.answer((kind, ALL)) for kind in ("text", *_SHELVES.values())]
        entries = self.checked.ledger.entries.values()
        ledger = "\n".join(f"{entry.address}\t{entry.leads_to}" for entry in entries)
        return digest(*parts, ledger.encode())

    @cached_property
    def common(self) -> bytes:
        """A digest of what every page may ask without being noted."""
        tree = self._tree
        files = (
            tree.workshop_file,
            tree.threads_file,
            tree.hazards_file,
            tree.symptoms_file,
            tree.vocabulary_file,
        )
        return digest(*(file.source.digest if file else b"none" for file in files))


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
            self.watch.tell(*EVERYTHING)
        return getattr(self.watch.checked, name)


class _Tree:
    """The content tree under watch."""

    def __init__(self, watch: Watch) -> None:
        self._watch = watch
        tree = watch.checked.tree
        for name, kind in _SHELVES.items():
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
        note = self._watch.checked.tree.notes[number]
        if note.front.standing is not Standing.PUBLISHED:
            raise KeyError(number)
        found: Note = self._notes[number]
        return found

    def __iter__(self) -> Iterator[int]:
        self._watch.tell("published", ALL)
        return (note.number for note in self._watch.checked.published)

    def __len__(self) -> int:
        self._watch.tell("published", ALL)
        return len(self._watch.checked.published)


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

_KINDS: dict[type, type] = {}


def _face(watch: Watch, kind: str, key: Any, inner: Any) -> Any:
    """Return a thing that tells when something is asked of it."""
    made = _KINDS.get(type(inner))
    if made is None:
        made = _KINDS[type(inner)] = type(type(inner).__name__, (_Face, type(inner)), {})
    face: Any = object.__new__(made)
    whole, front = ("text" if kind == "note" else kind, key), (kind, key)
    object.__setattr__(face, "_face", (watch._asked, whole, front, inner))
    return face


class _Face:
    """Stands for a thing of the tree, and tells what is asked of it."""

    def __getattribute__(self, name: str) -> Any:
        listeners, whole, front, inner = object.__getattribute__(self, "_face")
        if listeners and name not in _OF_ALL:
            listeners[-1].add(front if name == "front" else whole)
        return getattr(inner, name)
