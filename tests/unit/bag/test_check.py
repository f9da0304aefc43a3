"""What is wrong with a bag is found and said; a whole one is whole to others too.

The reference for what a valid bag is: the library ``bagit`` of the Library of Congress,
by the authors of RFC 8493.
"""

from __future__ import annotations

import hashlib
import logging
from collections.abc import Callable
from pathlib import Path

import bagit
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kbgen.bag import check_bag
from kbgen.bag.check import Slip
from kbgen.bag.form import (
    decoded,
    encoded,
    format_info,
    format_manifest,
    is_unsafe,
    parse_info,
    parse_manifest,
)

ON_ONE_BAG = settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
NOTE = "data/content/notes/0001-winder-tyre-slips.md"


@pytest.fixture(autouse=True)
def _quiet() -> None:
    logging.getLogger("bagit").setLevel(logging.CRITICAL)


def valid_elsewhere(bag: Path) -> bool:
    try:
        return bool(bagit.Bag(str(bag)).is_valid())
    except (bagit.BagError, OSError):
        return False


def found(bag: Path) -> list[tuple[str, str]]:
    return [(slip.path, slip.what) for slip in check_bag(bag)]


def test_a_bag_is_whole(bag: Path) -> None:
    assert found(bag) == []
    assert valid_elsewhere(bag)


def flip(bag: Path) -> None:
    data = bytearray((bag / NOTE).read_bytes())
    data[40] ^= 1
    (bag / NOTE).write_bytes(data)


def rewrite(name: str, change: Callable[[str], str]) -> Callable[[Path], None]:
    def spoil(bag: Path) -> None:
        path = bag / name
        path.write_text(change(path.read_text(encoding="utf-8")), encoding="utf-8", newline="")

    return spoil


def listed(path: str) -> Callable[[Path], None]:
    """Add a line to the manifest, with the digest of an empty file."""
    line = f"{hashlib.sha512(b'').hexdigest()}  {path}\n"
    return rewrite("manifest-sha512.txt", lambda text: text + line)


def secret_beside(bag: Path) -> None:
    (bag.parent / "secret").write_bytes(b"")
    listed("data/../../secret")(bag)


@pytest.mark.parametrize(
    ("spoil", "path", "words"),
    [
        pytest.param(flip, NOTE, "its bytes are not those", id="a flipped bit"),
        pytest.param(lambda bag: (bag / NOTE).unlink(), NOTE, "it is missing", id="missing"),
        pytest.param(
            lambda bag: (bag / "data" / "extra.txt").touch(), "data/extra.txt",
            "does not list it", id="extra",
        ),
        pytest.param(
            lambda bag: (bag / "bagit.txt").unlink(), "bagit.txt", "it is missing",
            id="no declaration",
        ),
        pytest.param(
            lambda bag: (bag / "manifest-sha512.txt").unlink(), "", "there is no manifest",
            id="no manifest",
        ),
        pytest.param(
            rewrite("bag-info.txt", lambda text: text.replace("2026-03-04", "2026-03-05")),
            "bag-info.txt", "its bytes are not those", id="another day",
        ),
        pytest.param(secret_beside, "manifest-sha512.txt", "leads out of the bag", id="upwards"),
        pytest.param(
            listed("/etc/hostname"), "manifest-sha512.txt", "leads out of the bag", id="absolute"
        ),
        pytest.param(
            listed("data/a/%0A../../x"), "manifest-sha512.txt", "leads out of the bag",
            id="upwards behind a line feed",
        ),
        pytest.param(
            listed("C:/data/x"), "manifest-sha512.txt", "leads out of the bag", id="a drive"
        ),
        pytest.param(
            listed("data\\x"), "manifest-sha512.txt", "leads out of the bag", id="a backslash"
        ),
        pytest.param(listed("~/x"), "manifest-sha512.txt", "leads out of the bag", id="a home"),
        pytest.param(
            listed("bagit.txt"), "manifest-sha512.txt", "has no place here", id="a tag file"
        ),
        pytest.param(
            listed("data/100%.txt"), "manifest-sha512.txt", "stands for nothing",
            id="a bare percent sign",
        ),
        pytest.param(
            listed("data/a%20b.txt"), "manifest-sha512.txt", "stands for nothing",
            id="a blank that is encoded",
        ),
        pytest.param(listed(NOTE), "manifest-sha512.txt", "listed twice", id="twice"),
        pytest.param(
            rewrite("manifest-sha512.txt", lambda text: text + "no digest\n"),
            "manifest-sha512.txt", "no digest followed by a path", id="no digest",
        ),
        pytest.param(
            rewrite("bagit.txt", lambda text: text.replace("UTF-8", "UTF-16")), "bagit.txt",
            "not in UTF-8", id="another encoding",
        ),
        pytest.param(
            rewrite("bagit.txt", lambda text: text.replace("1.0", "one")), "bagit.txt",
            "which version", id="no version",
        ),
        pytest.param(
            rewrite("bagit.txt", lambda text: "\ufeff" + text), "bagit.txt", "byte order mark",
            id="a byte order mark",
        ),
        pytest.param(
            lambda bag: (bag / "manifest-sha512.txt").write_bytes(b"\xff\xfe"),
            "manifest-sha512.txt", "not text in UTF-8", id="no text",
        ),
        pytest.param(
            lambda bag: (bag / "manifest-md17.txt").touch(), "manifest-md17.txt",
            "not known here", id="an unknown digest",
        ),
        pytest.param(
            rewrite("bag-info.txt", lambda text: text.replace("Oxum: ", "Oxum: 1")),
            "bag-info.txt", "in the bag are", id="another amount",
        ),
        pytest.param(
            rewrite("bag-info.txt", lambda text: text + "no label\n"), "bag-info.txt",
            "not lines of a label", id="no labels",
        ),
        pytest.param(
            lambda bag: (bag / "fetch.txt").write_text(
                "https://example.org/x 3 data/x\n", encoding="utf-8"
            ),
            "fetch.txt", "to be fetched", id="something to fetch",
        ),
    ],
)  # fmt: skip
def test_what_is_wrong_is_said(
    bag: Path, spoil: Callable[[Path], object], path: str, words: str
) -> None:
    spoil(bag)
    slips = found(bag)
    assert any(place == path and words in what for place, what in slips), slips


