"""``kbgen schema``: JSON Schemas of the content files, for editors."""

from __future__ import annotations

import argparse
import json
from pathlib import Path

from kbgen.commands.common import Command

__all__ = ["COMMAND"]


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("folder", metavar="DIR", help="the folder to write the schemas into")


def _run(arguments: argparse.Namespace) -> int:
    from kbgen.content import schemas

    folder = Path(arguments.folder)
    folder.mkdir(parents=True, exist_ok=True)
    for name, schema in schemas().items():
        target = folder / name
        target.write_text(
            json.dumps(schema, ensure_ascii=False, indent=2) + "\n", encoding="utf-8", newline="\n"
        )
        print(target)
    return 0


COMMAND = Command(
    name="schema",
    summary="write the JSON Schema (2020-12) of every content file, for editors",
    example="kbgen schema schemas\n"
    "then begin a note's front matter with the comment\n"
    "# yaml-language-server: $schema=../../schemas/note.json",
    arguments=_arguments,
    run=_run,
)
