"""Patterns of this program in the grammar of ECMAScript, for scripts in the reader's page.

One pattern serves both sides: what is read at the bench is read in the page. Meant for
patterns with the flag ``u``: letters, figures and word borders are Unicode's, as Python
has them. Source: ECMA-262, 22.2 (regular expressions).
"""

from __future__ import annotations

import re

__all__ = ["for_script"]

_WORD = r"\p{L}\p{N}_"
_INSIDE = {"d": r"\p{Nd}", "w": _WORD, "s": r"\s"}
_OUTSIDE = {
    "d": r"\p{Nd}",
    "D": r"\P{Nd}",
    "w": f"[{_WORD}]",
    "W": f"[^{_WORD}]",
    "b": f"(?:(?<=[{_WORD}])(?![{_WORD}])|(?<![{_WORD}])(?=[{_WORD}]))",
    "s": r"\s",
    "S": r"\S",
}
_SYNTAX = frozenset("^$\\.*+?()[]{}|/")


def for_script(pattern: re.Pattern[str]) -> str:
    """Return the source of a pattern that finds the same in a script, with the flag ``u``.

    Raises: ValueError for what has no counterpart: flags, back references, conditions.
    """
    if pattern.flags & ~(re.UNICODE | re.ASCII):
        raise ValueError(f"a pattern for scripts has no flags: {pattern.pattern}")
    out: list[str] = []
    source, at, opened = pattern.pattern, 0, -1
    while at < len(source):
        sign = source[at]
        if sign == "\\":
            out.append(_escaped(source[at + 1], opened >= 0))
            at += 1
        elif opened >= 0:
            out.append("\\[" if sign == "[" else sign)
            opened = -1 if sign == "]" and at > opened else opened
        elif sign == "[":
            opened = at + 1
            out.append(sign)
            if source[at + 1] == "^":
                at += 1
                opened += 1
                out.append("^")
        elif sign == "$":
            out.append(r"(?=\n?$)")
        elif source.startswith("(?P<", at):
            out.append("(?<")
            at += 3
        elif source.startswith(("(?P", "(?(", "(?i", "(?m", "(?s", "(?x", "(?a", "(?>"), at):
            raise ValueError(f"no script has what stands at {at} of {source}")
        else:
            out.append("\\" + sign if sign in "]}" and not _closes(source, at) else sign)
        at += 1
    return "".join(out)


def _escaped(sign: str, inside: bool) -> str:
    table = _INSIDE if inside else _OUTSIDE
    if sign in table:
        return table[sign]
    if sign in _SYNTAX or (inside and sign == "-"):
        return "\\" + sign
    if sign in "nrtfvu":
        return "\\" + sign
    if sign.isalnum():
        raise ValueError(f"no script has \\{sign} as Python has it")
    return sign


def _closes(source: str, at: int) -> bool:
    """Return whether a closing brace ends a count: ``{0,4}``."""
    return source[at] == "}" and re.search(r"\{\d+(?:,\d*)?$", source[:at]) is not None
