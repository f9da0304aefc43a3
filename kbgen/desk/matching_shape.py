"""Candidates as plain data, and as the lines that a person chooses from."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from kbgen.content import plain_text
from kbgen.desk.matching import Candidate, Match
from kbgen.links import Reference, Scheme, address_of

__all__ = ["candidate_lines", "candidate_shape", "match_shape"]


def candidate_shape(candidate: Candidate) -> dict[str, Any]:
    """Return a candidate as plain data; ``confidence`` is null for what only came nearest."""
    note = candidate.note
    return {
        "note": note.number,
        "title": plain_text(note.front.title),
        "address": address_of(Reference(Scheme.NOTE, str(note.number))),
        "confidence": str(candidate.confidence) if candidate.confidence else None,
        "evidence": candidate.evidence,
        "reasons": [{"kind": one.kind, "text": one.text} for one in candidate.reasons],
    }


def match_shape(match: Match) -> dict[str, Any]:
    """Return what was found for a question as plain data."""
    return {
        "nothing_fits": not match.candidates,
        "candidates": [candidate_shape(one) for one in match.candidates],
        "nearest": [candidate_shape(one) for one in match.nearest],
    }


def candidate_lines(match: Match) -> Iterator[str]:
    """Yield what was found as lines to choose from, with the reasons."""
    if match.candidates:
        yield "No note answers this for sure. It may be one of these:"
    elif match.nearest:
        yield "No note fits this. Nearest to it, and too far to be sent:"
    else:
        yield "No note fits this."
    for one in (*match.candidates, *match.nearest):
        sure = f" ({one.confidence})" if one.confidence else ""
        yield f"  note {one.note.number}: {plain_text(one.note.front.title)}{sure}"
        for reason in one.reasons:
            yield f"      {reason.text}"
