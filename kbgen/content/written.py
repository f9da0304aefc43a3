"""Values → front matter in the house's own hand, that reads back as it was given.

Free texts stand in double quotation marks, words and days are plain; what is short
stands on one line, as in a note that a person wrote.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Mapping, Sequence
from typing import Any

import yaml

from kbgen.content.decode import only_seen
from kbgen.content.misread import misread_as

__all__ = ["front_matter", "in_one_line"]

_PLAIN = re.compile(r"[A-Za-z0-9]+(?:[ /_-][A-Za-z0-9]+)*", re.ASCII)
_MAPPING = "tag:yaml.org,2002:map"
_SEQUENCE = "tag:yaml.org,2002:seq"


class _Dumper(yaml.SafeDumper):
    """A writer that sets the items of a list in from their key."""

    def increase_indent(self, flow: bool = False, indentless: bool = False) -> None:  # noqa: ARG002
        """Never leave a list at the indentation of its key."""
        super().increase_indent(flow, indentless=False)


def front_matter(values: Mapping[str, Any]) -> str:
    """Return the front matter of a note or a question, its two fences included.

    Shape: values are texts, whole numbers, days, lists and mappings of them; None is
    left out. A text is written as ``in_one_line`` gives it.
    """
    node = _mapping(values, flow=False)
    written = yaml.serialize(node, Dumper=_Dumper, allow_unicode=True, width=1_000_000)
    return f"---\n{written}---\n"


def in_one_line(text: str) -> str:
    """Return a text as one line, without what no editor shows; no-break spaces stay."""
    return re.sub(r"[ \t\n]+", " ", only_seen(text)).strip()


def _node(value: Any) -> yaml.Node:
    match value:
        case Mapping():
            return _mapping(value, flow=_short(value.values()))
        case str() | int() | datetime.date():
            return _scalar(str(value))
        case Sequence():
            flow = all(isinstance(item, str) and _is_plain(item) for item in value)
            return yaml.SequenceNode(_SEQUENCE, list(map(_node, value)), flow_style=flow)
    raise TypeError(f"front matter has no place for a {type(value).__name__}")


def _mapping(values: Mapping[str, Any], flow: bool) -> yaml.MappingNode:
    pairs = [(_scalar(key), _node(value)) for key, value in values.items() if value is not None]
    return yaml.MappingNode(_MAPPING, pairs, flow_style=flow)


def _short(values: Any) -> bool:
    """Return whether a mapping holds nothing but words, numbers and times."""
    return all(isinstance(value, str | int) and len(str(value)) < 40 for value in values)


def _is_plain(text: str) -> bool:
    return _PLAIN.fullmatch(text) is not None and len(text) < 65 and misread_as(text) is None


def _scalar(text: str) -> yaml.ScalarNode:
    text = in_one_line(text)
    if not _is_plain(text):
        # In double quotation marks the writer would spell out what is beyond U+FFFF.
        style = '"' if text.isascii() or max(text) <= "\uffff" else "'"
        return yaml.ScalarNode("tag:yaml.org,2002:str", text, style=style)
    # The type that others may see in it: so the writer adds neither marks nor a tag.
    return yaml.ScalarNode(_RESOLVER.resolve(yaml.ScalarNode, text, (True, False)), text)


_RESOLVER: Any = yaml.resolver.Resolver()
