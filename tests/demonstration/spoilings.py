"""For every code, one edit of the demonstration that brings it up.

All edits are laid over one copy of the content together, each on a place of its own;
what would hide other findings stands in ``ALONE`` and gets a copy for itself. A path
may hold a star; it must then name exactly one file.
"""

from __future__ import annotations

import os
import re
import struct
import zlib
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path

from PIL import Image

__all__ = ["ALONE", "SPOILINGS", "Spoiling", "spoil"]


@dataclass(frozen=True, slots=True)
class Add:
    """Text at the end of a file."""

    path: str
    text: str


@dataclass(frozen=True, slots=True)
class Change:
    """The first match of a pattern, replaced; a file where it is not found is refused."""

    path: str
    pattern: str
    new: str


@dataclass(frozen=True, slots=True)
class Put:
    """A file of its own."""

    path: str
    data: str | bytes


@dataclass(frozen=True, slots=True)
class Gone:
    """A file taken away."""

    path: str


@dataclass(frozen=True, slots=True)
class Strange:
    """A name that is no plain file: a pipe, or a link that leads where ``to`` says."""

    path: str
    to: str = ""


Spoiling = Add | Change | Put | Gone | Strange


def _note(number: int) -> str:
    """Return the pattern of a note's path."""
    return f"notes/{number:04}-*.md"


def _says(number: int, sentence: str) -> tuple[Add]:
    """Return the edit that adds a sentence to a note."""
    return (Add(_note(number), f"\n{sentence}\n"),)


def _part(name: str, data: str | bytes) -> tuple[Put]:
    """Return the edit that puts a part there."""
    return (Put(f"parts/{name}.yaml", data),)


def _png(size: tuple[int, int], frames: int = 1) -> bytes:
    """Return a picture that is always the same, in so many frames."""
    images = [Image.effect_mandelbrot(size, (-2, -1, 1, 1), 9 + k) for k in range(frames)]
    buffer = BytesIO()
    images[0].save(buffer, "PNG", save_all=frames > 1, append_images=images[1:])
    return buffer.getvalue()


def _claiming(width: int, height: int) -> bytes:
    """Return a small picture whose head claims to be larger."""
    data = bytearray(_png((8, 8)))
    data[16:24] = struct.pack(">II", width, height)
    data[29:33] = struct.pack(">I", zlib.crc32(data[12:29]))
    return bytes(data)


LONELY = """---
title: Nothing leads here
standing: published
authors: [workshop]
symptom: [Nobody asks for it]
families: [halverin-h]
causes: [{cause: Nobody knows, tell: It stands alone}]
fix: Link to it.
before: {people: one, tools: none, supplies: none, spares: none}
works_when: Something leads here.
first_published: 2026-01-10
revised: 2026-01-10
---
Words.
"""
FILM = """title: A film about one family alone
date: 2026-01-10
address: https://video.example.org/odd-evening
length: "10:00"
chapters: [{at: "00:05", title: The lid, note: 58}]
"""
ROW = "basis: measured, source: one machine"

