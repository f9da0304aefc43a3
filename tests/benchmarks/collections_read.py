"""A test collection on disk: documents, questions, and what is right."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from kbgen.search import SearchDocument, Shelf


@dataclass(frozen=True)
class TestCollection:
    """Shape: ``right`` maps a question's id to the graded ids of its documents."""

    __test__ = False

    name: str
    documents: tuple[dict[str, str], ...]
    questions: tuple[tuple[str, str], ...]
    right: dict[str, dict[str, int]]

    def shelf(self) -> Shelf:
        """The documents as notes, numbered in the order of their file."""
        return Shelf.of(
            SearchDocument(number, row["title"], row["text"], lines=(row["text"][:120],))
            for number, row in enumerate(self.documents, 1)
        )

    def ids(self, numbers: list[int]) -> list[str]:
        return [self.documents[number - 1]["id"] for number in numbers]


def read_collection(folder: Path) -> TestCollection:
    documents = [
        {"id": str(row["id"]), "title": row.get("title") or "", "text": row.get("text") or ""}
        for row in _rows(folder / "docs.jsonl")
    ]
    right: dict[str, dict[str, int]] = {}
    for line in (folder / "qrels.tsv").read_text(encoding="utf-8").splitlines():
        cells = line.split()
        if len(cells) < 3 or not cells[-1].lstrip("-").isdigit():
            continue  # a heading
        if int(cells[-1]) > 0:
            right.setdefault(cells[0], {})[cells[-2]] = int(cells[-1])
    questions = [(str(row["id"]), row["text"]) for row in _rows(folder / "queries.jsonl")]
    asked = tuple((id_, text) for id_, text in questions if id_ in right)
    return TestCollection(folder.name, tuple(documents), asked, right)


def _rows(path: Path) -> list[dict[str, Any]]:
    lines = path.read_text(encoding="utf-8").split("\n")
    return [json.loads(line) for line in lines if line.strip()]
