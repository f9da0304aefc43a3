"""Where every value of a content file stands, down to the character.

A YAML scalar and its text in the file differ by quotation marks, escapes and folded
lines; ``Source.place_in`` undoes them, so that a finding about three characters of a
folded sentence points at those three characters.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from kbgen.content.marks import KeyPath, Mark
from kbgen.text import Span

__all__ = ["Place", "Source", "place_at"]

_BLANK = " \n\t"


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """A line and a column of a file, both 1-based, the column in code points."""

    line: int
    column: int


def place_at(text: str, index: int) -> Place:
    """Return the line and column of the code point ``index`` of ``text``."""
    return Place(text.count("\n", 0, index) + 1, index - text.rfind("\n", 0, index))


@dataclass(frozen=True, slots=True)
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
        return {path: place_at(self.text, mark.start) for path, mark in self.marks.items()}

    def place(self, *path: str | int) -> Place:
        """Return where a value stands, or the nearest value around it that is there."""
        return place_at(self.text, self._nearest(path).start)

    def key_place(self, *path: str | int) -> Place:
        """Return where the key of a value stands; a list item has its own place."""
        return place_at(self.text, self._nearest(path).key)

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
            return place_at(self.text, min(mark.start + offset, max(mark.start, mark.end)))
        written = self.text[mark.start : mark.end]
        inside = _index_in(written, mark.style, mark.value, offset)
        return place_at(self.text, mark.start + inside)

    def _nearest(self, path: KeyPath) -> Mark:
        for length in range(len(path), -1, -1):
            mark = self.marks.get(path[:length])
            if mark is not None:
                return mark
        return Mark(0, 0)


def _index_in(written: str, style: str, value: str, offset: int) -> int:
    """Return where in ``written`` the character ``offset`` of ``value`` stands.

    Folding and indenting touch only white space: the other characters stand in the
    file in the same number and order as in the value.
    """
    units = _units(written, style)
    spare = len(units) - len(value.translate(_NO_BLANKS))
    lead = 0  # white space other than YAML's own that was taken off in front
    while lead < spare and _shown(written, units[lead]).isspace():
        lead += 1
    units = units[lead:]
    before = len(value[:offset].translate(_NO_BLANKS))
    if offset < len(value) and value[offset] not in _BLANK and before < len(units):
        return units[before]
    if before == 0:
        return units[0] if units else 0
    after = units[before - 1] + 1
    spaces = offset - len(value[:offset].rstrip(_BLANK))
    while spaces and after < len(written) and written[after] in " \t":
        spaces -= 1
        after += 1
    return after


_NO_BLANKS = dict.fromkeys(map(ord, _BLANK))


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
