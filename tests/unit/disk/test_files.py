"""A file appears whole or not at all, and never over another."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest

from kbgen.disk import add_file, exchange, locked_folder, replace_file, settle


def no_links(*_: object) -> None:
    raise OSError(errno.EPERM, os.strerror(errno.EPERM))


@pytest.mark.parametrize("links", [True, False], ids=["links", "no links"])
def test_a_new_file_is_added(tmp_path: Path, links: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    if not links:
        monkeypatch.setattr(os, "link", no_links)
    beside = tmp_path / "working" / "new"
    add_file(tmp_path / "note.md", b"text", beside)
    assert (tmp_path / "note.md").read_bytes() == b"text"
    assert not beside.exists()
    with pytest.raises(FileExistsError):
        add_file(tmp_path / "note.md", b"other", beside)
    (tmp_path / "away.md").symlink_to(tmp_path / "nowhere")
    with pytest.raises(FileExistsError):
        add_file(tmp_path / "away.md", b"other", beside)
    assert (tmp_path / "note.md").read_bytes() == b"text"
    assert not (tmp_path / "nowhere").exists()
    assert not beside.exists()


@pytest.mark.parametrize("act", [add_file, replace_file])
def test_a_full_disk_leaves_nothing(
    tmp_path: Path, act: object, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(_: int) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    (tmp_path / "old").write_bytes(b"old")
    monkeypatch.setattr(os, "fsync", full)
    target = tmp_path / ("old" if act is replace_file else "new")
    with pytest.raises(OSError, match="space"):
        act(target, b"text", tmp_path / "working" / "x")  # type: ignore[operator]
    assert (tmp_path / "old").read_bytes() == b"old"
    assert not (tmp_path / "new").exists()
    assert not (tmp_path / "working" / "x").exists()


def test_folders_change_places(tmp_path: Path) -> None:
    new, place, last = (tmp_path / name for name in ("new", "place", "last"))
    for folder in (new, place):
        folder.mkdir()
        (folder / "name").write_text(folder.name, encoding="utf-8")
    exchange(new, place, last)
    assert (place / "name").read_text(encoding="utf-8") == "new"
    place.rename(last)  # cut short between two renames
    settle(new, place, last)
    assert place.exists()


def test_a_folder_is_held_by_one_at_a_time(tmp_path: Path) -> None:
    waited = []

    def waiting() -> None:
        waited.append(True)
        raise KeyboardInterrupt

    def nobody() -> None:
        raise AssertionError("nothing was to be waited for")

    with (
        locked_folder(tmp_path, tmp_path / "working", nobody),
        pytest.raises(KeyboardInterrupt),
        locked_folder(tmp_path, tmp_path / "working", waiting),
    ):
        raise AssertionError("two held it")
    assert waited == [True]
    with locked_folder(tmp_path, tmp_path / "working", nobody):
        pass


def test_what_was_left_of_an_earlier_file_is_not_written_into(tmp_path: Path) -> None:
    """A second name that could not be taken away leads to the file that was put in its place."""
    first, beside = tmp_path / "first.md", tmp_path / "beside" / "new"
    add_file(first, b"first", beside)
    beside.hardlink_to(first)
    add_file(tmp_path / "second.md", b"second", beside)
    assert first.read_bytes() == b"first"
    beside.hardlink_to(first)
    replace_file(tmp_path / "second.md", b"third", beside)
    assert first.read_bytes() == b"first"
    assert (tmp_path / "second.md").read_bytes() == b"third"
