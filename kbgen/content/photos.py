"""Pictures in ``content/photos``: whether a file is what its name says, and whole.

A pure function of the file's bytes. Nothing of a picture is kept here: it is read again
when it is published, turned upright, and stripped of what a camera wrote into it.
"""

from __future__ import annotations

import io
import struct
import warnings

from PIL import Image, UnidentifiedImageError

from kbgen.findings import Finding, finding

__all__ = ["PHOTO_LIMIT", "photo_findings", "size_finding"]

PHOTO_LIMIT = 40_000_000
"""The bytes that a picture may have: a raw one of the largest cameras is larger."""

PIXELS_LIMIT = 64_000_000
"""The pixels that a picture may have: 8,000 by 8,000, a quarter of a gigabyte unpacked."""

_SMALLER = "save it smaller: it is published 1,280 pixels wide"
_ENDINGS = {"JPEG": (".jpg", ".jpeg"), "PNG": (".png",), "WEBP": (".webp",)}
_KNOWN = (*_ENDINGS, "GIF", "BMP", "TIFF")
_BEGINNINGS = (
    (b"<!doctype html", "an HTML page"),
    (b"<html", "an HTML page"),
    (b"<svg", "an SVG drawing"),
    (b"<?xml", "XML"),
    (b"%pdf", "a PDF"),
    (b"pk\x03\x04", "a ZIP archive"),
    (b"version https://git-lfs", "a pointer to a file that stands elsewhere"),
)
_BOXES = {b"heic": "a HEIC picture", b"mif1": "a HEIC picture", b"avif": "an AVIF picture"}
_BROKEN = (OSError, SyntaxError, ValueError, EOFError, IndexError, OverflowError, struct.error)


def size_finding(path: str, size: int, limit: int) -> Finding:
    """Return the finding of a picture that has more than ``limit`` bytes."""
    message = f"the file has {size:,} bytes; {limit:,} are read at most"
    return finding("photo-too-large", path, 1, 1, message, _SMALLER)


def photo_findings(path: str, data: bytes) -> list[Finding]:
    """Return what is wrong with a picture, at most one finding; never raises."""
    slip = _slip(path.rpartition("/")[2].lower(), data)
    return [finding(slip[0], path, 1, 1, slip[1], slip[2])] if slip else []


def _slip(name: str, data: bytes) -> tuple[str, str, str] | None:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of sizes, which are judged here
        try:
            picture = Image.open(io.BytesIO(data), formats=_KNOWN)
        except UnidentifiedImageError:
            return _unidentified(name, data)
        except Image.DecompressionBombError:
            return _too_many("far more pixels than any camera takes")
        except _BROKEN as error:
            return _unreadable(str(error))
        with picture:
            return _about(name, picture)


def _about(name: str, picture: Image.Image) -> tuple[str, str, str] | None:
    # cameras append a smaller picture to a JPEG, which then calls itself MPO
    form = "JPEG" if picture.format == "MPO" else str(picture.format)
    if not name.endswith(_ENDINGS.get(form, ())):
        return _disguised(name, f"a {form} picture", _ENDINGS.get(form))
    wide, high = picture.size
    if wide * high > PIXELS_LIMIT:
        return _too_many(f"{wide} by {high} pixels")
    frames = getattr(picture, "n_frames", 1)
    if frames > 1 and picture.format != "MPO":
        return (
            "photo-moves",
            f"{frames} pictures in one file, which would move",
            "save the one that shows it best; what has to move belongs in a recording",
        )
    try:
        picture.draft("RGB", (max(1, wide // 8), max(1, high // 8)))
        picture.load()
    except _BROKEN as error:
        return _unreadable(str(error))
    return None


def _too_many(pixels: str) -> tuple[str, str, str]:
    return "photo-too-large", f"{pixels}; at most {PIXELS_LIMIT:,} are unpacked", _SMALLER


def _unidentified(name: str, data: bytes) -> tuple[str, str, str]:
    start = data[:64].lstrip().lower()
    what = next((words for mark, words in _BEGINNINGS if start.startswith(mark)), "")
    if data[4:8] == b"ftyp":
        what = what or _BOXES.get(data[8:12], "a film or a picture of another kind")
    return _disguised(name, what, None) if what else _unreadable("no picture begins like this")


def _disguised(name: str, what: str, endings: tuple[str, ...] | None) -> tuple[str, str, str]:
    ending = name.rpartition(".")[2]
    if endings:
        hint = f"call it {name.removesuffix(ending)}{endings[0][1:]}"
    else:
        hint = "save it as JPEG, PNG or WebP; a new ending alone changes nothing"
    return "photo-disguised", f"the name ends in .{ending}, and this is {what}", hint


def _unreadable(why: str) -> tuple[str, str, str]:
    return (
        "photo-unreadable",
        f"this picture cannot be read to its end: {why.rstrip('.')}",
        "copy it from the camera again, or open and save it anew",
    )
