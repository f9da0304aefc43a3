"""The pictures are those that the program draws, small, and told in words."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from PIL import Image, ImageChops, ImageStat

from kbgen.content import load_tree
from kbgen.content.models import Photo

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
PHOTOS = ROOT / "content" / "photos"
sys.path.insert(0, str(HERE / "pictures"))
from draw_pictures import PICTURES  # noqa: E402

LARGEST = 60_000  # bytes


def _shown() -> list[Photo]:
    notes = load_tree(ROOT).tree.notes.values()
    return [photo for note in notes for photo in note.front.photos]


def test_every_picture_has_its_program_and_its_note() -> None:
    assert sorted(path.name for path in PHOTOS.iterdir()) == sorted(PICTURES)
    assert {photo.file for photo in _shown()} == set(PICTURES)


@pytest.mark.parametrize("name", sorted(PICTURES))
def test_the_picture_is_what_the_program_draws(name: str) -> None:
    """Fonts and sampling may differ by a shade from one Pillow to the next, not by a line."""
    drawn = PICTURES[name]().finished().convert("RGB")
    with Image.open(PHOTOS / name) as kept:
        difference = ImageChops.difference(drawn, kept.convert("RGB"))
    assert max(ImageStat.Stat(difference).mean) < 1
    assert (PHOTOS / name).stat().st_size < LARGEST


def test_the_words_for_a_picture_say_what_is_seen() -> None:
    alts = [photo.alt for photo in _shown()]
    assert [alt for alt in alts if not 8 <= len(alt.split()) <= 40] == []
