"""An answer as plain data of a stable shape."""

from __future__ import annotations

from typing import Any

from kbgen.desk.reply import Reply
from kbgen.desk.reply_screws import Screw

__all__ = ["reply_shape", "screw_shape"]


def reply_shape(reply: Reply, text: str) -> dict[str, Any]:
    """Return an answer and the letter it is set as."""
    return {
        "note": reply.note,
        "title": reply.title,
        "address": reply.address,
        "holds_for": list(reply.holds_for),
        "fitting": reply.fitting,
        "cautions": [
            {
                "signal": str(one.signal),
                "hazard": one.hazard,
                "consequence": one.consequence,
                "avoid": one.avoid,
                "defer_to": one.defer_to,
            }
            for one in reply.cautions
        ],
        "fix": reply.fix,
        "own_answer": reply.own,
        "stated": [
            {
                "as_written": one.as_written or None,
                "places": list(one.places),
                "agrees": one.agrees,
                "says": one.says,
            }
            for one in reply.told
        ],
        "screws": [screw_shape(one) for one in reply.screws],
        "parts": [
            {
                "name": one.name,
                "quantity": one.quantity,
                "address": one.address,
                "fits": list(one.fits),
                "tie": one.tie or None,
                "warning": one.warning or None,
            }
            for one in reply.parts
        ],
        "corrections": [
            {"date": one.date.isoformat(), "what": one.what, "now": one.now or None}
            for one in reply.before
        ],
        "disclosure": reply.disclosure or None,
        "text": text,
    }


def screw_shape(screw: Screw) -> dict[str, Any]:
    """Return a screw as it is told."""
    return {
        "row": screw.row or None,
        "family": screw.family or None,
        "where": screw.where,
        "thread": screw.thread,
        "hand": screw.hand or None,
        "verdict": screw.verdict or None,
        "tightness": screw.tightness or None,
        "length": screw.length or None,
        "head": screw.head or None,
        "basis": screw.basis,
        "source": screw.source,
        "disputed": [{"says": says, "source": source} for says, source in screw.disputed],
        "not_that": [
            {"where": one.where, "others": one.others, "thread": one.thread, "outcome": one.outcome}
            for one in screw.not_that
        ],
    }
