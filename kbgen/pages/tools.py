"""Tools in the page: name a screw, look a serial number up, convert and judge a torque.

Each page has a form that its script answers, and the tables to answer it by where scripts
are off. What the scripts need of the bench is written beside them, one file a tool.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import floor, log10
from typing import Any

from markupsafe import Markup

from kbgen.content import FamilyFile
from kbgen.kept import Record, Same, digest, program_digest
from kbgen.links import address_of
from kbgen.pages.figures import measure, month, stamp
from kbgen.pages.kept_pages import Earlier
from kbgen.pages.shelf import Shelf
from kbgen.pages.views import LinkView, Page
from kbgen.serials import Block, Totals, read_lots, script_rules, totals
from kbgen.units import (
    Known,
    Thread,
    known_of,
    known_threads,
    measure_tables,
    reading_tables,
    tightening,
    torque_tables,
)

__all__ = [
    "TOOL_SCRIPTS",
    "lots_in_words",
    "measure_page",
    "serial_page",
    "tool_file",
    "tool_files",
    "torque_page",
]

TOOL_SCRIPTS = tuple(
    f"scripts/{name}.js" for name in ("ready", "bench", "measure", "serial", "torque")
)
"""The steps of the tools; the tables they go by are made with the site."""

SERIAL = "bench/serial.js"

BANDS_MM = (0, 2, 3, 4, 5, 6, 7, 8, 10, 13, 20, 40)
"""Where the table of threads is divided."""
CLASSES = {False: ("4.6", "8.8"), True: ("grade 1", "grade 5")}
"""The weakest class in use and the usual one, of other threads and of American ones."""
DRY, LUBRICATED, AIM = 0.20, 0.11, 0.75
"""Nut factors and the usual share of proof, as the judgement assumes them."""


@dataclass(frozen=True, slots=True)
class GaugeRow:
    """A thread of the tables with what it reads."""

    thread: Markup
    address: str
    pitch: Markup
    screw: str
    hole: str
    from_memory: bool


@dataclass(frozen=True, slots=True)
class GaugeBand:
    """The threads of a stretch of diameters."""

    heading: str
    rows: tuple[GaugeRow, ...]


@dataclass(frozen=True, slots=True)
class LotRow:
    """A lot as the list of all lots has it."""

    numbers: str
    size: str
    allotted: str
    beside: str


@dataclass(frozen=True, slots=True)
class FamilyLots:
    """The lots of a family and what they add up to; ``works`` each with its share."""

    id: str
    family: LinkView
    lots: tuple[LotRow, ...]
    count: int
    numbers: str
    span: str
    works: str


@dataclass(frozen=True, slots=True)
class SerialView:
    """The page on which serial numbers are looked up."""

    families: tuple[FamilyLots, ...]


@dataclass(frozen=True, slots=True)
class ProofRow:
    """What three quarters of proof is for a screw of the site, in one class."""

    thread: Markup
    address: str
    strength: str
    lubricated: Markup
    dry: Markup


@dataclass(frozen=True, slots=True)
class TorqueView:
    """The page on which torques are converted and judged."""

    threads: tuple[str, ...]
    strengths: tuple[str, ...]
    factors: tuple[tuple[str, str, str], ...]
    proof: tuple[ProofRow, ...]


# --- naming a screw


def measure_page(shelf: Shelf) -> Page:
    """Return the page that names a screw from caliper and gauge."""
    pages = _thread_pages(shelf)
    house = tuple(sorted(shelf.house.threads))
    known = sorted(
        (known_of(thread, memory) for thread, memory in known_threads(house)),
        key=lambda about: (about.major, -about.pitch, str(about.thread)),
    )
    return Page(
        "measure.html",
        "measure",
        "Name a screw",
        "Name a screw or a tapped hole from a caliper and a pitch gauge: every thread it may be.",
        tuple(_bands(known, pages)),
        source="content/",
        bench=True,
    )


def _bands(known: Sequence[Known], pages: dict[str, str]) -> Iterator[GaugeBand]:
    ends = (*BANDS_MM[1:], None)
    for start, end in zip(BANDS_MM, ends, strict=True):
        rows = tuple(
            _gauge_row(about, pages)
            for about in known
            if about.major >= start and (end is None or about.major < end)
        )
        heading = f"{start} to {end} mm" if end else f"over {start} mm"
        if rows:
            yield GaugeBand(heading if start else f"under {end} mm", rows)


def _gauge_row(about: Known, pages: dict[str, str]) -> GaugeRow:
    tpi = f"{about.thread.tpi} tpi" if about.thread.tpi else f"{round(about.pitch, 3):g} mm"
    name = str(about.thread)
    return GaugeRow(
        stamp(name),
        pages.get(name, ""),
        measure(tpi),
        _reads(about.screw),
        _reads(about.bore),
        about.from_memory,
    )


def _reads(between: tuple[float, float]) -> str:
    return f"{between[0]:.2f}–{between[1]:.2f}"


def _thread_pages(shelf: Shelf) -> dict[str, str]:
    """Return the addresses of the threads that have a page, by canonical form."""
    threads = shelf.checked.graph.threads.items()
    return {str(thread): address_of(reference) for reference, thread in threads}


# --- serial numbers


def serial_page(shelf: Shelf) -> Page:
    """Return the page that looks a serial number up, with every lot of every family."""
    families = [family for family in shelf.tree.families.values() if family.model.lots]
    return Page(
        "serial.html",
        "serial",
        "Look a serial number up",
        "What a serial number says: its lot, and how old the machine is at most.",
        SerialView(tuple(_family_lots(shelf, family) for family in families)),
        source="content/families/",
        bench=True,
    )


def _family_lots(shelf: Shelf, family: FamilyFile) -> FamilyLots:
    blocks, _ = read_lots(family.model.lots)
    added = totals(blocks)
    return FamilyLots(
        family.id,
        shelf.family_link(family.id),
        tuple(_lot_row(family, block) for block in blocks),
        added.lots,
        f"{added.numbers:,}",
        _span(added),
        _works(added),
    )


def _lot_row(family: FamilyFile, block: Block) -> LotRow:
    lot = family.model.lots[block.index]
    names = {variant.id: variant.name for variant in family.model.variants}
    beside = (lot.works or "", names.get(lot.variant or "", ""), f"{lot.basis}: {lot.source}")
    return LotRow(
        f"{lot.first} – {lot.last}",
        f"{block.size:,}",
        month(lot.allotted),
        "; ".join(words for words in beside if words),
    )


def _span(added: Totals) -> str:
    first, last = added.earliest[:4], added.latest[:4]
    return first if first == last else f"{first} to {last}"


def _works(added: Totals) -> str:
    named = [f"{works or 'works not known'} {count:,}" for works, count in added.works]
    return ", ".join(named)


def lots_in_words(family: FamilyFile) -> str:
    """Return what a family's lots add up to in a sentence, empty where it has none."""
    blocks, _ = read_lots(family.model.lots)
    if not blocks:
        return ""
    added = totals(blocks)
    lots = "1 lot" if added.lots == 1 else f"{added.lots} lots"
    return f"{added.numbers:,} numbers in {lots}, allotted {_span(added)}: {_works(added)}."