SPOILINGS: dict[str, tuple[Spoiling, ...]] = {
    "thread-in-no-series": _says(39, "The other one is M4x0.8."),
    "series-on-wrong-pair": _says(40, "It takes 1/4-20 UNF."),
    "thread-not-declared": _says(42, "It takes 13/64-34 house."),
    "thread-said-in-part": _says(43, "The cover screw has 20 TPI."),
    "torque-units-disagree": _says(44, "Tighten it to 12 N·m (20 lbf·ft)."),
    "length-units-disagree": _says(45, "It is 9.5 mm (1/2 in) long."),
    "unit-spelling-ambiguous": _says(46, "Tighten it to 12 lb."),
    "file-unreadable": (Strange("notes/0901-pipe.md"),),
    "file-too-large": (Put("notes/0902-large.md", "x" * 1_000_001),),
    "file-unknown": (Put("notes/winder.txt", "x\n"),),
    "file-empty": _part("empty", "\n\n"),
    "name-wrong": (Put("notes/17 Winder Tyre.md", LONELY),),
    "name-reserved": (Put("parts/con.yaml", "name: Converter\nobtained: bought\n"),),
    "name-collides": (Put("photos/Winder-Tyre.png", b"\x89PNG"),),
    "number-twice": (Put("notes/0093-again.md", LONELY),),
    "id-twice": (
        Change(
            "families/ostrell-treadle.yaml",
            r"\nsettings:\n",
            f"\n  - {{id: caster-stem, where: Odd stem, thread: 1/2-13 UNC, {ROW}}}\nsettings:\n",
        ),
    ),
    "link-outside": (Strange("notes/0904-outside.md", "/"),),
    "text-undecodable": _part("undecodable", "name: ½\n".encode("cp1252")),
    "byte-order-mark": (Change(_note(47), r"\A", "\ufeff"),),
    "text-unseen": _says(48, "The screw\u202e turns."),
    "front-matter-missing": (Put("notes/0905-plain.md", "Only words.\n"),),
    "yaml-unreadable": _part("unreadable", "name: Winder: tyre\n"),
    "yaml-tab": _part("tab", "name: x\n\tobtained: gift\n"),
    "yaml-too-deep": _part("deep", f"name: {'[' * 13}{']' * 13}\nobtained: gift\n"),
    "markdown-too-deep": _says(50, ">" * 24 + " deep"),
    "yaml-alias": _part("alias", "name: &name x\nsummary: *name\nobtained: gift\n"),
    "yaml-tag": _part("tag", "name: !!str x\nobtained: gift\n"),
    "yaml-documents": _part("documents", "name: x\nobtained: gift\n---\nname: y\n"),
    "key-twice": _part("twice", "name: x\nname: y\nobtained: gift\n"),
    "key-unknown": (Change(_note(51), r"\nsymptom:\n", "\nsympton: [x]\nsymptom:\n"),),
    "key-missing": _part("missing", "name: x\n"),
    "value-wrong": (Change(_note(52), r"\nrevised: .*", "\nrevised: 2026-3-4"),),
    "value-misread-elsewhere": (
        Change("recordings/letters-may.yaml", r'at: "12:45"', "at: 12:45"),
    ),
    "dates-out-of-order": (
        Change(_note(53), r"\nfirst_published: .*", "\nfirst_published: 2027-01-01"),
    ),
    "answer-incomplete": (Change("questions/Q0003-*.md", r"\nanswered_by: .*", ""),),
    "successor-missing": (Change(_note(54), "standing: published", "standing: withdrawn"),),
    "tightness-twice": (
        Change(
            "families/sablefin-toy.yaml", r'torque: "1.0 N·m', 'tightness: snug, torque: "1.0 N·m'
        ),
    ),
    "chapter-out-of-order": (
        Change("recordings/timing-night.yaml", r'at: "\d\d:\d\d"', 'at: "55:50"'),
    ),
    "captions-wrong": (Change("recordings/seized-evening.vtt", r"\n[0-9:.]+ -->", "\n12.40 -->"),),
    "link-leads-nowhere": _says(55, "See [it](part:no-such-part)."),
    "link-to-draft": _says(65, "See [it](note:101)."),
    "link-to-withdrawn": _says(57, "See [it](note:10)."),
    "link-scheme-unsafe": _says(58, "See [the shop](file:///home)."),
    "nothing-leads-here": (Put("notes/0906-nothing-leads-here.md", LONELY),),
    "address-would-be-lost": (Add("addresses.tsv", "m/zz-old.html\tm/zz-old.html\n"),),
    "address-taken-again": (
        Change("addresses.tsv", r"\nn/0077.html\t.*", "\nn/0077.html\tnotes.html"),
    ),
    "address-ledger-damaged": (Add("addresses.tsv", "a line without a tab\n"),),
    "figure-unreadable": (
        Change("families/brackmoor-vs.yaml", r'torque: "[^"]*"', "torque: hand tight or so"),
    ),
    "prose-contradicts-register": _says(1, "On the Halverin the needle clamp screw is M4x0.7."),
    "caption-contradicts-register": (
        Put("recordings/odd-evening.yaml", FILM),
        Put(
            "recordings/odd-evening.vtt",
            "WEBVTT\n\n00:00:10.000 --> 00:00:14.000\nThe lid screw is M5x0.8.\n",
        ),
    ),
    "show-notes-refused": (
        Change("recordings/treadle-evening.yaml", r'at: "00:00"', 'at: "00:01"'),
    ),
    "question-repeats-later-one": (
        Change("questions/Q0001-*.md", r"\nstanding:", "\nsame_as: 2\nstanding:"),
    ),
    "answer-for-another-family": (
        Change("questions/Q0030-*.md", r"families: \[[^\]]*\]", "families: [sablefin-toy]"),
    ),
    "answer-without-caution": (
        Change("questions/Q0045-*.md", r"answer: >-\n", "answer: >-\n  Rewire the lamp holder.\n"),
    ),
    "personal-data": (Add("questions/Q0060-*.md", "\nRing me on 01632 960123.\n"),),
    "caption-figure-wrong": (
        Add("recordings/dating-evening.vtt", "\n00:48:10.000 --> 00:48:14.000\nIt is M4x0.8.\n"),
    ),
    "withdrawn-figure-stands": _says(64, "The winder bracket screw is 9/64-40."),
    "figure-away-from-home": _says(56, "Tighten the follower pivot screw to 4 N·m."),
    "places-disagree": (
        Change(
            _note(59),
            r"\nfasteners:\n",
            f"\nfasteners:\n  - {{where: Odd post, thread: M4x0.7, {ROW}}}\n",
        ),
        Change(
            _note(61),
            r"\nfasteners:\n",
            f"\nfasteners:\n  - {{where: Odd post, thread: M5x0.8, {ROW}}}\n",
        ),
    ),
    "figure-disputed": (
        Change(
            "families/teaselby-hand.yaml",
            r"- \{id: hub-screw, ",
            "- {id: hub-screw, disputed: [{says: 10-32 UNF, source: a reader}], ",
        ),
    ),
    "torque-above-proof": (
        Change("families/corvane-portable.yaml", r"torque: 3\.0 N·m.*", "torque: 60 N·m"),
    ),
    "torque-high": (
        Change(
            "families/quillant-freearm.yaml",
            r'strength: "8.8", torque: "[^"]*"',
            'strength: "8.8", torque: "12 N·m"',
        ),
    ),
    "torque-low": (
        Change("families/marrowby-40.yaml", r'torque: "9 N·m \(80 lbf·in\)"', 'torque: "0.1 N·m"'),
    ),
    "strength-unknown": (
        Change("families/dunmere-k3.yaml", r'strength: "8.8"', "strength: very hard"),
    ),
    "mix-up": (
        Change(
            "families/halverin-h.yaml",
            r"\nsettings:\n",
            f"\n  - {{id: odd-bolt, where: Odd bolt, thread: 1/2-13 UNC, {ROW}}}"
            f"\n  - {{id: odd-nut, where: Odd nut, thread: 1/2-20 UNF, {ROW}}}\nsettings:\n",
        ),
    ),
    "house-thread-is-standard": (
        Add(
            "threads.yaml", "- thread: 1/4-20 house\n  where: lid\n  basis: measured\n  source: x\n"
        ),
    ),
    "house-thread-declared-twice": (
        Add(
            "threads.yaml", "- thread: 3/8-22 house\n  where: lid\n  basis: measured\n  source: x\n"
        ),
    ),
    "mains-work-without-caution": _says(8, "Cut the perished flex off and fit a new one."),
    "hazard-missing": _says(13, "Brush it with white spirit."),
    "hazard-unknown": (Change(_note(15), r"hazards: \[wrong-thread\]", "hazards: [wrong-thred]"),),
    "hazard-without-consequence": (
        Add("hazards.yaml", "- id: odd\n  signal: danger\n  hazard: Odd.\n  avoid: Do not.\n"),
    ),
    "part-does-not-fit": (
        Change(_note(68), r"\nparts:\n", "\nparts:\n  - {part: needle-flat, quantity: 1}\n"),
    ),
    "part-harms": (
        Change(_note(95), r"\nrecordings:\n", "\nparts: [{part: winder-tyre}]\nrecordings:\n"),
    ),
    "fit-said-twice": (
        Change(
            "parts/winder-tyre-thick.yaml",
            r"\nfits:\n",
            "\nfits:\n  - {family: marrowby-40, verdict: fits, why: It does., source: once}\n",
        ),
    ),
    "photo-disguised": (Put("photos/disguised.jpg", "<!DOCTYPE html>\n<title>Gone</title>\n"),),
    "photo-moves": (Put("photos/moves.png", _png((2, 2), frames=2)),),
    "photo-too-large": (Put("photos/large.png", _claiming(60_000, 60_000)),),
    "photo-unreadable": (Put("photos/half.png", _png((64, 64))[:90]),),
    "photo-words-say-nothing": (Change(_note(62), r'alt: "[^"]*"', "alt: photo"),),
    "photo-missing": (Gone("photos/lamp-caps.png"),),
    "successor-in-a-circle": (
        Change(_note(11), "standing: published", "standing: withdrawn\nsuccessor: 10"),
    ),
    "variant-unknown": (
        Change("families/corvane-portable.yaml", r"variants: \[series-1\]", "variants: [series-9]"),
    ),
    "lots-overlap": (Change("families/teaselby-hand.yaml", r'"T 18001"', '"T 17000"'),),
    "lot-count-wrong": (
        Change(
            "families/halverin-h.yaml",
            r"last: HA 24000, allotted",
            "last: HA 24000, count: 2400, allotted",
        ),
    ),
    "lots-out-of-order": (
        Change("families/halverin-h.yaml", r'allotted: "1913-06"', 'allotted: "1907-06"'),
    ),
    "lots-gap": (Change("families/halverin-h.yaml", r"first: HC 30001", "first: HC 30101"),),
    "note-unfinished": (Change(_note(60), r"\nfix: .*", "\nfix: not written yet"),),
}

