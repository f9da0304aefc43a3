"""Whether what a reference names is there, and what was probably meant where it is not."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from difflib import get_close_matches

from kbgen.content import Tree, is_shown
from kbgen.content.models import Standing
from kbgen.links.reference import Reference, Scheme, clock, seconds
from kbgen.units import HouseThreads, Verdict, judge, parse_thread

__all__ = ["Dead", "dead", "did_you_mean", "standing_of"]


@dataclass(frozen=True, slots=True)
class Dead:
    """Why a reference leads nowhere, and what to do."""

    message: str
    hint: str


def did_you_mean(said: str, known: Collection[str], otherwise: str) -> str:
    """Return a hint that names the nearest of what is known, else ``otherwise``."""
    near = get_close_matches(said, sorted(known), n=1, cutoff=0.6)
    return f"did you mean {near[0]}?" if near else otherwise


def dead(tree: Tree, house: HouseThreads, reference: Reference) -> Dead | None:
    """Return why a reference leads nowhere in this tree, or None where it leads on.

    A thing whose file could not be read is there: that file has its own findings.
    """
    match reference.scheme:
        case Scheme.NOTE:
            return _note(tree, reference)
        case Scheme.FAMILY:
            return _filed(tree, "family", "families", tree.families, reference)
        case Scheme.PART:
            return _filed(tree, "part", "parts", tree.parts, reference)
        case Scheme.FASTENER:
            return _fastener(tree, reference)
        case Scheme.RECORDING:
            return _recording(tree, reference)
        case Scheme.SYMPTOM:
            return _symptom(tree, reference)
        case Scheme.THREAD:
            return _thread(house, reference)
        case Scheme.QUESTION:
            return _question(tree, reference)
        case Scheme.PAGE:
            return None


def _note(tree: Tree, reference: Reference) -> Dead | None:
    number = int(reference.target)
    if tree.holds("note", number):
        return None
    last = max(tree.notes, default=0)
    return Dead(
        f"there is no note {number} in content/notes",
        f"the notes run to {last}; look for the number at the head of the file's name",
    )


def _question(tree: Tree, reference: Reference) -> Dead | None:
    number = int(reference.target)
    if tree.holds("question", number):
        return None
    return Dead(
        f"there is no question {number} in content/questions",
        f"the questions run to {max(tree.questions, default=0)}; look for the number after the Q "
        "of the file's name",
    )


def _filed(
    tree: Tree, kind: str, folder: str, known: Collection[str], reference: Reference
) -> Dead | None:
    if tree.holds(kind, reference.target):
        return None
    path = f"content/{folder}/{reference.target}.yaml"
    hint = did_you_mean(reference.target, known, f"write {path}, or name one that is there")
    return Dead(f"there is no {kind} {reference.target}: no {path}", hint)


def _fastener(tree: Tree, reference: Reference) -> Dead | None:
    missing = _filed(tree, "family", "families", tree.families, reference.whole)
    family = tree.families.get(reference.target)
    if missing or family is None:
        return missing
    rows = [row.id for row in family.model.fasteners]
    if reference.detail in rows:
        return None
    hint = did_you_mean(reference.detail, rows, f"{family.source.path} has the rows there are")
    return Dead(f"the register of {reference.target} has no row {reference.detail}", hint)


def _recording(tree: Tree, reference: Reference) -> Dead | None:
    missing = _filed(tree, "recording", "recordings", tree.recordings, reference.whole)
    recording = tree.recordings.get(reference.target)
    if missing or recording is None or not reference.detail:
        return missing
    length_s = seconds(recording.model.length)
    if seconds(reference.detail) <= length_s:
        return None
    return Dead(
        f"{reference.detail} is after the end of the recording {reference.target}, "
        f"which lasts {clock(length_s)}",
        f"{recording.source.path} has its chapters and its length",
    )


def _symptom(tree: Tree, reference: Reference) -> Dead | None:
    if reference.target in tree.headings:
        return None
    hint = did_you_mean(reference.target, tree.headings, "add the heading to content/symptoms.yaml")
    return Dead(f"there is no symptom heading {reference.target} in content/symptoms.yaml", hint)


def _thread(house: HouseThreads, reference: Reference) -> Dead | None:
    thread = parse_thread(reference.target)
    judged = judge(thread, house)
    if judged.verdict is Verdict.CONTRADICTORY:
        objection = judged.objections[0]
        return Dead(objection.message, objection.hint)
    if thread.whole:
        return None
    return Dead(
        f"{reference.target} is not enough to name a thread",
        "name size and pitch, as thread:1/4-20 UNC",
    )


def standing_of(tree: Tree, reference: Reference) -> Standing | None:
    """Return where a note stands that a reference names; None for anything that has no standing.

    A question that is not shown stands as a draft does: no reader sees what it leads to.
    """
    if reference.scheme is Scheme.QUESTION:
        question = tree.questions.get(int(reference.target))
        return Standing.PUBLISHED if question and is_shown(question) else Standing.DRAFT
    if reference.scheme is not Scheme.NOTE:
        return None
    note = tree.notes.get(int(reference.target))
    return note.front.standing if note else None
