"""Texts without quotation marks that other readers of YAML take for something else.

Source: YAML 1.1 types bool, null, int, float and timestamp (yaml.org/type); YAML 1.2.2,
section 10.3 (core schema).
"""

from __future__ import annotations

import re

__all__ = ["misread_as"]

_MISREAD = re.compile(
    r"""^(?:
    (?P<truth>y|Y|yes|Yes|YES|n|N|no|No|NO|true|True|TRUE|false|False|FALSE
              |on|On|ON|off|Off|OFF)
    |(?P<nothing>~|null|Null|NULL)
    |(?P<sexagesimal>[-+]?[1-9][0-9_]*(?::[0-5]?[0-9])+(?:\.[0-9_]*)?)
    |(?P<octal>[-+]?0[0-9_]+(?:\.[0-9_]*)?|[-+]?0o[0-7]+)
    |(?P<radix>[-+]?0b[01_]+|[-+]?0x[0-9a-fA-F_]+)
    |(?P<underscore>[-+]?[0-9]+_[0-9_]*(?:\.[0-9_]*)?)
    |(?P<exponent>[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)[eE][-+]?[0-9]+)
    |(?P<limit>[-+]?\.(?:inf|Inf|INF)|\.(?:nan|NaN|NAN))
    |(?P<timestamp>[0-9]{4}-[0-9]{1,2}-[0-9]{1,2}(?:[Tt]|[ ]+)[0-9]{1,2}:[0-9:.]+.*)
    )$""",
    re.VERBOSE,
)

_FIRST = frozenset("yYnNtTfFoO~+-.0123456789")

_BECOMES = {
    "truth": "a truth value (YAML 1.1, bool)",
    "nothing": "no value at all (YAML 1.1, null)",
    "sexagesimal": "a number to the base 60 (YAML 1.1, int)",
    "octal": "a number to the base 8, or one without its leading zero (YAML 1.1, int)",
    "radix": "a number to another base (YAML 1.1, int)",
    "underscore": "a number without its underscores (YAML 1.1, int)",
    "exponent": "a power of ten (YAML 1.2, float)",
    "limit": "infinite or no number (YAML 1.1, float)",
    "timestamp": "a moment in universal time (YAML 1.1, timestamp)",
}


def misread_as(written: str) -> str | None:
    """Return in words what a plain scalar becomes elsewhere, None where it stays what it is.

    Shape: a number that keeps its value (``8.50``) and a bare day (``2026-03-04``)
    stay what they are.
    """
    if written[0] not in _FIRST:
        return None
    found = _MISREAD.match(written)
    return _BECOMES[found.lastgroup or ""] if found else None