def test_a_link_is_not_followed(bag: Path) -> None:
    (bag.parent / "elsewhere").write_bytes((bag / NOTE).read_bytes())
    (bag / NOTE).unlink()
    (bag / NOTE).symlink_to(bag.parent / "elsewhere")
    assert (NOTE, "it is neither a file nor a folder, and was not opened") in found(bag)


def test_a_name_in_other_capitals_or_composed_otherwise_is_told_from_a_missing_one(
    bag: Path,
) -> None:
    (bag / NOTE).rename((bag / NOTE).with_name("0001-Winder-tyre-slips.md"))
    assert any("there is data/content/notes/0001-Winder" in what for _, what in found(bag))
    (bag / "data" / "n\u00e9.txt").touch()
    listed("data/ne\u0301.txt")(bag)
    assert any("composed otherwise" in what for _, what in found(bag))


@pytest.mark.parametrize(
    "name",
    [
        pytest.param("a\nb.txt", id="line feed"),
        pytest.param("a\rb.txt", id="carriage return"),
        pytest.param("½ – “x”.txt", id="beyond ASCII"),
    ],
)
def test_names_are_read_as_the_reference_writes_them(tmp_path: Path, name: str) -> None:
    """The reference makes the bag, this program reads it."""
    bag = tmp_path / "bag"
    bag.mkdir()
    (bag / name).write_bytes(b"x")
    bagit.make_bag(str(bag), checksums=["sha512", "sha256", "md5"])
    assert found(bag) == []


@pytest.mark.parametrize(
    ("path", "written"),
    [
        ("data/50%.txt", "data/50%25.txt"),
        ("data/50%25.txt", "data/50%2525.txt"),
        ("data/a\nb\rc", "data/a%0Ab%0Dc"),
        ("data/a b", "data/a b"),
    ],
)
def test_three_marks_are_encoded_and_no_others(path: str, written: str) -> None:
    """RFC 8493, section 2.1.3: CR, LF and % are encoded, and nothing else is."""
    assert encoded(path) == written
    assert decoded(written) == path


@given(name=st.text(st.characters(exclude_categories=["Cs"]), min_size=1))
def test_a_path_reads_back_as_it_was_written(name: str) -> None:
    path = f"data/{name}"
    [read] = parse_manifest(format_manifest({path: "ab" * 64}).decode())
    assert (read.digest, read.path, read.slip) == ("ab" * 64, path, "")


@given(rows=st.lists(st.tuples(st.from_regex(r"[A-Z][A-Za-z-]{0,12}", fullmatch=True), st.text())))
def test_information_reads_back(rows: list[tuple[str, str]]) -> None:
    plain = [(label, " ".join(value.split())) for label, value in rows]
    plain = [(label, value) for label, value in plain if value.isprintable()]
    read = parse_info(format_info(plain).decode())
    assert read is not None
    for label, value in plain:
        assert value in read[label]


@pytest.fixture
def small(tmp_path: Path) -> Path:
    """A bag by the reference, of two files."""
    (tmp_path / "inner").mkdir()
    (tmp_path / "note.md").write_text("Winder ½ slips\n", encoding="utf-8")
    (tmp_path / "inner" / "tyre.bin").write_bytes(bytes(range(256)))
    bagit.make_bag(str(tmp_path), {"Source-Organization": "Larch Row"}, checksums=["sha512"])
    assert check_bag(tmp_path) == []
    return tmp_path


@pytest.mark.parametrize(
    "path", ["data/a/../b", "..", "/x", "~x/y", "a\\b", "D:x", "a//b", "a/./b"]
)
def test_paths_that_lead_out(path: str) -> None:
    assert is_unsafe(path)
    assert not is_unsafe("data/a b/..c/½.txt")


@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(data=st.data())
def test_any_change_of_any_byte_is_found(small: Path, data: st.DataObject) -> None:
    bag = small
    files = sorted(path for path in bag.rglob("*") if path.is_file() and path.stat().st_size)
    files = [path for path in files if not path.name.startswith("tagmanifest")]
    path = data.draw(st.sampled_from(files))
    before = path.read_bytes()
    at = data.draw(st.integers(0, len(before) - 1))
    bit = data.draw(st.integers(0, 7))
    path.write_bytes(before[:at] + bytes([before[at] ^ 1 << bit]) + before[at + 1 :])
    try:
        assert check_bag(bag)
    finally:
        path.write_bytes(before)


@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(text=st.text())
def test_no_manifest_stops_the_check(small: Path, text: str) -> None:
    data = text.encode("utf-8", "replace")
    (small / "manifest-sha256.txt").write_bytes(data)
    assert check_bag(small)


def test_a_folder_that_is_no_bag_is_not_looked_through(tmp_path: Path) -> None:
    (tmp_path / "letters" / "deep").mkdir(parents=True)
    (tmp_path / "letters" / "deep" / "bound").symlink_to(tmp_path)
    assert check_bag(tmp_path) == [Slip("bagit.txt", "it is missing: without it this is no bag")]
