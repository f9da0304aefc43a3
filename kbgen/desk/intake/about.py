"""What a question is about: a recording and a moment in it, a note, machines."""

from __future__ import annotations

import re
from collections.abc import Iterator

from kbgen.content import RecordingFile, Tree
from kbgen.links import clock, seconds

__all__ = ["about"]

_NOTE_ADDRESS = re.compile(r"(?<![\w])n/0*([1-9]\d{0,5})(?:-card)?\.html")
_NOTE_SAID = re.compile(
    r"\b(?:your|the|in|from|of|on|see|about|read)[ ](?:note|answer|page)"
    r"[ ](?:no\.?[ ]|number[ ]|#)?0*([1-9]\d{0,5})\b(?!:)",
    re.IGNORECASE,
)
_TIME = re.compile(
    r"(?<![\d:.,/])(\d{1,2}:[0-5]\d:[0-5]\d|\d{1,3}:[0-5]\d)(?![\d:]|[ ]?[ap]\.?m\b)"
)
_TIME_IN_ADDRESS = re.compile(r"[?&#]t=(\d{1,6})s?\b")

_TELLING = 6  # letters that a title in the middle of a sentence has at least


def about(tree: Tree, said: str, subject: str, words: str) -> dict[str, str | int]:
    """Return the ``about`` of a question, empty where nothing is known.

    Shape: ``said`` is what an export says; a recording is known by its id, its title or
    its web address, there, in the subject or in the words, a note by its address or its
    number. A time counts where the recording is known and runs so long.
    """
    found: dict[str, str | int] = {}
    recording = None
    for text in (said, subject, words):
        recording = recording or next(_recordings(tree, text, whole=text is said), None)
    if recording is not None:
        found["recording"] = recording.id
        at = _moment(recording, said, subject, words)
        found |= {"at": at} if at else {}
    for text in (said, subject, words):
        numbers = [int(one[1]) for one in _NOTE_ADDRESS.finditer(text)]
        numbers += [int(one[1]) for one in _NOTE_SAID.finditer(text)]
        known = [number for number in numbers if number in tree.notes]
        if known:
            return found | {"note": known[0]}
    return found


def _recordings(tree: Tree, text: str, whole: bool) -> Iterator[RecordingFile]:
    """Yield the recordings that a text names; as a whole, or as a part of it."""
    plain = _plain(text)
    if not plain:
        return
    for recording in tree.recordings.values():
        title, address = _plain(recording.model.title), _address(recording.model.address)
        names = (recording.id, title, recording.id.replace("-", " "))
        said = any(
            len(name) > _TELLING and re.search(rf"\b{re.escape(name)}\b", plain) for name in names
        )
        if said or (whole and plain in names) or address in _address(text):
            yield recording


def _moment(recording: RecordingFile, *texts: str) -> str:
    """Return the first time in the texts that the recording has, empty where there is none."""
    length = seconds(recording.model.length)
    for text in texts:
        for found in _TIME_IN_ADDRESS.finditer(text):
            if int(found[1]) < length:
                return clock(int(found[1]))
        for found in _TIME.finditer(text):
            if seconds(found[1]) < length:
                return clock(seconds(found[1]))
    return ""


def _plain(text: str) -> str:
    return " ".join(re.sub(r"[^\w\s-]", " ", text.lower()).split())


def _address(text: str) -> str:
    """Return web addresses in the one form in which they are compared."""
    return re.sub(r"https?://(?:www\.)?|(?<=\w)/+(?=\s|$)", "", text.lower()).strip()
