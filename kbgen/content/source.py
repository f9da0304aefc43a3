"""Where every value of a content file stands, down to the character.

A YAML scalar and its text in the file differ by quotation marks, escapes and folded
lines; ``Source.place_in`` undoes them, so that a finding about three characters of a
folded sentence points at those three characters.
"""

from __future__ import annotations

import hashlib
import re
from bisect import bisect_right
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import accumulate
from sys import intern
from typing import TYPE_CHECKING, Any, NamedTuple, TypeVar

from kbgen.content.marks import KeyPath, Mark, Marks
from kbgen.kept import Apart, apart, pack, unpack
from kbgen.text import Span

__all__ = ["Place", "Source", "digest_of", "place_at"]

T = TypeVar("T")

_BLANK = " \n\t"


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """A line and a column of a file, both 1-based, the column in code points."""

    line: int
    column: int


def place_at(text: str, index: int) -> Place:
    """Return the line and column of the code point ``index`` of ``text``."""
    return Place(text.count("\n", 0, index) + 1, index - text.rfind("\n", 0, index))


def digest_of(path: str, text: str) -> bytes:
    """Return a digest of a text and of where it stands."""
    return hashlib.blake2b(f"{path}\0{text}".encode(), digest_size=16).digest()


_LONG = 20_000
"""The lines of a text longer than this are counted once for all its places."""


_OPENED = frozenset({"text", "marks", "_asked"})
_WHERE = frozenset({"_kept", "_again"})


class _Kept(NamedTuple):
    """What a source that was kept is unpacked from, each when it is first asked for.

    Shape: ``text`` is UTF-8; the values of ``work`` are packed one by one, and ``of_all``
    is a packed mapping of what every file of a tree is asked in one go. Places are read
    again from the text: few files are asked for any.
    """

    text: bytes
    of_all: bytes
    work: dict[str, bytes]


@dataclass(frozen=True)
class Source:
    """The text of one content file and the place of every value in it.

    Shape: ``path`` is relative to the tree with forward slashes; ``text`` is the
    whole file with line feeds as line ends; ``marks`` holds every value by its key path;
    ``body_line`` is the line on which the Markdown after a front matter begins, and
    0 for a file that is YAML throughout.
    """

    path: str
    text: str
    marks: Mapping[KeyPath, Mark]
    body_line: int = 0

    @property
    def places(self) -> dict[KeyPath, Place]:
        """The place of every value, by key path, in the order of the file."""
        return {path: self._place(mark.start) for path, mark in self.marks.items()}

    def place(self, *path: str | int) -> Place:
        """Return where a value stands, or the nearest value around it that is there."""
        return self._place(self._nearest(path).start)

    def key_place(self, *path: str | int) -> Place:
        """Return where the key of a value stands; a list item has its own place."""
        return self._place(self._nearest(path).key)

    def value_span(self, path: KeyPath) -> Span:
        """Return the stretch of the file that a value is written in, marks included."""
        mark = self._nearest(path)
        return Span(mark.start, mark.end)

    def place_in(self, path: KeyPath, offset: int) -> Place:
        """Return where the character ``offset`` of a scalar's value stands in the file.

        Shape: ``offset`` counts code points of the value as the model holds it, which
        is without white space at its two ends.
        """
        mark = self._nearest(path)
        if mark.value is None:
            return self._place(min(mark.start + offset, max(mark.start, mark.end)))
        if mark not in self._walked:  # only the last one is kept: places are asked for in order
            self._walked.clear()
            written = self.text[mark.start : mark.end]
            self._walked[mark] = _Scalar(written, mark.style, mark.value)
        return self._place(mark.start + self._walked[mark].index_of(offset))

    @cached_property
    def _walked(self) -> dict[Mark, _Scalar]:
        return {}

    @cached_property
    def _line_starts(self) -> list[int]:
        return [0, *(found.end() for found in re.finditer("\n", self.text))]

    def _place(self, index: int) -> Place:
        if len(self.text) <= _LONG:
            return place_at(self.text, index)
        line = bisect_right(self._line_starts, index)
        return Place(line, index - self._line_starts[line - 1] + 1)

    def once(self, name: str, make: Callable[[], T], of_all: bool = False) -> T:
        """Return what follows from the file's bytes and ``name`` alone, worked out once.

        Shape: what is asked ``of_all`` files of a tree in one go is packed together.
        It goes along with the source to other processes and, kept, to later builds.
        """
        made = self._of_all if of_all else self._worked
        kept = self._held()
        if of_all and kept is not None:
            if not made:
                made.update(unpack(kept.of_all))
            if name not in made:
                made = self._worked  # it was not asked when the file was read: it is no fact
        if made is self._worked:
            self.__dict__["_asked"] = True
            if kept is not None and name not in made and name in kept.work:
                unpacked: T = unpack(kept.work[name])  # not held: few ask twice
                return unpacked
        if name not in made:
            made[name] = make()
        found: T = made[name]
        return found

    def set_down(self) -> None:
        """Hold the places in little room: a shelf of 50,000 notes has millions."""
        self.__dict__["marks"] = Marks(self.marks)

    def let_go(self, facts: bool = True) -> None:
        """Give back the room of what a source that was kept can unpack again, facts or not."""
        if self.__dict__.keys() & _WHERE:
            for name in ("text", "marks", "_line_starts", "_walked", "_asked"):
                self.__dict__.pop(name, None)
            if facts:
                self.__dict__.pop("_of_all", None)

    def leave(self, again: Callable[[], Source]) -> None:
        """Give back the room of all that a source was kept with.

        Shape: ``again`` reads the same source from where it is kept, when it is asked for.
        """
        self.let_go()
        self.__dict__.pop("_kept", None)
        self.__dict__.pop("_worked", None)
        self.__dict__["_again"] = again

    def _held(self) -> _Kept | None:
        """Return what it was kept with, None for one that was not."""
        if "_kept" not in self.__dict__ and "_again" in self.__dict__:
            self.__dict__["_kept"] = self.__dict__["_again"]()._held()
        kept: _Kept | None = self.__dict__.get("_kept")
        return kept

    @property
    def facts(self) -> Apart:
        """What every file of a tree is asked in one go, and where it stands."""
        kept = self._held()
        return apart(self._of_all if kept is None else unpack(kept.of_all))

    @property
    def opened(self) -> bool:
        """Whether more was asked of it than its facts since it last let go."""
        return not self.__dict__.keys() & _WHERE or bool(self.__dict__.keys() & _OPENED)

    @property
    def digest(self) -> bytes:
        """A digest of the file's path and text."""
        return self.once("digest", lambda: digest_of(self.path, self.text))

    @cached_property
    def _worked(self) -> dict[str, Any]:
        return {}

    @cached_property
    def _of_all(self) -> dict[str, Any]:
        return {}

    def __getstate__(self) -> tuple[str, int, _Kept]:
        """Leave behind what is quickly worked out again."""
        kept = self._held()
        work = {name: pack(made) for name, made in self._worked.items()}
        if kept is None:
            return (
                self.path,
                self.body_line,
                _Kept(self.text.encode(), pack(self._of_all), work),
            )
        of_all = {**unpack(kept.of_all), **self._of_all}
        changed = kept._replace(of_all=pack(of_all), work={**kept.work, **work})
        return self.path, self.body_line, changed

    def __setstate__(self, state: tuple[str, int, _Kept]) -> None:
        path, body_line, kept = state
        kept = kept._replace(work={intern(name): data for name, data in kept.work.items()})
        self.__dict__.update(path=path, body_line=body_line, _kept=kept)

    if not TYPE_CHECKING:

        def __getattr__(self, name: str) -> Any:
            """Return the text or the places of a source that was kept, when first asked for."""
            kept = self._held() if name in ("text", "marks") else None
            if kept is None:
                raise AttributeError(name)
            if name == "text":
                found: Any = kept.text.decode()
            else:
                from kbgen.content.files import marks_in

                found = Marks(marks_in(self.text, self.body_line))
            self.__dict__[name] = found
            return found

    def _nearest(self, path: KeyPath) -> Mark:
        for length in range(len(path), -1, -1):
            mark = self.marks.get(path[:length])
            if mark is not None:
                return mark
        return Mark(0, 0)


