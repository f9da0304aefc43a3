"""Photographs: upright, stripped, in true colours, two widths, the same bytes every time.

The pictures are made here, with what cameras write into them: EXIF 2.32 (CIPA DC-008)
for position, maker and orientation; XMP, comments and text chunks beside it.
"""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from PIL import Image, ImageCms, PngImagePlugin

from kbgen.content.models import Photo
from kbgen.pages.photos import Photos

ORIENTATION, MAKE, GPS = 0x0112, 0x010F, 0x8825
SECRETS = (b"a camera", b"52.370", b"Exif", b"GPS", b"xmp", b"owner of it", b"ICC_PROFILE")
NAMES = ("wide.jpg", "wide.png", "wide.webp")


def exif() -> Image.Exif:
    told = Image.Exif()
    told[ORIENTATION] = 6  # turned by a quarter
    told[MAKE] = "a camera"
    place = told.get_ifd(GPS)
    place[1], place[2] = "N", (52.0, 22.0, 13.2)
    place[3], place[4] = "E", (4.0, 53.0, 43.8)
    place[29] = "2026:03:04"
    return told


@pytest.fixture
def root(tmp_path: Path) -> Path:
    folder = tmp_path / "content" / "photos"
    folder.mkdir(parents=True)
    picture = Image.linear_gradient("L").resize((2000, 1000)).convert("RGB")
    xmp = b"<x:xmpmeta xmlns:x='adobe:ns:meta/'><rdf:owner>owner of it</rdf:owner></x:xmpmeta>"
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    text = PngImagePlugin.PngInfo()
    text.add_text("Location", "52.370N 4.896E, owner of it")
    kept = {"exif": exif(), "icc_profile": profile}
    picture.save(folder / "wide.jpg", **kept, comment=b"owner of it", xmp=xmp)
    picture.save(folder / "wide.png", **kept, pnginfo=text)
    picture.save(folder / "wide.webp", **kept, xmp=xmp)
    Image.new("RGBA", (300, 200), (0, 0, 0, 0)).save(folder / "small.png")
    return tmp_path


def shown(root: Path, name: str) -> dict[str, bytes]:
    return {path: data for path, data in Photos(root, [name]).files() if isinstance(data, bytes)}


def opened(data: bytes) -> Image.Image:
    return Image.open(io.BytesIO(data))


def test_the_pictures_do_carry_what_must_not_leave(root: Path) -> None:
    for name in NAMES:
        with Image.open(root / "content" / "photos" / name) as picture:
            assert picture.getexif().get_ifd(GPS)[2] == (52.0, 22.0, 13.2), name
            assert picture.getexif()[MAKE] == "a camera", name


@pytest.mark.parametrize("name", NAMES)
def test_a_photo_is_turned_upright_and_narrowed(root: Path, name: str) -> None:
    view = Photos(root, [name]).view(Photo(file=name, alt="a thing"))
    assert (view.width, view.height, view.small_width) == (1000, 2000, 640)


def test_no_small_photo_is_blown_up_nor_published_twice(root: Path) -> None:
    view = Photos(root, ["small.png"]).view(Photo(file="small.png", alt="a thing"))
    assert (view.width, view.height, view.small_width, view.small) == (300, 200, 300, "")
    assert list(shown(root, "small.png")) == ["photos/small.png.1280.jpg"]


@pytest.mark.parametrize("name", NAMES)
def test_what_the_camera_wrote_does_not_leave(root: Path, name: str) -> None:
    files = shown(root, name)
    assert len(files) == 2
    for data in files.values():
        with opened(data) as picture:
            assert not picture.getexif()
            # what a JPEG needs to be drawn, and nothing else
            assert set(picture.info) <= {
                "jfif", "jfif_version", "jfif_unit", "jfif_density", "progressive", "progression",
            }  # fmt: skip
        assert [secret for secret in SECRETS if secret in data] == []


@pytest.mark.parametrize("name", [*NAMES, "small.png"])
def test_the_stated_size_is_that_of_the_files(root: Path, name: str) -> None:
    view = Photos(root, [name]).view(Photo(file=name, alt="a thing"))
    files = shown(root, name)
    assert opened(files[view.large]).size == (view.width, view.height)
    if view.small:
        assert opened(files[view.small]).width == view.small_width


@pytest.mark.parametrize("name", NAMES)
def test_the_bytes_are_the_same_every_time_and_the_original_stays(root: Path, name: str) -> None:
    original = root / "content" / "photos" / name
    before = (original.read_bytes(), original.stat().st_mtime_ns)
    assert shown(root, name) == shown(root, name)
    assert (original.read_bytes(), original.stat().st_mtime_ns) == before


def centre(root: Path, name: str) -> tuple[int, ...]:
    (data,) = shown(root, name).values()
    with opened(data) as picture:
        found = picture.convert("RGB").getpixel((picture.width // 2, picture.height // 2))
    assert isinstance(found, tuple)
    return found


def test_what_is_transparent_is_white(root: Path) -> None:
    assert centre(root, "small.png") == (255, 255, 255)
    folder = root / "content" / "photos"
    palette = Image.new("P", (9, 9), 3)
    palette.putpalette([7, 7, 7] * 256)
    palette.save(folder / "palette.png", transparency=3)
    assert centre(root, "palette.png") == (255, 255, 255)


def test_sixteen_bits_are_brought_down_and_not_cut_off(root: Path) -> None:
    Image.new("I;16", (9, 9), 0x8000).save(root / "content" / "photos" / "deep.png")
    assert centre(root, "deep.png") == pytest.approx((128, 128, 128), abs=2)


def test_colours_of_another_space_are_brought_to_srgb(root: Path) -> None:
    """A profile that is dropped unread shows other colours than the camera saw.

    The profile here is that of sRGB with red and green exchanged (the tags rXYZ and gXYZ
    of ICC.1:2022, 9.2.44): red as numbers, green to the eye.
    """
    plain = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    turned = plain.replace(b"rXYZ", b"----", 1).replace(b"gXYZ", b"rXYZ", 1)
    turned = turned.replace(b"----", b"gXYZ", 1)
    folder = root / "content" / "photos"
    Image.new("RGB", (9, 9), (200, 60, 60)).save(folder / "turned.png", icc_profile=turned)
    assert centre(root, "turned.png") == pytest.approx((60, 200, 60), abs=6)


def test_a_damaged_profile_costs_no_picture_and_ink_is_shown_as_light(root: Path) -> None:
    folder = root / "content" / "photos"
    Image.new("RGB", (9, 9), (200, 60, 60)).save(folder / "odd.png", icc_profile=b"no profile")
    assert centre(root, "odd.png") == pytest.approx((200, 60, 60), abs=3)
    Image.new("CMYK", (9, 9), (0, 255, 255, 0)).save(folder / "print.jpg")
    red = centre(root, "print.jpg")
    assert red[0] > 200 and red[1] < 80 and red[2] < 80
