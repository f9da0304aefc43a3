"""The kinds of value that content files hold, each read as it is written."""

from __future__ import annotations

import datetime
import re
from functools import cache
from sys import intern
from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, StringConstraints
from pydantic_core import PydanticCustomError

__all__ = [
    "Clock",
    "Count",
    "Date",
    "Figure",
    "FileName",
    "Identifier",
    "LotCount",
    "LotDate",
    "Model",
    "NoteNumber",
    "RowReference",
    "Text",
    "WebAddress",
]


class Model(BaseModel):
    """The habits of every content model: frozen, no unknown keys, nothing guessed."""

    model_config = ConfigDict(
        defer_build=True, frozen=True, extra="forbid", str_strip_whitespace=True
    )

    def __getstate__(self) -> tuple[Any, ...]:  # type: ignore[override]
        """Return the values alone: a tree of 50,000 notes holds half a million models."""
        return tuple(getattr(self, name) for name in _names_of(type(self))[0])

    def __setstate__(self, state: tuple[Any, ...]) -> None:  # type: ignore[override]
        """Take the values over as they are."""
        names, given = _names_of(type(self))
        for name, value in zip(names, state, strict=True):
            # one by one, so that models of one kind share their keys
            _set(self, name, _one_copy(value) if name in _SHARED else value)
        _set(self, "__pydantic_fields_set__", given)
        _set(self, "__pydantic_extra__", None)
        _set(self, "__pydantic_private__", None)


_set = object.__setattr__

_SHARED = frozenset(
    {
        *("authors", "families", "family", "fasteners", "hazards", "headings", "part", "people"),
        *("recording", "spares", "supplies", "tools"),
    }
)
"""Fields whose texts are those of many other files: ids, and what lies on every bench."""


def _one_copy(value: Any) -> Any:
    """Return a value with the one copy of each text that all files share."""
    if type(value) is str:
        return intern(value)
    try:
        return tuple(map(intern, value))
    except TypeError:  # a fastener of a note's own among them
        return value


@cache
def _names_of(kind: type[Model]) -> tuple[tuple[str, ...], set[str]]:
    """Return the names of a model's fields, in order, and as the set that all of a kind share."""
    names = tuple(kind.model_fields)
    return names, set(names)


def _whole(value: object) -> object:
    """Read a whole number as it is written; ``010`` and ``1.0`` are none."""
    if not isinstance(value, str):
        return value
    if re.fullmatch(r"0|[1-9][0-9]{0,8}", value, re.ASCII) is None:
        raise PydanticCustomError("whole_number", "expected a whole number")
    return int(value)


def _day(value: object) -> object:
    """Read a day as it is written, YYYY-MM-DD and nothing else."""
    if not isinstance(value, str):
        return value
    if re.fullmatch(r"[0-9]{4}-[0-9][0-9]-[0-9][0-9]", value, re.ASCII) is None:
        raise PydanticCustomError("day_form", "expected YYYY-MM-DD")
    try:
        return datetime.date.fromisoformat(value)
    except ValueError as error:
        raise PydanticCustomError("day_unreal", "expected a day that exists") from error


Text = Annotated[str, StringConstraints(min_length=1)]
Figure = Annotated[Text, Field(json_schema_extra={"type": ["string", "number"]})]
"""A text that may look like a number to an editor, such as ``0.20`` or a serial number."""

Identifier = Annotated[str, StringConstraints(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*$", max_length=64)]
Count = Annotated[int, Field(ge=1, le=9_999), BeforeValidator(_whole)]
LotCount = Annotated[int, Field(ge=1, le=999_999_999), BeforeValidator(_whole)]
NoteNumber = Annotated[int, Field(ge=1, le=999_999), BeforeValidator(_whole)]
Date = Annotated[
    datetime.date, BeforeValidator(_day), Field(description="a day, written YYYY-MM-DD (ISO 8601)")
]
LotDate = Annotated[
    str,
    StringConstraints(pattern=r"^[0-9]{4}(-[0-9][0-9](-[0-9][0-9])?)?$"),
    Field(json_schema_extra={"type": ["string", "integer"]}),
]
WebAddress = Annotated[str, StringConstraints(pattern=r"^https?://[^\s<>\"]+$", max_length=2000)]
Clock = Annotated[
    str,
    StringConstraints(pattern=r"^([0-9]{1,2}:[0-5][0-9]:[0-5][0-9]|[0-9]{1,3}:[0-5][0-9])$"),
    Field(description='a time in a recording, "12:40" or "1:02:40", in quotation marks'),
]
RowReference = Annotated[
    str,
    StringConstraints(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*/[a-z0-9]+(-[a-z0-9]+)*$"),
    Field(description="FAMILY/ROW, a row of a family's fastener register"),
]
FileName = Annotated[str, StringConstraints(pattern=r"^[A-Za-z0-9][A-Za-z0-9._-]*$")]
