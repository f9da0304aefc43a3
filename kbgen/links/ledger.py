"""The address ledger: every address and anchor ever published, and where it leads today.

Shape of ``content/addresses.tsv``: one head line beginning with ``#``, then one line an
address, sorted: the address, a tab, and where it leads: itself while it stands, another
address once it has moved. The build adds lines and follows successors; a person only
ever changes the second column.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path

from kbgen.content import LEDGER_PATH
from kbgen.findings import Finding, finding
from kbgen.kept import digest

__all__ = [
    "Entry",
    "Forward",
    "Ledger",
    "format_ledger",
    "forwards",
    "kept_anchors",
    "load_ledger",
    "merged_ledger",
    "parse_ledger",
    "promised_anchors",
    "sum_of_ledger",
]

_HEAD = (
    "# Every address and anchor ever published, a tab, and where it leads today. "
    "kbgen build keeps this file; change a second column to name a successor, remove nothing."
)
_ADDRESS = re.compile(
    r"(?:[a-z0-9]+/)*[a-z0-9_]+(?:[.-][a-z0-9_]+)*\.html(?:#[a-z0-9]+(?:-[a-z0-9]+)*)?"
)


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the ledger.

    Shape: ``line`` and ``column`` (1-based) are where the second column stands in the
    file; both 1 for a line that is not in the file yet.
    """

    address: str
    leads_to: str
    line: int = 1
    column: int = 1

    @property
    def stands(self) -> bool:
        """Whether the address is published today."""
        return self.address == self.leads_to


@dataclass(frozen=True, slots=True)
class Ledger:
    """Every line of the ledger by its address, sorted."""

    entries: Mapping[str, Entry] = field(default_factory=dict)

    @staticmethod
    def of(leads: Mapping[str, str]) -> Ledger:
        """Return the ledger in which each address leads where ``leads`` says."""
        return Ledger({address: Entry(address, leads[address]) for address in sorted(leads)})


@dataclass(frozen=True, slots=True)
class Forward:
    """A page that is no more, and where a reader of its address is taken.

    Shape: ``new`` may end in an anchor; ``anchors`` are the old page's anchors with
    the address each of them leads to.
    """

    old: str
    new: str
    anchors: tuple[tuple[str, str], ...]


def load_ledger(root: Path) -> tuple[Ledger, tuple[Finding, ...]]:
    """Return the ledger of a tree, empty where there is none yet, and what is wrong with it.

    Raises: OSError where the file is there and the machine does not give it.
    """
    path = root / LEDGER_PATH
    if not os.path.lexists(path):
        return Ledger(), ()
    if not path.is_file():
        return Ledger(), (_damaged(1, 1, "this is no plain file"),)
    # A ledger that vanishes just now is not one that never was: its addresses would be lost.
    return parse_ledger(path.read_bytes())


def sum_of_ledger(root: Path) -> bytes:
    """Return a digest of the bytes of a tree's ledger, of none where there is none yet.

    Raises: OSError where the file is there and the machine does not give it.
    """
    path = root / LEDGER_PATH
    return digest(path.read_bytes() if path.is_file() else b"")


@lru_cache(maxsize=1)  # a proof reads the same one after every save
def parse_ledger(data: bytes) -> tuple[Ledger, tuple[Finding, ...]]:
    """Return the ledger in the bytes of its file, and a finding for every damaged line."""
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as slip:
        number = data.count(b"\n", 0, slip.start) + 1
        return Ledger(), (_damaged(number, 1, "these bytes are not UTF-8"),)
    lines = re.split(r"\r\n|\n", text)
    if not lines[0].startswith("#"):
        return Ledger(), (
            _damaged(1, 1, f"the file begins with {lines[0][:40]!r} and not with its head line"),
        )
    entries: dict[str, Entry] = {}
    wrong: list[Finding] = []
    for number, line in enumerate(lines[1:], 2):
        if line or number < len(lines):
            _read_line(number, line, entries, wrong)
    return Ledger({address: entries[address] for address in sorted(entries)}), tuple(wrong)


def _read_line(number: int, line: str, entries: dict[str, Entry], wrong: list[Finding]) -> None:
    """Add one line to the entries, or say what is wrong with it."""
    address, tab, leads_to = line.partition("\t")
    if not tab:
        wrong.append(_damaged(number, 1, f"{line[:60]!r} is not an address, a tab, an address"))
        return
    for said, column in ((address, 1), (leads_to, len(address) + 2)):
        if not _ADDRESS.fullmatch(said):
            wrong.append(_damaged(number, column, f"{said[:60]!r} is no address of a site"))
            return
    if address in entries:
        first = entries[address].line
        wrong.append(_damaged(number, 1, f"{address} has a line already, line {first}"))
        return
    entries[address] = Entry(address, leads_to, number, len(address) + 2)


def _damaged(line: int, column: int, what: str) -> Finding:
    return finding(
        "address-ledger-damaged",
        LEDGER_PATH,
        line,
        column,
        f"{what}; the ledger must hold every address ever published",
        "take the file, or the line, from the version control and build again",
    )


def format_ledger(ledger: Ledger) -> bytes:
    """Return the bytes of the ledger's file: head line, then every address, sorted."""
    lines = [_HEAD]
    lines += [
        f"{address}\t{ledger.entries[address].leads_to}" for address in sorted(ledger.entries)
    ]
    return ("\n".join(lines) + "\n").encode("utf-8")


def merged_ledger(ledger: Ledger, published: Ledger) -> Ledger:
    """Return a ledger with every address of another that it lacks."""
    leads = {entry.address: entry.leads_to for entry in published.entries.values()}
    leads |= {entry.address: entry.leads_to for entry in ledger.entries.values()}
    return Ledger.of(leads)


def forwards(ledger: Ledger) -> tuple[Forward, ...]:
    """Return the pages that lead on, sorted; each needs a page that takes readers along."""
    moved = [entry for entry in ledger.entries.values() if not entry.stands]
    pages = [entry for entry in moved if "#" not in entry.address]
    return tuple(
        Forward(page.address, page.leads_to, _anchors_of(page.address, moved)) for page in pages
    )


def promised_anchors(ledger: Ledger) -> dict[str, list[str]]:
    """Return every page that was ever published, with all its anchors."""
    found: dict[str, list[str]] = {}
    for address in ledger.entries:
        page, hash_, anchor = address.partition("#")
        anchors = found.setdefault(page, [])
        if hash_:
            anchors.append(anchor)
    return found


def kept_anchors(ledger: Ledger) -> dict[str, tuple[tuple[str, str], ...]]:
    """Return the anchors that standing pages keep for old links: page → (anchor, leads to).

    An anchor that leads on within its page becomes an empty element at the new place;
    one that leads elsewhere becomes a line with a link.
    """
    kept: dict[str, list[tuple[str, str]]] = {}
    for entry in ledger.entries.values():
        page, hash_, anchor = entry.address.partition("#")
        if hash_ and not entry.stands and _stands(ledger, page):
            kept.setdefault(page, []).append((anchor, entry.leads_to))
    return {page: tuple(sorted(anchors)) for page, anchors in sorted(kept.items())}


def _stands(ledger: Ledger, page: str) -> bool:
    entry = ledger.entries.get(page)
    return entry is not None and entry.stands


def _anchors_of(page: str, moved: Iterable[Entry]) -> tuple[tuple[str, str], ...]:
    start = f"{page}#"
    return tuple(
        (entry.address.removeprefix(start), entry.leads_to)
        for entry in moved
        if entry.address.startswith(start)
    )
