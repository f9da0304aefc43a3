"""The desk: questions from where they arrive to where their answers go.

Takes only checked content; reads no file itself but what it is handed, and writes none
but questions, notes that are begun, and papers that it is told to write.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from kbgen.desk.heard import heard_lines, heard_shape, note_from_recording
from kbgen.desk.matching import Asked, Candidate, Confidence, Match, Matcher, Reason
from kbgen.desk.matching_shape import candidate_lines, candidate_shape, match_shape
from kbgen.desk.reply import CannotReply, Replies, Reply
from kbgen.desk.reply_letter import render_reply
from kbgen.desk.reply_shape import reply_shape
from kbgen.desk.rundown import Rundown, rundown_of
from kbgen.desk.rundown_notes import start_notes
from kbgen.desk.rundown_page import render_rundown_page
from kbgen.desk.rundown_text import render_rundown, rundown_shape
from kbgen.desk.shownotes import LEFT_OUT, ShowNotes, show_notes, show_notes_shape
from kbgen.desk.told import Telling, Tellings, told_lines, told_shape
from kbgen.desk.wanted import HALF_LIFE_DAYS, Wanted, wanted_of, wanted_shape

if TYPE_CHECKING:  # reads mail, which the other commands of the desk need not wait for
    from kbgen.desk import intake

__all__ = [
    "HALF_LIFE_DAYS",
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
    "Rundown",
    "ShowNotes",
    "Telling",
    "Tellings",
    "Wanted",
    "candidate_lines",
    "candidate_shape",
    "heard_lines",
    "heard_shape",
    "intake",
    "match_shape",
    "note_from_recording",
    "render_reply",
    "render_rundown",
    "render_rundown_page",
    "reply_shape",
    "rundown_of",
    "rundown_shape",
    "show_notes",
    "show_notes_shape",
    "start_notes",
    "told_lines",
    "told_shape",
    "wanted_of",
    "wanted_shape",
]
