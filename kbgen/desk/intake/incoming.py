"""A message as it came, before anything in it is judged."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from kbgen.content.models import CameBy

__all__ = ["LONGEST", "Incoming", "one_line"]

LONGEST = 100_000
"""Characters of one message that are read; no question is so long, and no work is endless."""

_HEAD = 998  # RFC 5322, section 2.1.1: a line is no longer


@dataclass(frozen=True, slots=True)
class Incoming:
    """One message: a letter, a comment, a pasted text.

    Shape: ``label`` says where it was found, ``inbox.mbox, message 3``; ``words`` are as
    written, ``name`` and ``e_mail`` the sender's; ``alias`` is one that was chosen;
    ``about`` is what an export says that it is about; ``identity`` tells the message from
    every other, empty where nothing does; ``replies`` says that it answers another
    comment. ``automatic`` says why no person asks here.
    """

    label: str
    words: str
    came_by: CameBy
    name: str = ""
    e_mail: str = ""
    alias: str = ""
    subject: str = ""
    date: datetime.date | None = None
    about: str = ""
    identity: str = ""
    replies: bool = False
    automatic: str = ""
    attachments: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()


def one_line(text: str) -> str:
    """Return a header or a cell as one line of a bearable length."""
    return " ".join(text[:_HEAD].replace("\x00", " ").split())
