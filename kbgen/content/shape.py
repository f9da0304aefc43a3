"""Plain values → models; what does not fit becomes findings in our own words."""

from __future__ import annotations

from typing import Any, Generic, TypeVar, get_args

from pydantic import BaseModel, TypeAdapter, ValidationError
from pydantic_core import ErrorDetails

from kbgen.content.complaints import about_missing, about_unknown, about_value
from kbgen.content.marks import KeyPath, Mark
from kbgen.content.models import (
    Family,
    Hazard,
    HouseThread,
    NoteFront,
    Part,
    QuestionFront,
    Recording,
    SymptomHeading,
    VocabularyPair,
    Workshop,
)
from kbgen.content.plain_yaml import Reading, Slip

__all__ = [
    "FAMILY",
    "HAZARDS",
    "KINDS",
    "NOTE",
    "PART",
    "QUESTION",
    "RECORDING",
    "SYMPTOMS",
    "THREADS",
    "VOCABULARY",
    "WORKSHOP",
    "Kind",
    "shaped",
]

M = TypeVar("M")
M_co = TypeVar("M_co", covariant=True)

_MISREAD = "value-misread-elsewhere"


class Kind(Generic[M_co]):
    """A kind of content file: its name and the model it is shaped into."""

    def __init__(self, name: str, model: Any, rows: bool = False) -> None:
        self.name = name
        self.rows = rows
        self.model = model
        self.adapter: TypeAdapter[M_co] = TypeAdapter(model)


NOTE: Kind[NoteFront] = Kind("note", NoteFront)
QUESTION: Kind[QuestionFront] = Kind("question", QuestionFront)
FAMILY: Kind[Family] = Kind("family", Family)
PART: Kind[Part] = Kind("part", Part)
RECORDING: Kind[Recording] = Kind("recording", Recording)
WORKSHOP: Kind[Workshop] = Kind("workshop", Workshop)
THREADS: Kind[tuple[HouseThread, ...]] = Kind("threads", tuple[HouseThread, ...], rows=True)
HAZARDS: Kind[tuple[Hazard, ...]] = Kind("hazards", tuple[Hazard, ...], rows=True)
SYMPTOMS: Kind[tuple[SymptomHeading, ...]] = Kind("symptoms", tuple[SymptomHeading, ...], rows=True)
VOCABULARY: Kind[tuple[VocabularyPair, ...]] = Kind(
    "vocabulary", tuple[VocabularyPair, ...], rows=True
)
KINDS: tuple[Kind[Any], ...] = (
    WORKSHOP,
    NOTE,
    QUESTION,
    FAMILY,
    PART,
    RECORDING,
    THREADS,
    HAZARDS,
    SYMPTOMS,
    VOCABULARY,
)


def shaped(kind: Kind[M], reading: Reading) -> tuple[M | None, list[Slip]]:
    """Return the model of what was read, and the slips of reading and shape together."""
    slips = list(reading.slips)
    if not reading.whole:
        return None, slips
    data = reading.data
    if data is None:
        if not kind.rows:
            message = f"nothing is written in this {kind.name} file"
            hint = "write its keys, or take the file out of content/"
            slips.append(Slip("file-empty", 0, message, hint))
            return None, slips
        data = []
    try:
        model = kind.adapter.validate_python(data)
    except ValidationError as error:
        model = None
        spoilt = frozenset(reading.spoilt)
        found = [
            _slip(details, kind, data, reading, spoilt)
            for details in error.errors(include_url=False)
        ]
        wrong = [slip for slip in found if slip is not None]
        paths = {slip.path for slip in wrong}
        slips = [slip for slip in slips if slip.code != _MISREAD or slip.path not in paths]
        slips += wrong
    return model, slips


def _slip(
    details: ErrorDetails,
    kind: Kind[Any],
    data: Any,
    reading: Reading,
    spoilt: frozenset[KeyPath],
) -> Slip | None:
    """Return the slip of one complaint, or None where the value was refused before."""
    missing = details["type"] == "missing"
    path = _path(details["loc"], data, missing)
    if any(path[:length] in spoilt for length in range(len(path) + 1)):
        return None
    if details["type"] == "too_short" and details["input"]:
        return None  # its items are wrong, and each of them is reported
    owner = _model_at(kind, path[:-1])
    if missing:
        key = str(path[-1])
        at = _mark(reading, path[:-1]).start
        return Slip("key-missing", at, *about_missing(owner, key), path)
    if details["type"] == "extra_forbidden":
        key = str(path[-1])
        around = path[:-1]
        said = about_unknown(owner, key, lambda near: (*around, near) in reading.marks)
        return Slip("key-unknown", _mark(reading, path).key, *said, path)
    message, hint = about_value(details, owner, path[-1] if path else "", _model_at(kind, path))
    return Slip("value-wrong", _mark(reading, path).start, message, hint, path)


def _path(loc: tuple[str | int, ...], data: Any, missing: bool) -> KeyPath:
    """Return the way to a value in the data, without the names of union members in ``loc``."""
    path: list[str | int] = []
    here = data
    for number, step in enumerate(loc):
        inside = (isinstance(here, dict) and step in here) or (
            isinstance(here, list) and isinstance(step, int) and step < len(here)
        )
        if inside:
            here = here[step]
            path.append(step)
        elif missing and number == len(loc) - 1:
            path.append(step)
    return tuple(path)


def _mark(reading: Reading, path: KeyPath) -> Mark:
    for length in range(len(path), -1, -1):
        mark = reading.marks.get(path[:length])
        if mark is not None:
            return mark
    return Mark(0, 0)


def _model_at(kind: Kind[Any], path: KeyPath) -> type[BaseModel] | None:
    """Return the model of the value that stands at ``path``, None where it has none."""
    model = _model_in(kind.model)
    for step in path:
        if isinstance(step, str) and model is not None:
            field = model.model_fields.get(step)
            model = _model_in(field.annotation) if field else None
    return model


def _model_in(annotation: Any) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    found = (_model_in(inner) for inner in get_args(annotation))
    return next((model for model in found if model is not None), None)