class _Scalar:
    """A scalar as written and its value, walked through once.

    Folding and indenting touch only white space: the other characters stand in the
    file in the same number and order as in the value.
    """

    __slots__ = ("_before", "_units", "_value", "_written")

    def __init__(self, written: str, style: str, value: str) -> None:
        self._written = written
        self._value = value
        self._before = [0, *accumulate(mark not in _BLANK for mark in value)]
        units = _units(written, style)
        spare = len(units) - self._before[-1]
        lead = 0  # white space other than YAML's own that was taken off in front
        while lead < spare and _shown(written, units[lead]).isspace():
            lead += 1
        self._units = units[lead:]

    def index_of(self, offset: int) -> int:
        """Return where the character ``offset`` of the value stands in what is written."""
        value, units, written = self._value, self._units, self._written
        before = self._before[min(offset, len(value))]
        if offset < len(value) and value[offset] not in _BLANK and before < len(units):
            return units[before]
        if before == 0:
            return units[0] if units else 0
        after = units[before - 1] + 1
        spaces = 0
        while spaces < offset and value[offset - spaces - 1 : offset - spaces] in _BLANK_OR_NONE:
            spaces += 1
        while spaces and after < len(written) and written[after] in " \t":
            spaces -= 1
            after += 1
        return after


_BLANK_OR_NONE = ("", *_BLANK)


def _units(written: str, style: str) -> list[int]:
    """Return where each character of a scalar that is not white space stands in it."""
    match style:
        case "'":
            return _units_single(written)
        case '"':
            return _units_double(written)
        case "|" | ">":
            start = written.find("\n") + 1
        case _:
            start = 0
    return [at for at in range(start, len(written)) if written[at] not in _BLANK]


def _units_single(written: str) -> list[int]:
    units: list[int] = []
    at = 1
    while at < len(written) - 1:
        if written[at] not in _BLANK:
            units.append(at)
        at += 2 if written[at] == "'" else 1
    return units


_ESCAPE_LENGTH = {"x": 4, "u": 6, "U": 10}
_SPACE_ESCAPES = {"t": "\t", "n": "\n", "_": "\u00a0", "N": "\x85", "L": "\u2028", "P": "\u2029"}


def _units_double(written: str) -> list[int]:
    units: list[int] = []
    at = 1
    while at < len(written) - 1:
        if _shown(written, at) not in _BLANK:
            units.append(at)
        at += _ESCAPE_LENGTH.get(written[at + 1], 2) if written[at] == "\\" else 1
    return units


def _shown(written: str, at: int) -> str:
    """Return the character that is written at ``at``, an escape undone where it is a space."""
    if written[at] != "\\" or written[0] != '"':
        return written[at]
    letter = written[at + 1]
    if letter in _ESCAPE_LENGTH:
        return chr(int(written[at + 2 : at + _ESCAPE_LENGTH[letter]], 16))
    return _SPACE_ESCAPES.get(letter, letter)
