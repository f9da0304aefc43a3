"""Exports of comments, CSV or JSON Lines → messages, by the columns the workshop mapped.

Source: RFC 4180 (CSV, of which exports keep half: separators and line ends are looked
for); JSON Lines is one JSON value (RFC 8259) on each line.
"""

from __future__ import annotations

import csv
import datetime
import io
import json
import re
from collections.abc import Iterator, Mapping
from email.utils import parsedate_to_datetime
from typing import Any

from kbgen.content.models import CameBy, CommentColumns
from kbgen.desk.intake.charsets import decoded
from kbgen.desk.intake.incoming import LONGEST, Incoming, one_line

__all__ = ["ColumnsMissing", "day_in", "read_csv", "read_json_lines"]

_HEAD_LENGTH = 10_000


class ColumnsMissing(ValueError):
    """An export without the columns that are mapped in workshop.yaml.

    Shape: ``columns`` are those that it has.
    """

    def __init__(self, message: str, columns: tuple[str, ...] = ()) -> None:
        super().__init__(message)
        self.columns = columns


def read_csv(data: bytes, label: str, columns: CommentColumns) -> Iterator[Incoming]:
    """Yield a message for each row of a table. Raises: ColumnsMissing, csv.Error."""
    text, _ = decoded(data, "")
    text = text.replace("\x00", " ")
    csv.field_size_limit(max(len(text), 131_072))
    rows = csv.reader(io.StringIO(text, newline=""), delimiter=_separator(text), strict=False)
    names = tuple(name.strip() for name in next(rows, []))
    if columns.words not in names:
        raise ColumnsMissing(f"{label} has no column `{columns.words}`", names)
    for number, row in enumerate(rows, 1):
        if any(cell.strip() for cell in row):
            cells = dict(zip(names, row, strict=False))
            yield _incoming(cells, f"{label}, row {number}", columns)


def _separator(text: str) -> str:
    """Return the sign that separates the names of the columns."""
    line = text[:_HEAD_LENGTH].lstrip().partition("\n")[0]
    return max(",;\t|", key=line.count)


def read_json_lines(data: bytes, label: str, columns: CommentColumns) -> Iterator[Incoming]:
    """Yield a message for each line; one that is no JSON object becomes one set aside."""
    text, _ = decoded(data, "")
    for number, line in enumerate(text.splitlines(), 1):
        if not line.strip():
            continue
        where = f"{label}, line {number}"
        try:
            row = json.loads(line)
        except (ValueError, RecursionError) as error:
            slip = "nested too deeply" if isinstance(error, RecursionError) else str(error)
            yield Incoming(where, "", CameBy.COMMENT, automatic=f"this is no JSON: {slip}"[:200])
            continue
        if isinstance(row, dict):
            yield _incoming(row, where, columns)
        else:
            yield Incoming(where, "", CameBy.COMMENT, automatic="this is no JSON object")


def _incoming(row: Mapping[str, Any], label: str, columns: CommentColumns) -> Incoming:
    def cell(name: str | None) -> str:
        value = row.get(name) if name else None
        return str(value) if isinstance(value, str | int | float) else ""

    words, key, date = cell(columns.words), cell(columns.key).strip(), cell(columns.date)
    day = day_in(date)
    remarks = []
    if len(words) > LONGEST:
        remarks.append(f"it has {len(words):,} characters; the first {LONGEST:,} were read")
    if date.strip() and day is None:
        remarks.append(f"its date {one_line(date)[:40]!r} can be read in no one way")
    return Incoming(
        label=label,
        words=words[:LONGEST],
        came_by=CameBy.COMMENT,
        name=one_line(cell(columns.name)),
        date=day,
        about=one_line(cell(columns.about)),
        identity=f"comment:{key[:500]}" if key else "",
        replies=bool(cell(columns.parent).strip()),
        remarks=tuple(remarks),
    )


_EPOCH_DAYS = re.compile(r"1?\d{9}(?:\d{3})?(?:\.\d+)?")


def day_in(text: str) -> datetime.date | None:
    """Return the day that an export writes, None where it is written in no one way.

    Shape: ISO 8601, RFC 5322, seconds or milliseconds since 1970 (UTC), 27.3.2026, and
    numbers with strokes where only one order makes a day.
    """
    text = text.strip()[:80]
    if found := re.match(r"(\d{4})-(\d\d)-(\d\d)(?![\d])", text):
        return _day(int(found[1]), int(found[2]), int(found[3]))
    if found := re.match(r"(\d{1,2})\. ?(\d{1,2})\. ?(\d{4})\b", text):
        return _day(int(found[3]), int(found[2]), int(found[1]))
    if found := re.match(r"(\d{1,2})/(\d{1,2})/(\d{4})\b", text):
        year, one, two = int(found[3]), int(found[1]), int(found[2])
        days = {day for day in (_day(year, one, two), _day(year, two, one)) if day}
        return days.pop() if len(days) == 1 else None
    if _EPOCH_DAYS.fullmatch(text):
        seconds = float(text) / (1000 if len(text.partition(".")[0]) > 10 else 1)
        return datetime.datetime.fromtimestamp(seconds, datetime.UTC).date()
    try:
        return parsedate_to_datetime(text).date()
    except (ValueError, TypeError, IndexError, OverflowError):
        return None


def _day(year: int, month: int, day: int) -> datetime.date | None:
    try:
        return datetime.date(year, month, day)
    except ValueError:
        return None