ALONE = frozenset({"address-ledger-damaged"})


def spoil(content: Path, spoiling: Spoiling) -> str:
    """Lay one edit over a copy of the content; return the path it touched, as findings say it.

    Raises: ValueError when the demonstration no longer holds what the edit begins from.
    """
    target = _target(content, spoiling.path)
    match spoiling:
        case Add(_, text):
            target.write_text(target.read_text(encoding="utf-8") + text, encoding="utf-8")
        case Change(path, pattern, new):
            old = target.read_text(encoding="utf-8")
            changed, times = re.subn(pattern, lambda _: new, old, count=1)
            if not times:
                raise ValueError(f"{path} no longer holds {pattern!r}: choose another place")
            target.write_text(changed, encoding="utf-8")
        case Put(_, data):
            target.write_bytes(data.encode() if isinstance(data, str) else data)
        case Gone():
            target.unlink()
        case Strange(_, ""):
            os.mkfifo(target)
        case Strange(_, to):
            target.symlink_to(to)
    return f"content/{target.relative_to(content).as_posix()}"


def _target(content: Path, path: str) -> Path:
    if "*" not in path:
        return content / path
    found = sorted(content.glob(path))
    if len(found) != 1:
        raise ValueError(f"{path} names {len(found)} files of the demonstration, expected one")
    return found[0]
