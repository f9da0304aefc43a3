"""What was handed in → messages, by what it is and not by what it is called alone."""

from __future__ import annotations

import csv
from collections.abc import Iterator

from kbgen.content.models import CameBy, CommentColumns
from kbgen.desk.intake.comments import ColumnsMissing, read_csv, read_json_lines
from kbgen.desk.intake.incoming import Incoming
from kbgen.desk.intake.letters import (
    looks_like_letter,
    looks_like_mailbox,
    read_letter,
    read_mailbox,
)
from kbgen.desk.intake.pasted import read_pasted

__all__ = ["messages_in"]

_TABLES = (".csv", ".tsv")
_LINES = (".jsonl", ".ndjson")


def messages_in(
    name: str, data: bytes, columns: CommentColumns | None, came_by: CameBy
) -> Iterator[Incoming]:
    """Yield every message of what was handed in under a name.

    Shape: a mailbox, a letter, a table or JSON Lines of comments, else pasted text, whose
    messages came by ``came_by``. What is no text at all becomes one message set aside.
    Raises: ColumnsMissing where an export has not the columns that are mapped.
    """
    label = name.replace("\\", "/").rpartition("/")[2]
    ending = f".{label.lower().rpartition('.')[2]}"
    if looks_like_mailbox(data):
        yield from read_mailbox(data, label)
    elif ending in _TABLES or ending in _LINES:
        if columns is None:
            raise ColumnsMissing(f"{label} is an export, and workshop.yaml maps no columns")
        read = read_csv if ending in _TABLES else read_json_lines
        try:
            yield from read(data, label, columns)
        except csv.Error as error:
            yield Incoming(label, "", came_by, automatic=f"the table cannot be read on: {error}")
    elif ending == ".eml" or looks_like_letter(data):
        yield read_letter(data, label)
    elif _is_binary(data):
        yield Incoming(label, "", came_by, automatic="this is no text; it was not opened")
    else:
        yield from read_pasted(data, label, came_by)


def _is_binary(data: bytes) -> bool:
    head = data[:4096]
    return b"\x00" in head and not head.startswith((b"\xff\xfe", b"\xfe\xff"))
