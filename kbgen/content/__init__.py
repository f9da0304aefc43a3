"""The typed knowledge base: content files → models, with the place of every value.

The only user of YAML and of the Markdown parser. Wrong content becomes findings, all
of them in one run; ``load_note`` is a pure function of a note's bytes.
"""

from kbgen.content import models
from kbgen.content.captions import Caption
from kbgen.content.files import load_note
from kbgen.content.load import find_root, load_house_threads, load_tree
from kbgen.content.markdown import Token, is_unsafe, parse_markdown, render_markdown
from kbgen.content.marks import KeyPath, Mark
from kbgen.content.schemas import schemas
from kbgen.content.source import Place, Source
from kbgen.content.tree import (
    Body,
    FamilyFile,
    HazardsFile,
    Loaded,
    Note,
    PartFile,
    RecordingFile,
    SymptomsFile,
    ThreadsFile,
    Tree,
    TreeMissing,
    VocabularyFile,
    WorkshopFile,
)

__all__ = [
    "Body",
    "Caption",
    "FamilyFile",
    "HazardsFile",
    "KeyPath",
    "Loaded",
    "Mark",
    "Note",
    "PartFile",
    "Place",
    "RecordingFile",
    "Source",
    "SymptomsFile",
    "ThreadsFile",
    "Token",
    "Tree",
    "TreeMissing",
    "VocabularyFile",
    "WorkshopFile",
    "find_root",
    "is_unsafe",
    "load_house_threads",
    "load_note",
    "load_tree",
    "models",
    "parse_markdown",
    "render_markdown",
    "schemas",
]