# --- torques


def torque_page(shelf: Shelf) -> Page:
    """Return the page that converts a torque and judges it on a screw."""
    pages = _thread_pages(shelf)
    used = shelf.checked.graph.threads.values()
    tables = torque_tables()
    units = reading_tables()["torque"]
    worth = {name: int(over) / int(under) for name, (over, under) in units["units"].items()}
    return Page(
        "torque.html",
        "torque",
        "Convert a torque",
        "A torque in other units, and what it does to the screw: its share of proof stress.",
        TorqueView(
            threads=tuple(dict.fromkeys(str(thread) for thread in sorted(used) if thread.whole)),
            strengths=tuple(tables["strengths"]),
            factors=tuple(
                (unit, _six_figures(worth[unit]), _six_figures(worth[unit] / worth["lbf·in"]))
                for unit in worth
            ),
            proof=tuple(_proof_rows(used, pages, tables["threads"])),
        ),
        source="content/families/",
        bench=True,
    )


def _six_figures(value: float) -> str:
    """Return a factor in six figures, in plain notation."""
    text = f"{value:.{5 - floor(log10(value))}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _proof_rows(
    threads: Iterable[Thread], pages: dict[str, str], known: dict[str, list[Any]]
) -> Iterator[ProofRow]:
    for thread in sorted(threads):
        if str(thread) not in known or known[str(thread)][1] is None:
            continue
        for strength in CLASSES[bool(known[str(thread)][3])]:
            yield ProofRow(
                stamp(str(thread)),
                pages.get(str(thread), ""),
                strength,
                _aim(thread, strength, LUBRICATED),
                _aim(thread, strength, DRY),
            )


