"""What every parser is given in great numbers, and the parsers that are given it."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

from kbgen.content import load_note, parse_markdown, render_markdown
from kbgen.content.captions import captions_of
from kbgen.content.files import load_yaml, read_question
from kbgen.content.models import CameBy
from kbgen.content.shape import FAMILY
from kbgen.desk.intake import messages_in
from kbgen.desk.intake.abuse import without_abuse
from kbgen.desk.intake.aliases import Asker, without_personal
from kbgen.desk.intake.cleaning import readable, without_quotes, without_signature
from kbgen.desk.intake.hypertext import text_of_html
from kbgen.links import parse_ledger, parse_reference
from kbgen.search import analyse
from kbgen.search.quantities import quantity_terms
from kbgen.text import NotationError
from kbgen.units import parse_length, parse_thread, parse_tightness, parse_torque, scan

FRONT = """---
title: TITLE
standing: draft
authors: [a]
symptom: [b]
families: []
causes: [{cause: a, tell: b}]
fix: f
before: {people: one, tools: none, supplies: none, spares: none}
works_when: w
first_published: 2026-01-01
revised: 2026-01-01
---
"""
ASKED = "---\ndate: 2026-01-01\nalias: H. B.\ncame_by: letter\n---\n"
BOX = b"From a Fri Mar  6 21:04:11 2026\nSubject: a\n\n"
ASKER = Asker("Hazel Brightwater", "hazel@example.org", handle=False)
NOTE = "content/notes/0001-a.md"


def parsed(parse: Callable[[str], object]) -> Callable[[str], object]:
    """Return a parser that may refuse what it is given, and must not do anything else."""

    def run(text: str) -> object:
        try:
            return parse(text)
        except NotationError as refused:
            return refused

    return run


PARSERS: dict[str, Callable[[str], object]] = {
    "scan": scan,
    "thread": parsed(parse_thread),
    "torque": parsed(parse_torque),
    "length": parsed(parse_length),
    "tightness": parsed(parse_tightness),
    "reference": parsed(parse_reference),
    "markdown": lambda text: render_markdown(parse_markdown(text), lambda *_: "#"),
    "body of a note": lambda text: load_note(NOTE, (FRONT + text).encode()),
    "title of a note": lambda text: load_note(
        NOTE, FRONT.replace("TITLE", text.replace("\n", " ")).encode()
    ),
    "front matter": lambda text: load_note(NOTE, f"---\n{text}\n---\n".encode()),
    "question": lambda text: read_question("content/questions/Q0001-a.md", (ASKED + text).encode()),
    "yaml": lambda text: load_yaml(FAMILY, "content/families/a.yaml", text.encode()),
    "webvtt": lambda text: captions_of("content/recordings/a.vtt", "WEBVTT\n\n" + text),
    "caption": lambda text: captions_of(
        "content/recordings/a.vtt", "WEBVTT\n\n00:01.000 --> 00:02.000\n" + text
    ),
    "srt": lambda text: captions_of("content/recordings/a.srt", text),
    "ledger": lambda text: parse_ledger(text.encode()),
    "search": analyse,
    "quantities": quantity_terms,
    "letter": lambda text: list(messages_in("a.eml", text.encode(), None, CameBy.LETTER)),
    "mailbox": lambda text: list(messages_in("a", BOX + text.encode(), None, CameBy.LETTER)),
    "pasted text": lambda text: list(messages_in("-", text.encode(), None, CameBy.LETTER)),
    "hypertext": text_of_html,
    "what is new": lambda text: without_signature(without_quotes(readable(text))),
    "personal data": lambda text: without_personal(text, ASKER, "H. B.", "GB"),
    "alias": ASKER.alias,
    "abuse": without_abuse,
}

# What a pattern or a parser may stumble over when it is said over and over.
PIECES: tuple[str, ...] = tuple(
    json.loads(Path(__file__).with_name("data").joinpath("pieces.json").read_text("utf-8"))
)
