"""The desk: questions from where they arrive to where their answers go.

Takes only checked content; reads no file itself but what it is handed, and writes none
but questions, notes that are begun, and papers that it is told to write.
"""

from __future__ import annotations

from kbgen.desk.matching import Asked, Candidate, Confidence, Match, Matcher, Reason
from kbgen.desk.matching_shape import candidate_lines, candidate_shape, match_shape
from kbgen.desk.reply import CannotReply, Replies, Reply
from kbgen.desk.reply_letter import render_reply
from kbgen.desk.reply_shape import reply_shape
from kbgen.desk.shownotes import LEFT_OUT, ShowNotes, show_notes, show_notes_shape
from kbgen.desk.told import Telling, Tellings, told_lines, told_shape

__all__ = [
    "LEFT_OUT",
    "Asked",
    "Candidate",
    "CannotReply",
    "Confidence",
    "Match",
    "Matcher",
    "Reason",
    "Replies",
    "Reply",
    "ShowNotes",
    "Telling",
    "Tellings",
    "candidate_lines",
    "candidate_shape",
    "match_shape",
    "render_reply",
    "reply_shape",
    "show_notes",
    "show_notes_shape",
    "told_lines",
    "told_shape",
]
