"""Photographs as they are published: turned upright, stripped, in two widths.

The original stays untouched. What a camera wrote into the file (position, owner,
serial number) does not leave the workshop: only the pixels are taken over, in the
colours of sRGB.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path

from PIL import Image, ImageCms, ImageOps

from kbgen.content.models import Photo
from kbgen.pages.views import PhotoView

__all__ = ["Photos"]

LARGE, SMALL = 1280, 640
QUALITY = 82


class Photos:
    """The photographs of a tree, re-encoded when they are first asked for."""

    def __init__(self, root: Path, told: Callable[[str], object] = str) -> None:
        """Take the tree's photographs; ``told`` hears of each that a page shows."""
        self._told = told
        self._folder = root / "content" / "photos"
        self._asked: dict[str, PhotoView] = {}
        self._read = cache(self._encoded)

    def view(self, photo: Photo) -> PhotoView:
        """Return how a photograph is shown; its files are written with the site."""
        self._told(photo.file)
        (width, height, _), (small_width, _, _) = self._read(photo.file)
        view = PhotoView(
            large=f"photos/{photo.file}.{LARGE}.jpg",
            small=f"photos/{photo.file}.{SMALL}.jpg" if small_width < width else "",
            width=width,
            height=height,
            small_width=small_width,
            alt=photo.alt,
        )
        self._asked.setdefault(photo.file, view)
        return view

    def files(self) -> Iterator[tuple[str, bytes]]:
        """Yield the files of every photograph that was shown, in order."""
        for name, view in sorted(self._asked.items()):
            (_, _, large), (_, _, small) = self._read(name)
            yield view.large, large
            if view.small:
                yield view.small, small

    def _encoded(self, name: str) -> tuple[tuple[int, int, bytes], tuple[int, int, bytes]]:
        with Image.open(self._folder / name) as opened:
            plain = _plain(ImageOps.exif_transpose(opened))
        return _narrowed(plain, LARGE), _narrowed(plain, SMALL)


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


def _narrowed(picture: Image.Image, widest: int) -> tuple[int, int, bytes]:
    """Return width, height and JPEG bytes of a picture no wider than ``widest``."""
    width, height = picture.size
    if width > widest:
        width, height = widest, max(1, round(height * widest / width))
    out = io.BytesIO()
    # a new image, so that nothing but pixels comes along
    plain = Image.new("RGB", (width, height))
    plain.paste(picture.resize((width, height), Image.Resampling.LANCZOS))
    plain.save(out, "JPEG", quality=QUALITY, optimize=True, progressive=True)
    return width, height, out.getvalue()
