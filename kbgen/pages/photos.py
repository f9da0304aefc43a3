"""Photographs as they are published: turned upright, stripped, in two widths.

The original stays untouched. What a camera wrote into the file (position, owner,
serial number) does not leave the workshop: only the pixels are taken over, in the
colours of sRGB.
"""

from __future__ import annotations

import hashlib
import io
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path

from PIL import ExifTags, Image, ImageCms, ImageOps

from kbgen.content.models import Photo
from kbgen.kept import Record, Same, Unpackable, digest, pack, program_digest, stamp_of, unpack
from kbgen.pages.kept_pages import Earlier
from kbgen.pages.views import PhotoView

__all__ = ["Photos"]

LARGE, SMALL = 1280, 640
QUALITY = 82
_LYING = 5  # from this orientation on width and height change places; Exif 2.3, table 4


class Photos:
    """The photographs that a site shows; what earlier builds made of them is not made again.

    Shape: ``names`` are those that its notes show; ``told`` hears of each that a page
    shows while it is made.
    """

    def __init__(
        self,
        root: Path,
        names: Iterable[str],
        told: Callable[[str], object] = str,
        earlier: Earlier | None = None,
    ) -> None:
        """Take the photographs of a tree; none is opened yet."""
        self._told = told
        self._folder = root / "content" / "photos"
        self._names = tuple(sorted(set(names)))
        self._earlier = earlier

    def view(self, photo: Photo) -> PhotoView:
        """Return how a photograph is shown; its files are written with the site."""
        self._told(photo.file)
        with Image.open(self._folder / photo.file) as opened:
            turned = opened.getexif().get(ExifTags.Base.Orientation, 1) >= _LYING
            size = opened.size[::-1] if turned else opened.size
        (width, height), (small_width, _) = _fitted(size, LARGE), _fitted(size, SMALL)
        large, small = _paths(photo.file)
        return PhotoView(
            large=large,
            small=small if small_width < width else "",
            width=width,
            height=height,
            small_width=small_width,
            alt=photo.alt,
        )

    def files(self) -> Iterator[tuple[str, bytes | Same]]:
        """Yield the files of every photograph, in order."""
        if self._earlier is None:
            for name in self._names:
                yield from self._made(name)
            return
        store, holds = self._earlier.store, self._earlier.holds
        records = store.records("photos")
        fresh: list[tuple[str, Record]] = []
        for name in self._names:
            key = digest(program_digest(), pack(tuple(stamp_of((self._folder / name).stat()))))
            sums = _kept_sums(records.get(name), key)
            if sums and all(holds(path, sum_) for path, sum_ in sums):
                yield from ((path, Same(sum_)) for path, sum_ in sums)
                continue
            made = self._made(name)
            sums = tuple((path, hashlib.sha256(data).hexdigest()) for path, data in made)
            fresh.append((name, Record(key, pack(sums))))
            yield from made
        store.keep("photos", fresh)
        store.forget("photos", records.keys() - set(self._names))

    def file(self, path: str) -> bytes | None:
        """Return one of the files, None where no photograph has it."""
        for name in self._names:
            if path in _paths(name):
                return dict(self._made(name)).get(path)
        return None

    def _made(self, name: str) -> list[tuple[str, bytes]]:
        """Return the files of a photograph: path and JPEG bytes, the wide one first."""
        with Image.open(self._folder / name) as opened:
            plain = _plain(ImageOps.exif_transpose(opened))
        widths = (LARGE, SMALL) if plain.width > SMALL else (LARGE,)
        paths = zip(_paths(name), widths, strict=False)
        return [(path, _narrowed(plain, width)) for path, width in paths]


def _kept_sums(record: Record | None, key: bytes) -> tuple[tuple[str, str], ...]:
    """Return paths and digests of what was made earlier, none where that holds no more."""
    if record is None or record.key != key:
        return ()
    try:
        sums: tuple[tuple[str, str], ...] = unpack(record.data)
    except Unpackable:
        return ()
    return sums


def _paths(name: str) -> tuple[str, str]:
    return f"photos/{name}.{LARGE}.jpg", f"photos/{name}.{SMALL}.jpg"


def _fitted(size: tuple[int, int], widest: int) -> tuple[int, int]:
    """Return width and height of a picture made no wider than ``widest``."""
    width, height = size
    return (width, height) if width <= widest else (widest, max(1, round(height * widest / width)))


def _plain(picture: Image.Image) -> Image.Image:
    """Return a picture in sRGB on white, without what was transparent in it."""
    profile = picture.info.get("icc_profile")
    if picture.mode.startswith("I"):  # sixteen bits, of which eight are shown
        picture = picture.point(lambda value: value / 256).convert("L")
    if picture.has_transparency_data:
        shown = picture.convert("RGBA")
        ground = Image.new("RGB", picture.size, "white")
        ground.paste(shown, mask=shown.getchannel("A"))
        return ground
    if profile and picture.mode in ("RGB", "CMYK", "L"):
        try:
            own = ImageCms.ImageCmsProfile(io.BytesIO(profile))
            turned = ImageCms.profileToProfile(
                picture, own, ImageCms.createProfile("sRGB"), outputMode="RGB"
            )
        except (ImageCms.PyCMSError, OSError):  # of another colour space, or damaged
            turned = None
        if turned is not None:
            return turned
    return picture.convert("RGB")


def _narrowed(picture: Image.Image, widest: int) -> bytes:
    """Return the JPEG bytes of a picture no wider than ``widest``."""
    size = _fitted(picture.size, widest)
    out = io.BytesIO()
    # a new image, so that nothing but pixels comes along
    plain = Image.new("RGB", size)
    plain.paste(picture.resize(size, Image.Resampling.LANCZOS))
    plain.save(out, "JPEG", quality=QUALITY, optimize=True, progressive=True)
    return out.getvalue()