def _aim(thread: Thread, strength: str, factor: float) -> Markup:
    """Return the torque that uses the usual share of proof."""
    share = tightening(thread, 1.0, 1.0, strength, factor).proof_share
    assert share is not None
    return measure(f"{AIM / share[0]:.2g} N·m")


# --- what the scripts go by


def tool_files(shelf: Shelf, earlier: Earlier | None = None) -> Iterator[tuple[str, bytes | Same]]:
    """Yield the tables of the tools as scripts that a page loads, each once.

    Shape: in place of bytes that the site already has stands that they are the same: the
    tables are those of the program, of the house threads and of the threads with a page.
    """
    depends = (program_digest(), repr([str(thread) for thread in sorted(shelf.house.threads)]))
    key = digest(depends[0], depends[1].encode(), repr(_thread_pages(shelf)).encode())
    records = earlier.store.records("tools") if earlier else {}
    fresh = []
    for path, make in _tables(shelf).items():
        record = records.get(path)
        if earlier and record and record.key == key:
            kept = record.data.decode("ascii")
            if earlier.holds(path, kept):
                yield path, Same(kept)
                continue
        data = make()
        if path != SERIAL:  # its families may change at any time, and it is quickly made
            fresh.append((path, Record(key, hashlib.sha256(data).hexdigest().encode("ascii"))))
        yield path, data
    if earlier:
        earlier.store.keep("tools", fresh)


def tool_file(shelf: Shelf, path: str) -> bytes | None:
    """Return one table of the tools, None where there is none such."""
    make = _tables(shelf).get(path)
    return make() if make else None


def _tables(shelf: Shelf) -> dict[str, Callable[[], bytes]]:
    """Return what makes each table, by its path."""
    house = tuple(sorted(shelf.house.threads))
    pages = _thread_pages(shelf)
    return {
        "bench/reading.js": lambda: _script("reading", reading_tables()),
        "bench/measure.js": lambda: _script("measure", {**measure_tables(house), "pages": pages}),
        "bench/torque.js": lambda: _script("torque", {**torque_tables(house), "pages": pages}),
        SERIAL: lambda: _script("serial", {"rules": script_rules(), "families": _families(shelf)}),
    }


def _script(name: str, data: Any) -> bytes:
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"))
    return f"(self.kbgenBench=self.kbgenBench||{{}}).{name}={text};\n".encode()


def _families(shelf: Shelf) -> dict[str, Any]:
    """Return the lots of every family as scripts read them: first, last, date, works and so on."""
    return {
        family.id: {
            "name": family.model.name,
            "lots": [
                [
                    *(lot.first, lot.last, lot.allotted, lot.works, lot.variant),
                    next((v.name for v in family.model.variants if v.id == lot.variant), None),
                    *(str(lot.basis), lot.source),
                ]
                for lot in family.model.lots
            ],
        }
        for family in shelf.tree.families.values()
    }
