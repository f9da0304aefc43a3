"""What the YAML parser complains of, in our words.

The C parser and the pure Python one word the same slip differently, and both speak of
the grammar; a person who writes a note needs to know what to change.
"""

from __future__ import annotations

from typing import NamedTuple

import yaml

__all__ = ["in_our_words"]


class _Wording(NamedTuple):
    """One slip: words that the parser uses for it, our message, our hint.

    Shape: ``at_start`` anchors the finding where the broken value begins rather than
    where the parser gave up; ``opened`` does so where that is on an earlier line.
    """

    words: tuple[str, ...]
    message: str
    hint: str
    at_start: bool = False
    opened: bool = False
    code: str = "yaml-unreadable"


_WORDINGS = (
    _Wording(
        ("nesting depth",),
        "values are nested far too deep here; no content file needs that",
        "look for brackets too many",
        code="yaml-too-deep",
    ),
    _Wording(
        ("mapping values are not allowed",),
        "a colon followed by a space stands inside a text without quotation marks",
        "put the text in quotation marks, or look for a missing line break or indentation",
    ),
    _Wording(
        ("unexpected end of stream", "end of stream while"),
        "a quotation mark is opened here and never closed",
        'close it; a quotation mark inside the text is doubled in \'...\' and written \\" in "..."',
        at_start=True,
    ),
    _Wording(
        ("unexpected document",),
        "a quotation mark is opened here and never closed",
        "close it before the line ---",
        at_start=True,
    ),
    _Wording(
        ("mapping keys are not allowed",),
        "a question mark followed by a space begins a key, where there can be none",
        "put the text in quotation marks",
    ),
    _Wording(
        ("comment or line break", "chomping or indentation"),
        "the text of a block after | or > begins on the next line",
        "break the line after the mark, and indent the text below it",
    ),
    _Wording(
        ("unknown escape character",),
        "a backslash in a text in double quotation marks begins an escape that does not exist",
        "double the backslash, or put the text in single quotation marks",
    ),
    _Wording(
        ("hexdecimal", "hexadecimal", "invalid Unicode character"),
        "an escape such as \\x41 or \\u2044 is not complete",
        "write as many hexadecimal digits as it needs, or the character itself",
    ),
    _Wording(
        ("',' or ']'",),
        "a list in brackets is not closed, or a comma is missing in it",
        "close it with ], and put texts with commas or brackets in quotation marks",
        opened=True,
    ),
    _Wording(
        ("',' or '}'",),
        "a mapping in braces is not closed, or a comma is missing in it",
        "close it with }, and put texts with commas or braces in quotation marks",
        opened=True,
    ),
    _Wording(
        ("could not find expected ':'",),
        "a line without a colon stands where a key was expected",
        "write `key: value`, or indent the line if it carries on the text above",
        at_start=True,
    ),
    _Wording(
        ("cannot start any token", "expected node content", "expected the node content"),
        "this character cannot begin a text without quotation marks",
        "put the text in quotation marks",
    ),
    _Wording(
        ("sequence entries are not allowed",),
        "a list item stands where no list can begin",
        "begin the list on a line of its own, below its key",
    ),
    _Wording(
        ("expected '-' indicator", "expected <block end>", "did not find expected key"),
        "the indentation does not fit what stands above",
        "indent the keys of one mapping, and the items of one list, alike",
    ),
    _Wording(
        ("undefined alias",),
        "an alias stands here; a content file has none",
        "write the value out",
    ),
    _Wording(
        ("document start",),
        "the text goes on after the end of the YAML",
        "take out the line of dots, or what follows it",
    ),
    _Wording(
        ("indentation indicator", "chomping", "leading space", "leading empty lines"),
        "the text block after | or > is not indented evenly",
        "indent every line of the block by the same number of spaces",
    ),
    _Wording(
        ("anchor", "alias"),
        "& or * begins a name of a value; a content file has none",
        "put the text in quotation marks",
    ),
    _Wording(
        ("directive", "tag", "%"),
        "a directive or a tag stands here; content files have none",
        "take it out, or put the text in quotation marks",
    ),
)


_LOOK = "look for a mark that YAML reads otherwise than it was meant"


def in_our_words(error: yaml.MarkedYAMLError, part: str) -> tuple[str, str, str, int]:
    """Return code, message, hint and code point of what the parser complains of in ``part``."""
    said = f"{error.context or ''} {error.problem or ''}"
    mark = error.problem_mark or error.context_mark
    wording = next((one for one in _WORDINGS if any(word in said for word in one.words)), None)
    if wording is None:
        return "yaml-unreadable", f"this is not YAML: {said.strip()}", _LOOK, _index(mark, part)
    begins = error.context_mark or mark
    later = _line(begins) < _line(mark) or _index(mark, part) >= len(part.rstrip())
    if wording.at_start or (wording.opened and later):
        mark = begins
    index = _index(mark, part)
    if "escape" in wording.words[0] and part[index - 1 : index] == "\\":
        index -= 1  # the pure Python parser points behind the backslash
    return wording.code, wording.message, wording.hint, index


def _line(mark: object) -> int:
    return int(getattr(mark, "line", 0))


def _index(mark: object, part: str) -> int:
    return min(getattr(mark, "index", 0), len(part))
