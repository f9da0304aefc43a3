"""The desk: questions from where they arrive to where their answers go.

Takes only checked content; reads no file itself but what it is handed, and writes none
but questions, notes that are begun, and papers that it is told to write.
"""

from __future__ import annotations

from kbgen.desk.matching import Asked, Candidate, Confidence, Match, Matcher, Reason

__all__ = [
    "Asked",
    "Candidate",
    "Confidence",
    "Match",
    "Matcher",
    "Reason",
]
