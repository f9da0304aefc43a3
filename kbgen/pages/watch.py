"""What is asked of checked content while a page is made, and the digests of the answers.

Between builds a page is the same while the template, the program and every answer are,
and that is proved by the digests of the answers.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Mapping
from functools import cached_property
from typing import Any, TypeVar

from kbgen.checks import Checked
from kbgen.content.models import Standing
from kbgen.kept import digest, pack, stamp_of
from kbgen.links import Reference

__all__ = ["ALL", "EVERYTHING", "FACTS", "SHELVES", "Asked", "Groups", "Watch"]

T = TypeVar("T")

Asked = tuple[str, Any]
"""One question: its kind, and of what; ``*`` of all there are."""

Groups = dict[str, tuple[Asked, ...]]
"""What was asked for each group, by its name."""

ALL = "*"
EVERYTHING: Asked = ("everything", "")
FACTS: Asked = ("facts", "")
_OF_SHELVES = frozenset(
    {"note", "text", "published", "family", "part", "recording", "question", "words"}
)
SHELVES = {
    "notes": "note",
    "families": "family",
    "parts": "part",
    "recordings": "recording",
    "questions": "question",
}
_WITH_TEXTS = frozenset({"text", "words"})
"""What is asked with more than its facts; all else is joined anew when it changes."""


class Watch:
    """What is being asked, and the digest of every answer."""

    def __init__(self, checked: Checked) -> None:
        self.checked = checked
        self._tree = checked.tree
        self._asked: list[set[Asked]] = []
        self._known: dict[Asked, bytes] = {}
        self._of_groups: dict[str, bytes] = {}
        self._texts_of_groups: dict[str, frozenset[str]] = {}
        self.groups: Groups = {}
        self._regrouped: set[str] = set()

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

    def listen_anywhere(self, make: Callable[[], T]) -> tuple[T, tuple[Asked, ...], Groups]:
        """Return the same in whatever process, and the groups that were asked for here first.

        Shape: the process that gathers takes them over by ``take``.
        """
        self._regrouped.clear()
        made, asked = self.listen(make)
        return made, asked, {name: self.groups[name] for name in self._regrouped}

    def take(self, groups: Groups) -> None:
        """Take over what was asked for groups in another process."""
        for name, asked in groups.items():
            self.regroup(name, asked)

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
        return self.checked.standings.get(number) is Standing.PUBLISHED

    def group(self, name: Hashable, make: Callable[[], T], kept: bool = False) -> T:
        """Return what is made once for many pages; they depend on all that was asked for it.

        Shape: what is ``kept`` for later builds follows from facts alone.
        """
        if kept:
            made, asked = self.checked.once(f"group {name}", lambda: self.listen(make))
        else:
            made, asked = self.listen(make)
        self.regroup(repr(name), asked)
        return made

    def regroup(self, name: str, asked: tuple[Asked, ...]) -> None:
        """Take over what was asked for a group, here or in another process."""
        if self.groups.get(name) != asked:
            self.groups[name] = asked
            self._regrouped.add(name)
            if name in self._of_groups:  # else nobody has asked for it yet, nor has any other group
                self._of_groups.clear()
            if name in self._texts_of_groups:
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
                found.update(self._paths[kind].get(name, ()))
        return frozenset(found)

    @cached_property
    def _paths(self) -> dict[str, dict[int, tuple[str]]]:
        """The paths of notes and questions, by what asks for more than their facts."""
        return self.checked.once("paths of texts", self._find_paths)

    def _find_paths(self) -> dict[str, dict[int, tuple[str]]]:
        return {
            kind: {number: (one.source.path,) for number, one in self._shelf(kind).items()}
            for kind in sorted(_WITH_TEXTS)
        }

    def ahead(self) -> None:
        """Work out what most pages ask, so that processes that part have it in common."""
        self.checked.graph.ahead()
        assert self.checked.standings.keys() == self.checked.faces.keys()
        assert self._paths.keys() == _WITH_TEXTS
        self.answer(("under", ("families", "")))
        self.answer(("citing", ""))
        assert self.common

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
        if kind in _OF_SHELVES:
            if name == ALL:
                shelf = self._shelf(kind)
                return digest(*(repr(key).encode() + self.answer((kind, key)) for key in shelf))
            if name not in self._shelf(kind):
                return b"none"
        return answer(name) if answer is not None else self._everything(name)

    def _shelf(self, kind: str) -> Mapping[Any, Any]:
        if kind in ("note", "text", "published"):
            return self._tree.notes
        if kind == "words":
            return self._tree.questions
        shelf: Mapping[Any, Any] = getattr(
            self._tree, next(name for name, one in SHELVES.items() if one == kind)
        )
        return shelf

    def _note(self, number: int) -> bytes:
        return self.checked.faces[number]

    def _text(self, number: int) -> bytes:
        return self._tree.notes[number].source.digest

    def _published(self, number: int) -> bytes:
        return self.checked.faces[number] if self._is_shown(number) else b"none"

    def _family(self, name: str) -> bytes:
        return self._tree.families[name].source.digest

    def _part(self, name: str) -> bytes:
        return self._tree.parts[name].source.digest

    def _question(self, number: int) -> bytes:
        return self._tree.questions[number].face

    def _words(self, number: int) -> bytes:
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
        return self.checked.once("notes by name", self._find_by_name)

    def _find_by_name(self) -> dict[str, dict[str, list[int]]]:
        found: dict[str, dict[str, list[int]]] = {"families": {}, "headings": {}}
        for note in self.checked.published:
            for way, by_name in found.items():
                for name in dict.fromkeys(getattr(note.front, way)):
                    by_name.setdefault(name, []).append(note.number)
        return found

    @cached_property
    def _citing_by_row(self) -> dict[str, list[int]]:
        """The numbers of the published notes that cite a register row."""
        return self.checked.once("notes by row", self._find_citing)

    def _find_citing(self) -> dict[str, list[int]]:
        found: dict[str, list[int]] = {}
        for note in self.checked.published:
            for fastener in note.front.fasteners:
                if isinstance(fastener, str):
                    found.setdefault(fastener, []).append(note.number)
        return found

    def _leads(self, name: tuple[str, Reference]) -> bytes:
        way, reference = name
        edges = getattr(self.checked.graph, way)(reference)
        return digest(*("\0".join(map(str, edge[2:])).encode() for edge in edges))

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
        found = self._of_groups.get(name)
        if found is None:
            known = name in self.groups
            found = self.answers(self.groups[name]) if known else b"unknown"
            self._of_groups[name] = found
        return found

    def _facts(self, _: Any) -> bytes:
        return self.checked.facts.digest or self.answer(EVERYTHING)

    def _everything(self, _: Any) -> bytes:
        parts = [self.answer((kind, ALL)) for kind in ("text", "words", *SHELVES.values())]
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
