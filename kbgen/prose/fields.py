"""The fields of a content model, walked with their key paths.

Which fields are figures, and which hold no words of the workshop's at all (ids,
dates, addresses), stands in two closed tables; every other text is read as prose.
"""

from __future__ import annotations

from collections.abc import Iterator
from enum import StrEnum
from typing import NamedTuple

from pydantic import BaseModel

from kbgen.content import KeyPath, Source
from kbgen.content.models import (
    Correction,
    Disputed,
    Family,
    Fastener,
    HouseThread,
    Part,
    QuestionFront,
    Recording,
    RegisterRow,
    Variant,
)
from kbgen.units import Kind

__all__ = ["TextField", "loose_fields", "text_fields"]

_FASTENER = {
    "thread": Kind.THREAD,
    "length": Kind.LENGTH,
    "torque": Kind.TORQUE,
    "tightness": Kind.TIGHTNESS,
}
FIGURES: dict[type[BaseModel], dict[str, Kind]] = {
    Fastener: _FASTENER,
    RegisterRow: _FASTENER,
    Part: {"thread": Kind.THREAD},
    HouseThread: {"thread": Kind.THREAD},
}

# Of these models, what looks like a figure and is none: "the Marrowby M40", a running time.
NAMES: dict[type[BaseModel], frozenset[str]] = {
    Family: frozenset({"name", "also_called"}),
    Variant: frozenset({"name"}),
    Recording: frozenset({"length"}),
    # What an asker wrote, or we repeat of it, is never judged: only the answer is ours.
    QuestionFront: frozenset({"alias", "subject", "in_short", "mark"}),
}

UNREAD = frozenset(
    {
        "address",
        "at",
        "authors",
        "base_address",
        "contact",
        "defaults",
        "families",
        "family",
        "file",
        "first",
        "hazards",
        "headings",
        "id",
        "language",
        "last",
        "licence",
        "note",
        "part",
        "price",
        "recording",
        "spares",
        "strength",
        "told_by",
    }
)


# Keys of a broken file that hold no words either: there the models do not tell.
_NO_WORDS = UNREAD | {
    "allotted",
    "also_called",
    "basis",
    "date",
    "first_published",
    "name",
    "obtained",
    "quantity",
    "revised",
    "seen",
    "signal",
    "standing",
    "successor",
    "verdict",
    "was",
}


class TextField(NamedTuple):
    """One text of a content file.

    Shape: ``path`` is its key path; ``kind`` is set where the text is a figure of
    that kind; ``owners`` are the models around it, the outermost first.
    """

    path: KeyPath
    text: str
    kind: Kind | None
    owners: tuple[BaseModel, ...]

    @property
    def withdrawn(self) -> bool:
        """Whether the text is what a correction says was stated."""
        return self.path[-1] == "was" and isinstance(self.owners[-1], Correction)

    def owner(self, *types: type[BaseModel]) -> BaseModel | None:
        """Return the nearest model around the text that is of one of the types."""
        for model in reversed(self.owners):
            if isinstance(model, types):
                return model
        return None

    @property
    def disputed(self) -> bool:
        """Whether the text is a figure that somebody else holds."""
        return bool(self.owners) and isinstance(self.owners[-1], Disputed)


def text_fields(
    value: object, path: KeyPath = (), owners: tuple[BaseModel, ...] = ()
) -> Iterator[TextField]:
    """Yield every text below ``value``, a content model or a tuple of them, in order."""
    if isinstance(value, BaseModel):
        figures = FIGURES.get(type(value), {})
        unread = NAMES.get(type(value), frozenset())
        around = (*owners, value)
        for name, inner in vars(value).items():
            if name in UNREAD or name in unread or isinstance(inner, StrEnum):
                continue
            if isinstance(inner, str):
                yield TextField((*path, name), inner, figures.get(name), around)
            elif inner and isinstance(inner, (tuple, BaseModel)):
                yield from text_fields(inner, (*path, name), around)
    elif isinstance(value, tuple):
        for number, inner in enumerate(value):
            if isinstance(inner, str) and owners:
                if path[-1] not in ("fasteners", "variants"):
                    yield TextField((*path, number), inner, None, owners)
            else:
                yield from text_fields(inner, (*path, number), owners)


def loose_fields(source: Source) -> Iterator[TextField]:
    """Yield every text of a file that fits no model, as far as it could be read.

    Shape: none is a figure by its key; what looks like one is found as in prose.
    """
    for path, mark in source.marks.items():
        keys = [step.partition("\0")[0] for step in path if isinstance(step, str)]
        if mark.start == mark.end or not _NO_WORDS.isdisjoint(keys) or keys == ["length"]:
            continue
        if path and isinstance(path[-1], int) and keys[-1:] in (["fasteners"], ["variants"]):
            continue
        text = source.text[mark.start : mark.end] if mark.value is None else mark.value
        yield TextField(path, text, None, ())
