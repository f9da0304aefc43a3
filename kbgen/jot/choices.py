"""Answers that are chosen: by number, by id, or by words of the name."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from kbgen.content import Tree
from kbgen.jot.questions import Form

__all__ = ["Choices", "Refused", "choices_of"]

_SOME = 8
_LISTED = 30
"""So many are listed; of more, words have to be said."""


class Refused(Exception):
    """A line that cannot be read as an answer, in words."""


@dataclass(frozen=True, slots=True)
class Choices:
    """What can be chosen, as id and words; ``counted`` where several of one can be meant."""

    rows: tuple[tuple[str, str], ...]
    counted: bool = False

    def __bool__(self) -> bool:
        return bool(self.rows)

    def shown(self) -> Iterator[str]:
        """Yield the list as it is shown."""
        if len(self.rows) > _LISTED:
            many = f"There are {len(self.rows)}: say ids or words of a name"
            yield f"{many}; a word shows what holds it."
            return
        width = max((len(name) for name, _ in self.rows), default=0)
        for number, (name, words) in enumerate(self.rows, 1):
            yield f"{number:3} {name:{width}}  {words}"

    def read(self, line: str) -> list[str | dict[str, str]]:
        """Return what a line chooses, each once. Raises: Refused."""
        found: dict[str, str] = {}
        for one in line.split(","):
            how_many, said = self._counted(one.strip())
            if said:
                found[self._one(said)] = how_many
        if not self.counted:
            return list(found)
        return [{"part": name, "quantity": how_many} for name, how_many in found.items()]

    def _counted(self, said: str) -> tuple[str, str]:
        match = re.fullmatch(r"([0-9]{1,4})\s*[x×]\s*(.+)", said) if self.counted else None
        return (match[1], match[2]) if match else ("1", said)

    def _one(self, said: str) -> str:
        names = [name for name, _ in self.rows]
        if said in names:
            return said
        if said.isascii() and said.isdigit():
            if 1 <= int(said) <= len(names) <= _LISTED:
                return names[int(said) - 1]
            raise Refused(f"there is no number {said} in the list")
        words = re.split(r"[\s-]+", said.lower().strip(" -"))
        held = [(self._holds(row, words), row) for row in self.rows]
        whole = [row for how_many, row in held if how_many == len(words)]
        if len(whole) == 1:
            return whole[0][0]
        if whole:
            raise Refused(f"{said} may be {len(whole)} of them: {_some(whole)}")
        most = max(how_many for how_many, _ in held)
        near = _some([row for how_many, row in held if how_many == most]) if most else ""
        raise Refused(f"nothing here is called {said}" + (f"; near it: {near}" if near else ""))

    def _holds(self, row: tuple[str, str], words: Sequence[str]) -> int:
        """Return how many of the words stand in a row."""
        text = " ".join(row).lower()
        return sum(word in text for word in words)


def _some(rows: Sequence[tuple[str, str]]) -> str:
    return "; ".join(f"{name} ({words})" for name, words in rows[:_SOME])


def choices_of(tree: Tree, form: Form, families: Sequence[str]) -> Choices:
    """Return what a question of a form can be answered with.

    Shape: of fasteners those of ``families``, of all where none is named.
    """
    match form:
        case Form.FAMILIES:
            rows = [(name, one.model.name) for name, one in tree.families.items()]
        case Form.HEADINGS:
            rows = [(name, one.heading) for name, one in tree.headings.items()]
        case Form.PARTS | Form.SPARES:
            rows = [(name, one.model.name) for name, one in tree.parts.items()]
        case Form.HAZARDS:
            rows = [(name, f"{one.signal}: {one.hazard}") for name, one in tree.hazards.items()]
        case _:
            rows = [
                (f"{name}/{row.id}", f"{row.where}, {row.thread}")
                for name, one in tree.families.items()
                if name in families or not families
                for row in one.model.fasteners
            ]
    return Choices(tuple(rows), counted=form is Form.PARTS)
