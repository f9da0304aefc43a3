"""YAML text → plain values with the place of each, every scalar kept as it is written.

Read from parser events, so that no value is ever interpreted, and that nesting, aliases
and tags are refused before anything is built. What stays is the subset of YAML 1.2.2
that every reader understands alike: mappings, lists, scalars, comments.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any, NamedTuple, NoReturn

import yaml

from kbgen.content.marks import KeyPath, Mark
from kbgen.content.misread import misread_as
from kbgen.content.source import place_at
from kbgen.content.yaml_words import in_our_words

__all__ = ["MAX_DEPTH", "MAX_VALUES", "Reading", "Slip", "read_plain", "read_yaml"]

MAX_DEPTH = 12
MAX_VALUES = 60_000

_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


class Slip(NamedTuple):
    """Something wrong in a YAML text.

    Shape: ``at`` is the code point of the text at fault; ``path`` is the way to the
    value that it concerns, None for the text as a whole.
    """

    code: str
    at: int
    message: str
    hint: str = ""
    path: KeyPath | None = None


@dataclass(slots=True)
class Reading:
    """What a YAML text holds: dicts, lists and strings, None where nothing is written.

    Shape: ``data`` is None for an empty text and one that could not be read
    (``whole`` tells them apart); ``marks`` places every value; values at or below a
    path in ``spoilt`` were refused and say nothing about their shape.
    """

    data: Any = None
    marks: dict[KeyPath, Mark] = field(default_factory=dict)
    slips: list[Slip] = field(default_factory=list)
    spoilt: list[KeyPath] = field(default_factory=list)
    whole: bool = True


class _Unreadable(Exception):
    """Reading stops here; the slip is already noted."""


def read_yaml(text: str, start: int = 0, end: int | None = None) -> Reading:
    """Return what the YAML between two code points of ``text`` holds; never raises.

    Shape: every place counts from the beginning of ``text``.
    """
    part = text if start == 0 and end is None else text[start:end]
    reading = Reading()
    if _refused_at_sight(part, start, reading):
        reading.whole = False
        return reading
    part = part.replace("\t", " ")
    builder = _Builder(text, part, start, reading)
    try:
        builder.build()
    except yaml.MarkedYAMLError as error:
        code, message, hint, index = in_our_words(error, part)
        reading.slips.append(Slip(code, start + index, message, hint))
    except yaml.YAMLError as error:
        reading.slips.append(
            Slip("yaml-unreadable", start, f"this cannot be read as YAML: {error}")
        )
    except _Unreadable:
        pass
    else:
        return reading
    reading.data, reading.whole = None, False
    return reading


def read_plain(text: str) -> tuple[Any, list[str]]:
    """Return what a YAML or JSON text holds, and what is wrong with it, in words.

    Shape: dicts, lists and strings, None where nothing could be read; each slip begins
    with its line.
    """
    reading = read_yaml(text)
    harmless = "value-misread-elsewhere"  # nobody but this program reads it
    slips = [slip for slip in reading.slips if slip.code != harmless]
    return reading.data, [f"line {place_at(text, one.at).line}: {one.message}" for one in slips]


def _refused_at_sight(part: str, start: int, reading: Reading) -> bool:
    """Note tabs and directives; return whether it is no use to read on."""
    tab = part.find("\t")
    if tab >= 0:
        lines = sum("\t" in line for line in part.split("\n"))
        more = f" (and on {lines - 1} more lines)" if lines > 1 else ""
        message = f"a tab stands here{more}; YAML is indented with spaces (YAML 1.2.2, section 6.1)"
        reading.slips.append(
            Slip("yaml-tab", start + tab, message, "put spaces in place of the tab")
        )
        return not part[part.rfind("\n", 0, tab) + 1 : tab].strip(" ")
    directive = 0 if part.startswith("%") else part.find("\n%") + 1
    if part[directive : directive + 1] != "%":
        return False
    message = "a directive stands here; content files have none"
    hint = "take the line out, or put a text that begins with % in quotation marks"
    reading.slips.append(Slip("yaml-tag", start + directive, message, hint))
    return True


class _Builder:
    """Builds the plain values of one YAML document from parser events."""

    def __init__(self, text: str, part: str, start: int, reading: Reading) -> None:
        self._text = text
        self._part = part
        self._start = start
        self._reading = reading
        self._top: list[Any] = []
        self._container: Any = self._top
        self._path: KeyPath = ()
        self._key: str | None = None
        self._key_at = 0
        self._stack: list[tuple[Any, KeyPath]] = []
        self._repeats: list[tuple[dict[str, Any], str]] = []

    def build(self) -> None:
        """Fill the reading.

        Raises: yaml.YAMLError where the text is no YAML; _Unreadable where it is
        refused for a reason that is already noted.
        """
        loader = _LOADER(self._part)
        try:
            self._follow(loader.get_event)
        finally:
            loader.dispose()
        if self._top:
            self._reading.data = self._top[0]
        for container, repeat in self._repeats:
            del container[repeat]

    def _follow(self, get_event: Callable[[], Any]) -> None:
        documents = 0
        while True:
            event = get_event()
            kind = type(event)
            if kind is yaml.ScalarEvent:
                if self._key is None and type(self._container) is dict:
                    self._take_key(event)
                else:
                    self._take_scalar(event)
            elif kind is yaml.MappingStartEvent or kind is yaml.SequenceStartEvent:
                self._open(event, {} if kind is yaml.MappingStartEvent else [])
            elif kind is yaml.MappingEndEvent or kind is yaml.SequenceEndEvent:
                self._container, self._path = self._stack.pop()
                self._key = None
            elif kind is yaml.AliasEvent:
                self._take_alias(event)
            elif kind is yaml.DocumentStartEvent:
                documents += 1
                if documents > 1:
                    self._slip(
                        "yaml-documents",
                        event.start_mark.index,
                        "a second YAML document begins here; a content file holds one",
                        "take this line out, or make a file of its own",
                    )
                    return
            elif kind is yaml.StreamEndEvent:
                return

    def _here(self, at: int) -> KeyPath:
        """Return the path of the value that begins at ``at``."""
        if self._key is not None:
            return (*self._path, self._key)
        self._key_at = at
        return (*self._path, len(self._container)) if self._stack else ()

    def _put(self, value: Any) -> None:
        if self._key is not None:
            self._container[self._key] = value
            self._key = None
        else:
            self._container.append(value)

    def _take_scalar(self, event: Any) -> None:
        at, end = event.start_mark.index, event.end_mark.index
        here = self._here(at)
        if event.anchor is not None or event.tag is not None:
            self._refuse(event, here)
        value: str | None = event.value.strip()
        as_written = self._part[at:end]
        style = event.style or ""  # the C parser says "" for a plain scalar, the other None
        if not style:
            if value == "" and as_written == "":
                self._nothing(at, here)
                value = None
            elif value == as_written and (becomes := misread_as(as_written)):
                self._misread(as_written, becomes, at, here)
        self._reading.marks[here] = Mark(
            self._start + at,
            self._start + end,
            style,
            None if value == as_written else value,
            self._start + self._key_at,
        )
        self._put(value)

    def _open(self, event: Any, container: Any) -> None:
        at = event.start_mark.index
        if self._key is None and type(self._container) is dict:
            self._stop(
                "yaml-unreadable",
                at,
                "a list or a mapping stands where a key was expected",
                "a key is a word followed by a colon",
            )
        here = self._here(at)
        if event.anchor is not None or event.tag is not None:
            self._refuse(event, here)
        if len(self._stack) >= MAX_DEPTH:
            self._stop(
                "yaml-too-deep",
                at,
                f"values are nested more than {MAX_DEPTH} deep here; no content file needs that",
                "look for a bracket or an indentation too many",
            )
        marks = self._reading.marks
        if len(marks) >= MAX_VALUES:
            self._stop(
                "file-too-large",
                at,
                f"the file holds more than {MAX_VALUES:,} values",
                "split it into several files",
            )
        start = self._start + at
        marks[here] = Mark(start, start, "", None, self._start + self._key_at)
        self._put(container)
        self._stack.append((self._container, self._path))
        self._container, self._path = container, here

    def _take_key(self, event: Any) -> None:
        at = event.start_mark.index
        key: str = event.value
        if event.anchor is not None or event.tag is not None:
            self._refuse(event, self._path)
        self._key_at = at
        if key == "<<" and not event.style:
            self._slip(
                "yaml-alias",
                at,
                "`<<` merges another mapping in; a value stands only where it is written",
                "write the keys out",
            )
            self._reading.spoilt.append(self._path)
            key = self._repeat(key)
        elif key in self._container:
            first = place_at(self._text, self._reading.marks[(*self._path, key)].key)
            self._slip(
                "key-twice",
                at,
                f"the key `{key}` stands here a second time; first on line {first.line}",
                "keep one of the two",
            )
            key = self._repeat(key)
        self._key = key

    def _repeat(self, key: str) -> str:
        """Return a name under which a refused value is read, to be thrown away."""
        name = f"{key}\0{len(self._repeats)}"
        self._repeats.append((self._container, name))
        return name

    def _take_alias(self, event: Any) -> None:
        at = event.start_mark.index
        here = self._here(at)
        message = f"`*{event.anchor}` repeats a value written elsewhere in the file"
        hint = "write the value out; a content file has no aliases"
        if self._key is None and type(self._container) is dict:
            self._stop("yaml-alias", at, message, hint)
        self._slip("yaml-alias", at, message, hint, here)
        self._reading.spoilt.append(here)
        start = self._start + at
        self._reading.marks[here] = Mark(start, start, "", None, self._start + self._key_at)
        self._put(None)

    def _refuse(self, event: Any, here: KeyPath) -> None:
        at = event.start_mark.index
        if event.anchor is not None:
            self._slip(
                "yaml-alias",
                at,
                f"`&{event.anchor}` names a value to be repeated elsewhere",
                "take the name out; a content file has no aliases",
                here,
            )
        if event.tag is not None:
            self._slip(
                "yaml-tag",
                at,
                f"a tag ({_short(event.tag)}) gives this value a type; values are plain text here",
                "take the tag out",
                here,
            )

    def _nothing(self, at: int, here: KeyPath) -> None:
        what = f"after `{here[-1]}:`" if here and isinstance(here[-1], str) else "here"
        self._slip(
            "value-wrong",
            at if self._key is None else self._key_at,
            f"nothing stands {what}",
            "write a value, or leave the line out",
            here,
        )
        self._reading.spoilt.append(here)

    def _misread(self, written: str, becomes: str, at: int, here: KeyPath) -> None:
        self._slip(
            "value-misread-elsewhere",
            at,
            f"`{written}` without quotation marks is {becomes} to other readers of YAML",
            f'write "{written}" in quotation marks',
            here,
        )

    def _slip(
        self, code: str, at: int, message: str, hint: str, path: KeyPath | None = None
    ) -> None:
        self._reading.slips.append(Slip(code, self._start + at, message, hint, path))

    def _stop(self, code: str, at: int, message: str, hint: str) -> NoReturn:
        self._slip(code, at, message, hint)
        raise _Unreadable


def _short(text: str) -> str:
    text = text.replace("tag:yaml.org,2002:", "!!")
    return text if len(text) <= 40 else text[:39] + "…"
