"""Photographs: upright, stripped, two widths, the same bytes every time."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from PIL import Image

from kbgen.content.models import Photo
from kbgen.pages.photos import Photos

ORIENTATION, MAKE, GPS = 0x0112, 0x010F, 0x8825


@pytest.fixture
def root(tmp_path: Path) -> Path:
    folder = tmp_path / "content" / "photos"
    folder.mkdir(parents=True)
    exif = Image.Exif()
    exif[ORIENTATION] = 6  # turned by a quarter
    exif[MAKE] = "a camera"
    exif.get_ifd(GPS)[1] = "N"
    Image.new("RGB", (2000, 1000), "grey").save(folder / "wide.jpg", exif=exif)
    Image.new("RGBA", (300, 200), (0, 0, 0, 0)).save(folder / "small.png")
    return tmp_path


def shown(root: Path, name: str) -> dict[str, bytes]:
    photos = Photos(root)
    photos.view(Photo(file=name, alt="a thing"))
    return dict(photos.files())


def test_a_photo_is_turned_upright_and_narrowed(root: Path) -> None:
    view = Photos(root).view(Photo(file="wide.jpg", alt="a thing"))
    assert (view.width, view.height, view.small_width) == (1000, 2000, 640)


def test_no_small_photo_is_blown_up(root: Path) -> None:
    view = Photos(root).view(Photo(file="small.png", alt="a thing"))
    assert (view.width, view.height, view.small_width) == (300, 200, 300)


def test_what_the_camera_wrote_does_not_leave(root: Path) -> None:
    files = shown(root, "wide.jpg")
    assert len(files) == 2
    for data in files.values():
        picture = Image.open(io.BytesIO(data))
        assert not picture.getexif()
        assert b"a camera" not in data


def test_the_stated_size_is_that_of_the_file(root: Path) -> None:
    photos = Photos(root)
    view = photos.view(Photo(file="wide.jpg", alt="a thing"))
    assert Image.open(io.BytesIO(dict(photos.files())[view.large])).size == (1000, 2000)


def test_the_bytes_are_the_same_every_time_and_the_original_stays(root: Path) -> None:
    original = root / "content" / "photos" / "wide.jpg"
    before = original.read_bytes()
    assert shown(root, "wide.jpg") == shown(root, "wide.jpg")
    assert original.read_bytes() == before
