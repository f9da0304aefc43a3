"""The typed knowledge base: content files → models, with the place of every value.

The only user of YAML and of the Markdown parser. Wrong content becomes findings, all
of them in one run; ``load_note`` is a pure function of a note's bytes.
Names are loaded when they are first asked for, so that a command at the bench does not
wait for the models.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from kbgen.content import models
    from kbgen.content.asked import (
        answering_note,
        askings,
        first_asked,
        is_shown,
        question_pages,
    )
    from kbgen.content.captions import Caption
    from kbgen.content.decode import only_seen
    from kbgen.content.edit import set_keys
    from kbgen.content.files import load_note, read_file
    from kbgen.content.house import load_house_threads
    from kbgen.content.json_schema import schemas
    from kbgen.content.load import load_captions, load_lists, load_tree, load_whole_tree
    from kbgen.content.markdown import (
        Token,
        is_unsafe,
        leading_to,
        parse_markdown,
        plain_text,
        plain_texts,
        render_markdown,
    )
    from kbgen.content.marks import KeyPath, Mark
    from kbgen.content.numbers import add_numbered, next_number
    from kbgen.content.plain_yaml import read_plain
    from kbgen.content.root import LEDGER_PATH, TreeMissing, find_root
    from kbgen.content.source import Place, Source
    from kbgen.content.started import UNWRITTEN, started_note, write_started
    from kbgen.content.tree import (
        Body,
        FamilyFile,
        Filed,
        HazardsFile,
        Loaded,
        Note,
        PartFile,
        Question,
        RecordingFile,
        SymptomsFile,
        ThreadsFile,
        Tree,
        VocabularyFile,
        WorkshopFile,
    )
    from kbgen.content.written import front_matter, in_one_line

__all__ = [
    "LEDGER_PATH",
    "UNWRITTEN",
    "Body",
    "Caption",
    "FamilyFile",
    "Filed",
    "HazardsFile",
    "KeyPath",
    "Loaded",
    "Mark",
    "Note",
    "PartFile",
    "Place",
    "Question",
    "RecordingFile",
    "Source",
    "SymptomsFile",
    "ThreadsFile",
    "Token",
    "Tree",
    "TreeMissing",
    "VocabularyFile",
    "WorkshopFile",
    "add_numbered",
    "answering_note",
    "askings",
    "find_root",
    "first_asked",
    "front_matter",
    "in_one_line",
    "is_shown",
    "is_unsafe",
    "leading_to",
    "load_captions",
    "load_house_threads",
    "load_lists",
    "load_note",
    "load_tree",
    "load_whole_tree",
    "models",
    "next_number",
    "only_seen",
    "parse_markdown",
    "plain_text",
    "plain_texts",
    "question_pages",
    "read_file",
    "read_plain",
    "render_markdown",
    "schemas",
    "set_keys",
    "started_note",
    "write_started",
]

_HOME = {
    **dict.fromkeys(
        ("answering_note", "askings", "first_asked", "is_shown", "question_pages"), "asked"
    ),
    "Caption": "captions",
    "only_seen": "decode",
    **dict.fromkeys(("load_note", "read_file"), "files"),
    "set_keys": "edit",
    "load_house_threads": "house",
    **dict.fromkeys(("load_captions", "load_lists", "load_tree", "load_whole_tree"), "load"),
    **dict.fromkeys(
        ("LEDGER_PATH", "TreeMissing", "find_root"),
        "root",
    ),
    **dict.fromkeys(
        (
            "Token",
            "is_unsafe",
            "leading_to",
            "parse_markdown",
            "plain_text",
            "plain_texts",
            "render_markdown",
        ),
        "markdown",
    ),
    **dict.fromkeys(
        (
            "KeyPath",
            "Mark",
        ),
        "marks",
    ),
    "read_plain": "plain_yaml",
    "schemas": "json_schema",
    **dict.fromkeys(("add_numbered", "next_number"), "numbers"),
    **dict.fromkeys(("UNWRITTEN", "started_note", "write_started"), "started"),
    **dict.fromkeys(("front_matter", "in_one_line"), "written"),
    **dict.fromkeys(
        (
            "Place",
            "Source",
        ),
        "source",
    ),
    **dict.fromkeys(
        (
            "Body",
            "FamilyFile",
            "Filed",
            "HazardsFile",
            "Loaded",
            "Note",
            "PartFile",
            "Question",
            "RecordingFile",
            "SymptomsFile",
            "ThreadsFile",
            "Tree",
            "VocabularyFile",
            "WorkshopFile",
        ),
        "tree",
    ),
}


def __getattr__(name: str) -> object:
    """Return a public name from its module, loaded now."""
    if name == "models":
        return import_module(f"{__name__}.models")
    if name not in _HOME:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{_HOME[name]}"), name)
