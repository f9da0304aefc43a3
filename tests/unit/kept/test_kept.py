"""What is kept between builds is only ever what it was, and brings nothing that runs along."""

from __future__ import annotations

import os
import pickle
import sqlite3
from fractions import Fraction
from pathlib import Path

import pytest

from kbgen.findings import Severity, finding
from kbgen.kept import Record, Unpackable, listing, open_store, pack, unpack


def test_a_record_comes_back_as_it_was_kept(tmp_path: Path) -> None:
    with open_store(tmp_path / "kept") as store:
        store.keep("files", [("a", Record(b"key", b"data", b"mark"))])
    with open_store(tmp_path / "kept") as store:
        assert store.records("files") == {"a": Record(b"key", b"data", b"mark")}
        assert store.records("pages") == {}
        store.forget("files", ["a"])
        assert store.records("files") == {}


def test_a_record_that_was_changed_is_not_there(tmp_path: Path) -> None:
    with open_store(tmp_path) as store:
        store.keep("files", [("a", Record(b"key", b"data")), ("b", Record(b"key", b"other"))])
    with sqlite3.connect(tmp_path / "kept.db") as base:
        base.execute("UPDATE kept SET data = ? WHERE name = 'a'", (b"datb",))
    base.close()
    with open_store(tmp_path) as store:
        assert list(store.records("files")) == ["b"]


@pytest.mark.parametrize("length", [0, 1, 50, 5000])
def test_a_damaged_file_is_made_anew(tmp_path: Path, length: int) -> None:
    with open_store(tmp_path) as store:
        rows = [(str(one), Record(b"key", bytes(200))) for one in range(200)]
        store.keep("files", rows)
    path = tmp_path / "kept.db"
    path.write_bytes(path.read_bytes()[:length] + b"damage" * 100)
    with open_store(tmp_path) as store:
        assert not set(store.records("files")) - {name for name, _ in rows}
        store.keep("files", [("new", Record(b"key", b"data"))])
        assert store.records("files")["new"] == Record(b"key", b"data")


def test_two_may_keep_at_once(tmp_path: Path) -> None:
    with open_store(tmp_path) as one, open_store(tmp_path) as other:
        one.keep("files", [("a", Record(b"1", b"1"))])
        other.keep("files", [("b", Record(b"2", b"2"))])
        assert set(one.records("files")) == set(other.records("files")) == {"a", "b"}


def test_a_folder_that_cannot_be_made_keeps_nothing(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    with open_store(tmp_path / "file") as store:
        store.keep("files", [("a", Record(b"1", b"1"))])
        assert store.records("files") == {}


def test_values_of_ours_come_back() -> None:
    value = (finding("thread-said-in-part", "content/x", 1, 2, "said", "hint"), Fraction(1, 3))
    assert unpack(pack(value)) == value


class Call:
    def __reduce__(self) -> tuple[object, tuple[str]]:
        return os.system, ("echo smuggled",)


class Attribute:
    def __init__(self, owner: object, name: str) -> None:
        self.reduced = (getattr, (owner, name))

    def __reduce__(self) -> tuple[object, tuple[object, str]]:
        return self.reduced


def test_a_member_of_an_enumeration_comes_back_however_python_packs_it() -> None:
    assert unpack(pack(Severity.ERROR)) is Severity.ERROR
    assert unpack(pickle.dumps(Attribute(Severity, "ERROR"))) is Severity.ERROR


@pytest.mark.parametrize(
    "data",
    [
        pytest.param(pickle.dumps(Call()), id="a call of the system"),
        pytest.param(b"ckbgen.disk.files\nreplace_file\n.", id="a function of ours"),
        pytest.param(b"ckbgen.publish.publication\nPublication\n.", id="a class that acts"),
        pytest.param(b"cbuiltins\neval\n.", id="a builtin"),
        pytest.param(b"\x80\x05\x8c\x09kbgen.cli\x8c\x09os.system\x93.", id="by a way round"),
        pytest.param(pickle.dumps(Attribute(Severity, "mro")), id="a method of an enumeration"),
        pytest.param(pickle.dumps(Attribute(str, "join")), id="an attribute of a builtin"),
        pytest.param(b"no pickle", id="no bytes of ours"),
        pytest.param(b"", id="nothing"),
    ],
)
def test_nothing_that_runs_is_unpacked(data: bytes) -> None:
    with pytest.raises(Unpackable):
        unpack(data)


def test_a_young_file_is_not_trusted(tmp_path: Path) -> None:
    (tmp_path / "a").write_text("a", encoding="utf-8")
    state = (tmp_path / "a").stat()
    later = max(state.st_mtime_ns, state.st_ctime_ns) + 3_000_000_000
    assert listing(tmp_path, state.st_mtime_ns) is None
    first = listing(tmp_path, later)
    assert first is not None
    os.utime(tmp_path / "a", ns=(1, 1))
    changed = (tmp_path / "a").stat().st_ctime_ns + 3_000_000_000
    assert listing(tmp_path, changed) != first
    assert listing(tmp_path / "missing", later) is None
