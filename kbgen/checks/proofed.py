"""The content as its writer sees it before anything is published."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TypeVar

from kbgen.checks.checked import Checked
from kbgen.content import Note
from kbgen.content.models import Standing
from kbgen.findings import Severity
from kbgen.links import check_ledger, link_graph

__all__ = ["drafts_shown"]

Joined = tuple[Checked, Checked]
"""Checked content, and what was shown of it."""

K = TypeVar("K", int, str)
F = TypeVar("F")


def drafts_shown(
    checked: Checked, *, errors: bool = False, before: Joined | None = None
) -> Checked:
    """Return checked content with its drafts as if they were published; never to be published.

    Shape: unless ``errors`` are wanted too, a note, family, part, recording or question in
    which one was found is left out, and counts as one that could not be read. The
    findings are those of ``checked``. ``before`` is checked content and what was shown of
    it: where the links of the one are still those of the other, so are those that are shown.
    Raises: OSError where the machine does not give the address ledger.
    """
    wrong = {one.path for one in checked.findings if one.severity is Severity.ERROR and not errors}
    tree = checked.tree
    drafts = any(note.front.standing is Standing.DRAFT for note in tree.notes.values())
    if not wrong and not drafts:
        return checked
    broken: set[str] = set()

    def whole(kind: str, shelf: Mapping[K, F]) -> dict[K, F]:
        kept = {key: one for key, one in shelf.items() if _path_of(one) not in wrong}
        broken.update(f"{kind}:{key}" for key in shelf if key not in kept)
        return kept

    shown = replace(
        tree,
        notes={number: _shown(note) for number, note in whole("note", tree.notes).items()},
        families=whole("family", tree.families),
        parts=whole("part", tree.parts),
        recordings=whole("recording", tree.recordings),
        questions=whole("question", tree.questions),
    )
    shown = replace(shown, broken=tree.broken | broken)
    if before is not None and before[0].graph is checked.graph:
        return replace(before[1], tree=shown)
    graph = link_graph(shown, checked.statements)
    ledger, _ = check_ledger(shown, graph)
    return Checked(shown, graph, ledger, checked.findings)


def _path_of(one: object) -> str:
    path: str = one.source.path  # type: ignore[attr-defined]
    return path


def _shown(note: Note) -> Note:
    if note.front.standing is not Standing.DRAFT:
        return note
    front = note.front.model_copy(update={"standing": Standing.PUBLISHED})
    return replace(note, front=front)
