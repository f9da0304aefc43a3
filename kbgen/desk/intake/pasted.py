"""Pasted text → messages: one for each stretch between lines of ``---``, or empty lines.

Shape: above the words of each there may stand lines ``alias: Marigold``, ``date:
2026-03-06``, ``about: winder-evening`` or ``came by: telephone``.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterator

from kbgen.content.models import CameBy
from kbgen.desk.intake.charsets import decoded
from kbgen.desk.intake.comments import day_in
from kbgen.desk.intake.incoming import LONGEST, Incoming, one_line

__all__ = ["read_pasted"]

_LINE = re.compile(r"(?:-[ ]?){3,}|\*{3,}|_{3,}|={3,}")
_KEY = re.compile(
    r"[ \t]*(?P<key>alias|name|from|date|day|about|came[ _]by|subject)[ ]?:[ ]*(?P<value>.*)",
    re.IGNORECASE,
)


def read_pasted(data: bytes, label: str, came_by: CameBy) -> Iterator[Incoming]:
    """Yield every message of a pasted text, in its order."""
    text, remark = decoded(data, "")
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    divided = any(_LINE.fullmatch(line.strip()) for line in lines)
    stretch: list[str] = []
    number = 0
    for line in [*lines, "---" if divided else ""]:
        if not (_LINE.fullmatch(line.strip()) if divided else not line.strip()):
            stretch.append(line)
        elif any(one.strip() for one in stretch):
            number += 1
            yield _incoming(stretch, f"{label}, text {number}", came_by, remark)
            stretch = []


def _incoming(lines: list[str], label: str, came_by: CameBy, remark: str) -> Incoming:
    said: dict[str, str] = {}
    while lines and (not lines[0].strip() or (found := _KEY.fullmatch(lines[0][:300]))):
        if lines[0].strip() and found:
            said[found["key"].lower().replace("_", " ")] = one_line(found["value"])
        lines = lines[1:]
    words = "\n".join(lines)
    remarks = [remark] if remark else []
    if len(words) > LONGEST:
        remarks.append(f"it has {len(words):,} characters; the first {LONGEST:,} were read")
    date: datetime.date | None = day_in(said.get("date", said.get("day", "")))
    came = said.get("came by", "").lower()
    return Incoming(
        label=label,
        words=words[:LONGEST],
        came_by=CameBy(came) if came in tuple(CameBy) else came_by,
        name=said.get("name", said.get("from", "")),
        alias=said.get("alias", ""),
        subject=said.get("subject", ""),
        date=date,
        about=said.get("about", ""),
        remarks=tuple(remarks),
    )
