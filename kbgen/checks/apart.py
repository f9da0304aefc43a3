"""What sets a figure apart from the place that its sentence names.

Anywhere in the sentence, words of comparison, misfit and change; before the figure, in
its own clause, words of denial and of the past. Common practice, no published source.
"""

from __future__ import annotations

import re

from kbgen.checks.words import any_of
from kbgen.prose import Statement

__all__ = ["is_set_apart"]

_ANYWHERE = any_of(
    (
        r"looks? (?:like|alike|almost|much)",
        r"compar\w+",
        r"mistak\w+",
        r"confus\w+",
        r"mix(?:ed|es|ing)?",
        r"swap\w*",
        r"interchang\w*",
        r"b(?:ind|inds|inding|ound)",
        r"strip(?:s|ped|ping)?",
        r"cross-?thread\w*",
        r"ruin\w*",
        r"tear\w*",
        r"torn",
        r"forc(?:e|es|ed|ing)",
        r"(?:will|do|does|did|can|could|should|must|is|are|would) not",
        r"\w+n['’]t",
        r"cannot",
        r"reproductions?",
        r"replicas?",
        r"over-?siz\w*",
        r"re-?tap\w*",
        r"tap(?:s|ped|ping)?",
        r"drill\w*",
        r"inserts?",
        r"adapt\w+",
        r"neighbou?r\w*",
        r"next to",
        r"beside",
        r"others?",
        r"another",
        r"differ\w*",
        r"unlike",
        r"similar\w*",
        r"alike",
        r"modern",
        r"substitut\w+",
        r"instead",
        r"wrong\w*",
        r"if",
        r"unless",
        r"would",
        r"used to",
        r"correct(?:ed|ion|ions)",
        r"former\w*",
        r"previous\w*",
        r"earlier",
    )
)
_BEFORE = any_of(
    (
        r"not",
        r"never",
        r"no",
        r"n[e]?ither",
        r"nor",
        r"rather than",
        r"than",
        r"was",
        r"were",
        r"once",
        r"called",
        r"sold as",
        r"listed as",
        r"says?",
        r"said",
        r"quotes?d?",
        r"beyond",
        r"above",
        r"below",
        r"over",
        r"under",
    )
)
_CLAUSE = re.compile(r"[,:;()–—]")


def is_set_apart(statement: Statement) -> bool:
    """Return whether a sentence says its figure of something other than what it names."""
    sentence = statement.sentence
    if _ANYWHERE.search(sentence):
        return True
    start = 0
    for mark in _CLAUSE.finditer(sentence, 0, statement.at):
        start = mark.end()
    return bool(_BEFORE.search(sentence, start, statement.at))
