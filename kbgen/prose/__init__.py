"""What the workshop's texts state: figures with their line, column and subject.

Reads front matter, registers, prose, tables, captions and corrections through the
units room, and hands on every stated value with the smallest stretch of file that
states it. What a figure is held to is the business of the checks.
"""

from kbgen.prose.captions import scan_captions
from kbgen.prose.passages import Passage, passages_of, passages_of_answer
from kbgen.prose.scan import (
    scan_family,
    scan_fields,
    scan_fragment,
    scan_note,
    scan_part,
    scan_question,
    scan_recording,
)
from kbgen.prose.sentences import sentence_around
from kbgen.prose.statement import Fault, Scan, Statement, Unreadable, Where

__all__ = [
    "Fault",
    "Passage",
    "Scan",
    "Statement",
    "Unreadable",
    "Where",
    "passages_of",
    "passages_of_answer",
    "scan_captions",
    "scan_family",
    "scan_fields",
    "scan_fragment",
    "scan_note",
    "scan_part",
    "scan_question",
    "scan_recording",
    "sentence_around",
]
