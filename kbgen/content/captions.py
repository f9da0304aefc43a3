"""Captions of a recording: WebVTT, and the older numbered form (.srt).

Source: W3C WebVTT, sections 4.1 to 4.3 (file structure, cue timings, cue text). The
numbered form has no standard; what programs write is read: a comma before thousandths, a
number before each time, marks in braces, blank lines left out (common practice, no
published source). So are captions that roll: each says again what stood there before.
"""

from __future__ import annotations

import html
import re
from bisect import bisect_right
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property

from kbgen.content.source import Place
from kbgen.findings import Finding, finding

__all__ = ["Caption", "captions_of"]

_TIMING = re.compile(r"[ \t]*(\S+)[ \t]+-->[ \t]+(\S+)(?:[ \t].*)?$")
_MOMENT = re.compile(r"(?:([0-9]{1,3}):)?([0-5][0-9]):([0-5][0-9])[.,]([0-9]{3})$", re.ASCII)
_MARKS = r"<[^<>]*>|\{\\[^{}]*\}"
_MARKUP = re.compile(rf"{_MARKS}|&(?:#[0-9]+|#x[0-9a-fA-F]+|[A-Za-z][A-Za-z0-9]*);")
_TOUCHING_S = 0.1
"""A caption that rolls on follows the one before it without a breath."""
_MOST_LINES = 4
"""More lines than any caption has that rolls."""


@dataclass(frozen=True)
class Caption:
    """What is said between two moments of a recording.

    Shape: ``start`` and ``end`` are seconds; ``text`` is what is read, without voice
    marks and with entities decoded, its lines joined by a line feed; ``line`` is the
    1-based line of the file on which the text begins; ``raw`` is the text as written.
    """

    start: float
    end: float
    text: str
    line: int
    raw: str

    def place_in(self, offset: int) -> Place:
        """Return where the character ``offset`` of ``text`` stands in the file."""
        shown, written, length = self._pieces[
            bisect_right(self._pieces, (offset, len(self.raw), 0)) - 1
        ]
        return self._place(min(written + min(offset - shown, length), len(self.raw)))

    @cached_property
    def _pieces(self) -> list[tuple[int, int, int]]:
        """Where each plain stretch and each entity begins: in the text, in what is written.

        Shape: the third is how far places run on in it; an entity has one place.
        """
        pieces = [(0, 0, len(self.raw))]
        at = done = 0
        for found in _MARKUP.finditer(self.raw):
            done += found.start() - at
            at = found.end()
            if found[0].startswith("&"):
                pieces.append((done, found.start(), 0))
                done += len(html.unescape(found[0]))
            pieces.append((done, at, len(self.raw)))
        return pieces

    def _place(self, index: int) -> Place:
        line = self.raw.count("\n", 0, index)
        return Place(self.line + line, index - self.raw.rfind("\n", 0, index))


def captions_of(path: str, text: str) -> tuple[tuple[Caption, ...], list[Finding]]:
    """Return the captions of a file, in order, and what is wrong in it.

    Shape: ``text`` is a whole ``.vtt`` or ``.srt`` file with line ends as a line feed.
    """
    lines = text.split("\n")
    findings: list[Finding] = []
    captions: list[Caption] = []
    if path.endswith(".vtt") and re.match(r"WEBVTT(?:[ \t]|$)", lines[0]) is None:
        findings.append(
            _wrong(path, 1, 1, "the file does not begin with WEBVTT (W3C WebVTT, section 4.1)")
        )
    blank = _is_empty if path.endswith(".vtt") else _is_white
    number = 0
    while number < len(lines):
        line = lines[number]
        number += 1
        if "-->" not in line:
            if line.startswith(("NOTE", "STYLE", "REGION")):
                number = _block_end(lines, number, blank)
            continue
        end = _block_end(lines, number, blank)
        block = lines[number:end]
        if block and end < len(lines) and "-->" in lines[end] and block[-1].strip().isdigit():
            block.pop()  # the number of the next caption, where the blank line was left out
        caption = _caption(path, line, number, block, findings)
        if caption is not None and captions:
            caption = _rolled_on(captions, caption)
        if caption is not None:
            if captions and caption.start < captions[-1].start:
                findings.append(
                    _wrong(path, number, 1, "this caption begins before the one above it")
                )
            captions.append(caption)
        number = end
    return tuple(captions), findings


def _is_empty(line: str) -> bool:
    return not line


def _is_white(line: str) -> bool:
    return not line.strip()


def _block_end(lines: list[str], start: int, blank: Callable[[str], bool]) -> int:
    """Return the index of the blank line that ends a block, or of a timing too early."""
    for number in range(start, len(lines)):
        if blank(lines[number]) or "-->" in lines[number]:
            return number
    return len(lines)


def _rolled_on(captions: list[Caption], caption: Caption) -> Caption | None:
    """Return a caption without the lines that stood there before and are only shown again.

    Shape: None where it says nothing new; the last caption then lasts to its end.
    """
    last = captions[-1]
    if not -_TOUCHING_S <= caption.start - last.end <= _TOUCHING_S:
        return caption
    before = _shown(last.text)
    raw = caption.raw.split("\n")
    lines = caption.text.split("\n")
    for count in range(min(len(lines), _MOST_LINES), 0, -1):
        again = _shown("\n".join(lines[:count]))
        if again and before[-len(again) :] == again:
            if not _shown("\n".join(lines[count:])):
                captions[-1] = replace(last, end=max(last.end, caption.end))
                return None
            return replace(
                caption,
                text="\n".join(lines[count:]),
                raw="\n".join(raw[count:]),
                line=caption.line + count,
            )
    return caption


def _shown(text: str) -> list[str]:
    """Return the lines of a text that are seen."""
    return [line.strip() for line in text.split("\n") if line.strip()]


def _caption(
    path: str, timing: str, line: int, block: list[str], findings: list[Finding]
) -> Caption | None:
    found = _TIMING.match(timing)
    if found is None:
        findings.append(
            _wrong(path, line, timing.index("-->") + 1, "no time stands on both sides of -->")
        )
        return None
    moments: list[float] = []
    for group in (1, 2):
        moment = _MOMENT.match(found[group])
        if moment is None:
            findings.append(
                _wrong(path, line, found.start(group) + 1, f"`{found[group]}` is no time")
            )
        else:
            hours, minutes, seconds, thousandths = (int(part or 0) for part in moment.groups())
            moments.append((hours * 60 + minutes) * 60 + seconds + thousandths / 1000)
    if len(moments) < 2:
        return None
    start, end = moments
    if end <= start:
        findings.append(
            _wrong(path, line, found.start(2) + 1, "this caption ends before it has begun")
        )
        return None
    raw = "\n".join(block)
    return Caption(start, end, html.unescape(re.sub(_MARKS, "", raw)), line + 1, raw)


def _wrong(path: str, line: int, column: int, message: str) -> Finding:
    return finding(
        "captions-wrong",
        path,
        line,
        column,
        message,
        "a caption is `00:12:40.000 --> 00:12:43.500`, its text beneath, then a blank line; "
        "captions stand in the order of their beginning",
    )
