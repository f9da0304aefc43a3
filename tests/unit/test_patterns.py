"""Patterns for scripts: what has a counterpart in ECMAScript, and what is refused."""

from __future__ import annotations

import re

import pytest

from kbgen.patterns import for_script


@pytest.mark.parametrize(
    ("source", "script"),
    [
        (r"(?P<low>\d+)-(?P<high>\d+)", r"(?<low>\p{Nd}+)-(?<high>\p{Nd}+)"),
        (r"[\d.]", r"[\p{Nd}.]"),
        (r"[^\s(\[{:=-]", r"[^\s(\[{:=-]"),
        (r" ?[(\[] ?", r" ?[(\[] ?"),
        (r"[)\]]", r"[)\]]"),
        (r"[x[]", r"[x\[]"),
        (r"a\-b\"c", 'a-b"c'),
        (r"[a\-b]", r"[a\-b]"),
        (r"x{2,3}", "x{2,3}"),
        (r"x}", r"x\}"),
        (r"end$", r"end(?=\n?$)"),
        (r"(?<=\d)(?!x)", r"(?<=\p{Nd})(?!x)"),
        ("\\u00ad", "\\u00ad"),
        (r"\w", r"[\p{L}\p{N}_]"),
    ],
)
def test_a_pattern_is_written_in_the_grammar_of_scripts(source, script):
    assert for_script(re.compile(source)) == script


@pytest.mark.parametrize(
    "source", [r"(?P<a>x)(?P=a)", r"(?i:x)", r"(?>x)", r"\Ax", r"(x)?(?(1)y|z)"]
)
def test_what_no_script_has_is_refused(source):
    with pytest.raises(ValueError, match="no script has"):
        for_script(re.compile(source))


def test_a_flag_is_refused():
    with pytest.raises(ValueError, match="no flags"):
        for_script(re.compile("x", re.IGNORECASE))
