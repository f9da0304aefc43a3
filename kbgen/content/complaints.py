"""What is said about a value that does not fit: what was found, what was expected, what to do."""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable
from typing import Any

from pydantic import BaseModel
from pydantic_core import ErrorDetails

__all__ = ["about_missing", "about_unknown", "about_value"]

Owner = type[BaseModel] | None

_NAMES = {
    "NoteFront": "a note",
    "RegisterRow": "a row of the register",
    "Before": "`before`",
    "PartUse": "a part of a note",
    "RecordingMoment": "a recording of a note",
    "SymptomHeading": "a symptom heading",
    "VocabularyPair": "a pair of words",
    "HouseThread": "a house thread",
    "Workshop": "the workshop",
    "Defaults": "`defaults`",
    "Disputed": "a disputed figure",
    "Offer": "an offer",
}


def about_missing(owner: Owner, key: str) -> tuple[str, str]:
    """Return message and hint for a key that has to be there."""
    message = f"the key `{key}` is missing from {_named(owner)}"
    return message, f"`{key}` says {_says(owner, key)}"


def about_unknown(owner: Owner, key: str, taken: Callable[[str], bool]) -> tuple[str, str]:
    """Return message and hint for an unknown key; ``taken`` tells which keys stand beside it."""
    message = f"`{_short(key)}` is no key of {_named(owner)}"
    if owner is None:
        return message, "take it out"
    keys = list(owner.model_fields)
    folded = re.sub(r"[^a-z]+", "_", _short(key).lower())
    near = difflib.get_close_matches(folded, keys, n=1, cutoff=0.6)
    if not near:
        return message, f"the keys here are {', '.join(keys)}"
    if taken(near[0]):
        return message, f"`{near[0]}` is here already; take this one out"
    return message, f"did you mean `{near[0]}`?"


def about_value(
    details: ErrorDetails, owner: Owner, key: str | int, model: Owner
) -> tuple[str, str]:
    """Return message and hint for a value of the wrong shape.

    Shape: ``owner`` is the model whose ``key`` has the value, ``model`` that of the
    value itself, None where it has none.
    """
    found = _found(details["input"])
    context: dict[str, Any] = details.get("ctx", {})
    match details["type"]:
        case "string_pattern_mismatch":
            expected, hint = _PATTERNS[context["pattern"]]
            return f"{found} stands here; expected is {expected}", hint
        case "enum" | "literal_error":
            return _choice(found, details["input"], str(context["expected"]))
        case "greater_than_equal":
            return f"{found} stands here; expected is at least {context['ge']}", ""
        case "less_than_equal":
            return f"{found} stands here; expected is at most {context['le']}", ""
        case "string_too_long":
            return f"this text is longer than {context['max_length']} characters", "shorten it"
        case "too_short":
            return (
                "the list is empty; at least one item is needed",
                f"`{key}` says {_says(owner, str(key))}",
            )
        case "model_type" | "model_attributes_type" if model is not None:
            return (
                f"{found} stands here; expected are keys with values",
                f"the keys of {_named(model)} are {', '.join(model.model_fields)}",
            )
    if details["type"] in _SIMPLE:
        expected, hint = _SIMPLE[details["type"]]
        return f"{found} stands here; expected is {expected}", hint
    return f"{found} stands here and does not fit: {details['msg']}", ""


_SIMPLE = {
    "string_type": ("a text", "write one text; a text with : or # in it wants quotation marks"),
    "string_too_short": ("a text with something in it", "write it, or leave the line out"),
    "tuple_type": ("a list", "write [one, another], or one item a line after `- `"),
    "whole_number": (
        "a whole number in plain digits",
        "write it without leading zeros, point, sign or unit",
    ),
    "day_form": (
        "a day as YYYY-MM-DD (ISO 8601)",
        "write month and day with two digits, such as 2026-03-04",
    ),
    "day_unreal": ("a day of the calendar", "look at the month and the day again"),
    "int_type": ("a whole number in plain digits", "write one number"),
    "date_type": ("a day as YYYY-MM-DD (ISO 8601)", "write one day"),
}

_PATTERNS = {
    r"^[a-z0-9]+(-[a-z0-9]+)*$": (
        "an id: small letters and digits, with single hyphens between",
        "write it like winder-tyre",
    ),
    r"^[a-z0-9]+(-[a-z0-9]+)*/[a-z0-9]+(-[a-z0-9]+)*$": (
        "a row of a register as FAMILY/ROW, both ids",
        "write it like halverin-h/winder-bracket-screw, or give the fastener its own keys",
    ),
    r"^[0-9]{4}(-[0-9][0-9](-[0-9][0-9])?)?$": (
        "a year, a month or a day as YYYY, YYYY-MM or YYYY-MM-DD (ISO 8601)",
        "write what is known of it",
    ),
    r"^https?://[^\s<>\"]+$": (
        "a web address that begins with https:// or http://",
        "copy the whole address",
    ),
    r"^([0-9]{1,2}:[0-5][0-9]:[0-5][0-9]|[0-9]{1,3}:[0-5][0-9])$": (
        "a time as minutes:seconds or hours:minutes:seconds",
        'write it in quotation marks, like "12:40" or "1:02:40"',
    ),
    r"^[A-Za-z0-9][A-Za-z0-9._-]*$": (
        "the name of a file in content/photos: letters, digits, dots, hyphens",
        "write the name alone, without a folder, and rename a file with other marks in it",
    ),
    r"^[A-Za-z]{2,3}(-[A-Za-z0-9]{2,8})*$": (
        "a language tag (BCP 47)",
        "write it like en or en-GB",
    ),
}


def _choice(found: str, written: object, expected: str) -> tuple[str, str]:
    choices = re.findall(r"'([^']*)'", expected)
    if choices == ["none"]:
        message = f"{found} stands here; expected is a list, or the word none"
        return message, "write [one, another], or none"
    message = f"{found} stands here; expected is {_or(choices)}"
    near = difflib.get_close_matches(str(written).lower(), choices, n=1, cutoff=0.6)
    return message, f"did you mean {near[0]}?" if near else f"write {_or(choices)}"


def _or(choices: list[str]) -> str:
    return choices[0] if len(choices) == 1 else f"{', '.join(choices[:-1])} or {choices[-1]}"


def _named(owner: Owner) -> str:
    if owner is None:
        return "this file"
    return _NAMES.get(owner.__name__, f"a {owner.__name__.lower()}")


def _says(owner: Owner, key: str) -> str:
    field = owner.model_fields.get(key) if owner else None
    return (field.description if field else None) or "what its name says"


def _found(value: object) -> str:
    match value:
        case str():
            return f"`{_short(value)}`" if value else "an empty text"
        case list():
            return "a list"
        case dict():
            return "a group of keys"
    return "nothing"


def _short(text: str) -> str:
    return text if len(text) <= 60 else text[:59] + "…"
