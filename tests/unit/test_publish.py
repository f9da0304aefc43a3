"""A site is written whole or not at all, and only over a site."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
import textwrap
import threading
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from kbgen.disk import swap
from kbgen.publish import FolderRefused, PublishError, publication, publishing
from kbgen.publish.folder import MARK, format_mark, parse_mark

LEDGER = b"# head\nindex.html\tindex.html\n"


@pytest.fixture
def tree(tmp_path: Path) -> Path:
    root = tmp_path / "tree"
    (root / "content").mkdir(parents=True)
    (root / "site").mkdir()
    (root / "site" / ".gitignore").write_text("*\n", encoding="utf-8")
    return root


def nobody() -> None:
    raise AssertionError("nothing was to be waited for")


def publish(
    root: Path, files: dict[str, bytes], out: Path | None = None, ledger: bytes = LEDGER
) -> int:
    """Publish files and return how many had to be written."""
    with publishing(root, out, nobody) as place:
        return place.write_site(files.items(), ledger).changed


def whole(folder: Path) -> dict[str, bytes]:
    """Return every file of a folder but the mark."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and path.name != MARK
    }


OLD = {"index.html": b"old", "n/0001.html": b"one", "n/0002.html": b"two"}
NEW = {"index.html": b"new", "n/0001.html": b"one", "m/a.html": b"a"}


def test_a_site_is_written_and_replaced_with_dotfiles_kept(tree: Path) -> None:
    assert publish(tree, OLD) == 3
    assert whole(tree / "site") == {".gitignore": b"*\n", **OLD}
    assert publish(tree, NEW) == 2
    assert whole(tree / "site") == {".gitignore": b"*\n", **NEW}
    assert (tree / "content" / "addresses.tsv").read_bytes() == LEDGER


def test_a_large_site_is_made_of_the_one_before_the_last(
    tree: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(publication, "_WORTH_SPARING", 1)
    site, spare = tree / "site", tree / ".site.kbgen" / "spare"
    publish(tree, OLD)
    assert not spare.exists()
    publish(tree, {**OLD, "index.html": b"second"})
    assert whole(spare) == {".gitignore": b"*\n", **OLD}
    (site / "from-the-host").write_bytes(b"host")
    (site / "n" / "0002.html").write_bytes(b"by hand")  # in the spared one as well: one file
    (spare / "stray").mkdir()
    (spare / "n" / "stray").write_bytes(b"stray")
    assert publish(tree, NEW) == 2
    assert whole(site) == {".gitignore": b"*\n", "from-the-host": b"host", **NEW}
    assert not (site / "stray").exists()
    (site / "from-the-host").unlink()
    assert publish(tree, OLD) == 2
    assert whole(site) == {".gitignore": b"*\n", **OLD}
    kept = (site / "n" / "0001.html").stat().st_ino
    assert publish(tree, {**OLD, "index.html": b"third"}) == 1
    assert (site / "n" / "0001.html").stat().st_ino == kept
    assert {path.name for path in (tree / ".site.kbgen").iterdir()} == {".gitignore", "spare"}


def test_a_spared_site_that_is_no_site_is_passed_over(
    tree: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(publication, "_WORTH_SPARING", 1)
    publish(tree, OLD)
    publish(tree, NEW)
    spare = tree / ".site.kbgen" / "spare"
    (spare / MARK).write_bytes(b"half a ma")
    (spare / "index.html").write_bytes(b"wrong")
    publish(tree, OLD)
    assert whole(tree / "site") == {".gitignore": b"*\n", **OLD}


def test_nothing_is_left_beside_the_site(tree: Path) -> None:
    publish(tree, OLD)
    publish(tree, NEW)
    assert sorted(path.name for path in tree.iterdir()) == ["content", "site"]
    assert sorted(path.name for path in (tree / "content").iterdir()) == ["addresses.tsv"]


def test_what_did_not_change_is_the_same_file(tree: Path) -> None:
    publish(tree, OLD)
    before = (tree / "site" / "n" / "0001.html").stat().st_ino
    publish(tree, NEW)
    assert (tree / "site" / "n" / "0001.html").stat().st_ino == before


def test_a_page_changed_by_hand_is_put_right(tree: Path) -> None:
    publish(tree, OLD)
    (tree / "site" / "n" / "0001.html").write_bytes(b"0ne")
    (tree / "site" / "n" / "0002.html").unlink()
    assert publish(tree, OLD) == 2
    assert whole(tree / "site") == {".gitignore": b"*\n", **OLD}


def test_the_first_site_needs_no_folder(tree: Path, tmp_path: Path) -> None:
    out = tmp_path / "deep" / "er" / "site"
    publish(tree, OLD, out)
    assert whole(out) == OLD
    assert [path.name for path in out.parent.iterdir()] == ["site"]


def test_what_a_person_put_there_is_carried_over(tree: Path) -> None:
    publish(tree, OLD)
    site = tree / "site"
    (site / ".git" / "refs").mkdir(parents=True)
    (site / ".git" / "HEAD").write_bytes(b"ref")
    (site / "CNAME").write_bytes(b"larch-row.example.org")
    (site / "n" / "extra.txt").write_bytes(b"mine")
    (site / "there").symlink_to("CNAME")
    publish(tree, NEW)
    kept = whole(site)
    assert kept[".git/HEAD"] == b"ref"
    assert kept["CNAME"] == b"larch-row.example.org"
    assert kept["n/extra.txt"] == b"mine"
    assert (site / "there").is_symlink()
    assert (site / ".git" / "refs").is_dir()
    assert "n/0002.html" not in kept


def test_a_folder_that_empties_goes_away(tree: Path) -> None:
    publish(tree, OLD)
    publish(tree, {"index.html": b"new"})
    assert not (tree / "site" / "n").exists()


def test_a_page_never_overwrites_what_a_person_put_there(tree: Path) -> None:
    publish(tree, OLD)
    (tree / "site" / "m").mkdir()
    (tree / "site" / "m" / "a.html").write_bytes(b"mine")
    with pytest.raises(FolderRefused, match="put there by hand"):
        publish(tree, NEW)
    assert whole(tree / "site") == {".gitignore": b"*\n", **OLD, "m/a.html": b"mine"}


def folder_with_letters(tree: Path) -> Path:
    folder = tree.parent / "letters"
    folder.mkdir()
    (folder / "to-mother.txt").write_bytes(b"dear")
    return folder


def a_file(tree: Path) -> Path:
    path = tree.parent / "file"
    path.write_bytes(b"dear")
    return path


def dangling(tree: Path) -> Path:
    path = tree.parent / "link"
    path.symlink_to(tree.parent / "nowhere")
    return path


@pytest.mark.parametrize(
    ("out", "words"),
    [
        pytest.param(folder_with_letters, "to-mother.txt", id="somebody's files"),
        pytest.param(a_file, "not a folder", id="a file"),
        pytest.param(dangling, "symbolic link", id="a dangling link"),
        pytest.param(lambda tree: tree, "holds the content tree", id="the tree"),
        pytest.param(lambda tree: tree.parent, "holds the content tree", id="above the tree"),
        pytest.param(lambda tree: tree / "content" / "x", "content/", id="in the content"),
        pytest.param(lambda tree: tree / "templates", "templates/", id="the templates"),
        pytest.param(lambda _: Path("/proc"), "mounted", id="a mount point"),
    ],
)
def test_a_folder_that_is_no_site_is_refused(
    tree: Path, out: Callable[[Path], Path], words: str
) -> None:
    folder = out(tree)
    before = whole(tree.parent)
    with pytest.raises(FolderRefused, match=words) as refused:
        publish(tree, NEW, folder)
    assert refused.value.hint
    assert whole(tree.parent) == before


def test_a_damaged_mark_is_no_mark(tree: Path) -> None:
    publish(tree, OLD)
    (tree / "site" / MARK).write_bytes(b"# A site")
    with pytest.raises(FolderRefused, match="its mark is damaged"):
        publish(tree, NEW)
    assert whole(tree / "site") == {".gitignore": b"*\n", **OLD}


def test_a_link_to_the_site_is_followed_and_stays(tree: Path, tmp_path: Path) -> None:
    real = tmp_path / "real"
    real.mkdir()
    link = tmp_path / "link"
    link.symlink_to(real)
    publish(tree, OLD, link)
    publish(tree, NEW, link)
    assert link.is_symlink()
    assert whole(real) == NEW


def test_the_mark_reads_back() -> None:
    digests = {"n/0001.html": "a" * 64, "index.html": "b" * 64}
    assert parse_mark(format_mark(digests)) == digests
    assert parse_mark(format_mark(digests) + b"x\n") is None
    assert parse_mark(b"\xff\xfe") is None


@pytest.mark.parametrize(
    "path", ["", "/etc/x", "../x", "a/../../x", "a//b", "./a", "a\\b", "c:x", MARK]
)
def test_a_path_that_leaves_the_site_is_refused(tree: Path, path: str) -> None:
    publish(tree, OLD)
    with pytest.raises(ValueError, match="no place"):
        publish(tree, {path: b"x"})
    assert whole(tree / "site") == {".gitignore": b"*\n", **OLD}


def test_two_names_that_are_one_on_some_disks_are_refused(tree: Path) -> None:
    with pytest.raises(ValueError, match="one file"):
        publish(tree, {"n/a.html": b"1", "n/A.html": b"2"})


class PageError(Exception):
    pass


@pytest.mark.parametrize("error", [PageError("a page"), FileNotFoundError(2, "no template")])
def test_an_error_of_the_pages_leaves_the_site(tree: Path, error: Exception) -> None:
    def pages() -> Iterator[tuple[str, bytes]]:
        yield "index.html", b"half"
        raise error

    publish(tree, OLD)
    with (
        pytest.raises(type(error)) as raised,
        publishing(tree, None, nobody) as place,
    ):
        place.write_site(pages(), LEDGER)
    assert raised.value is error
    assert whole(tree / "site") == {".gitignore": b"*\n", **OLD}
    assert sorted(path.name for path in tree.iterdir()) == ["content", "site"]


def without_a_call(monkeypatch: pytest.MonkeyPatch) -> None:
    """Make the system one that has no call to exchange two folders."""
    monkeypatch.setattr(swap, "_swap_call", lambda: None)


def test_two_renames_do_where_there_is_no_call(tree: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    without_a_call(monkeypatch)
    publish(tree, OLD)
    publish(tree, NEW)
    assert whole(tree / "site") == {".gitignore": b"*\n", **NEW}
    assert sorted(path.name for path in tree.iterdir()) == ["content", "site"]


def test_a_second_rename_that_fails_undoes_the_first(
    tree: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    publish(tree, OLD)
    without_a_call(monkeypatch)
    real = Path.rename

    def fails_once(path: Path, target: Path) -> Path:
        if path.name == "new":
            raise PermissionError(errno.EACCES, "held open by another program", str(path))
        return real(path, target)

    monkeypatch.setattr(Path, "rename", fails_once)
    with pytest.raises(PublishError, match="held open"):
        publish(tree, NEW)
    assert whole(tree / "site") == {".gitignore": b"*\n", **OLD}


@pytest.mark.parametrize("error", [errno.EINVAL, errno.ENOSYS])
def test_a_call_that_this_disk_does_not_know_is_done_without(
    tree: Path, monkeypatch: pytest.MonkeyPatch, error: int
) -> None:
    import ctypes

    def unknown(new: bytes, site: bytes) -> int:
        del new, site
        ctypes.set_errno(error)
        return -1

    publish(tree, OLD)
    monkeypatch.setattr(swap, "_swap_call", lambda: unknown)
    publish(tree, NEW)
    assert whole(tree / "site") == {".gitignore": b"*\n", **NEW}


def test_a_stop_between_two_renames_is_finished_at_the_next_start(tree: Path) -> None:
    publish(tree, OLD)
    beside = tree / ".site.kbgen"
    beside.mkdir()
    publish(tree, NEW, tree.parent / "elsewhere")
    (tree.parent / "elsewhere").rename(beside / "new")
    (tree / "site").rename(beside / "last")
    with publishing(tree, None, nobody):
        assert whole(tree / "site") == NEW
    assert not beside.exists()


@pytest.mark.parametrize("name", ["new", "last"])
def test_leftovers_are_removed_at_the_next_start(tree: Path, name: str) -> None:
    publish(tree, OLD)
    beside = tree / ".site.kbgen" / name / "n"
    beside.mkdir(parents=True)
    (beside / "0001.html").write_bytes(b"half")
    with publishing(tree, None, nobody):
        assert not (tree / ".site.kbgen").exists()
        assert whole(tree / "site") == {".gitignore": b"*\n", **OLD}


def test_a_link_of_the_working_folders_name_is_not_followed(tree: Path, tmp_path: Path) -> None:
    other = tmp_path / "other" / "new"
    other.mkdir(parents=True)
    (other / "letter").write_bytes(b"dear")
    (tree / ".site.kbgen").symlink_to(other.parent)
    with pytest.raises(PublishError, match="symbolic link"):
        publish(tree, NEW)
    assert (other / "letter").read_bytes() == b"dear"


def stopped_before_the_ledger(tree: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Publish, and stop as a kill would after the exchange and before the ledger."""
    from kbgen.publish import publication

    class Killed(BaseException):
        pass

    def killed(*_: object) -> None:
        raise Killed

    with monkeypatch.context() as patch:
        patch.setattr(publication.Publication, "write_ledger", killed)
        with pytest.raises(Killed):
            publish(tree, NEW, ledger=LEDGER + b"m/a.html\tm/a.html\n")
    assert whole(tree / "site") == {".gitignore": b"*\n", **NEW}


def test_a_ledger_that_did_not_go_out_is_pending(
    tree: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    publish(tree, OLD)
    stopped_before_the_ledger(tree, monkeypatch)
    with publishing(tree, None, nobody) as place:
        assert place.pending == LEDGER + b"m/a.html\tm/a.html\n"
        place.write_ledger(place.pending)
    with publishing(tree, None, nobody) as place:
        assert place.pending is None
    assert (tree / "content" / "addresses.tsv").read_bytes().endswith(b"m/a.html\n")
    assert sorted(path.name for path in tree.iterdir()) == ["content", "site"]


def test_a_ledger_whose_site_never_went_out_is_not_pending(
    tree: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    publish(tree, OLD)
    from kbgen.publish import publication

    def killed(*_: object) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as patch:
        patch.setattr(publication, "exchange", killed)
        with pytest.raises(KeyboardInterrupt):
            publish(tree, NEW, ledger=LEDGER + b"m/a.html\tm/a.html\n")
    with publishing(tree, None, nobody) as place:
        assert place.pending is None
    assert (tree / "content" / "addresses.tsv").read_bytes() == LEDGER


@pytest.mark.parametrize(
    "journal", [b"", b"{}", b"[]", b"\xff", b'{"site": 1, "mark": 2, "ledger": 3}']
)
def test_a_damaged_journal_is_no_journal(tree: Path, journal: bytes) -> None:
    publish(tree, OLD)
    (tree / ".kbgen").mkdir()
    (tree / ".kbgen" / "publishing.json").write_bytes(journal)
    with publishing(tree, None, nobody) as place:
        assert place.pending is None
    publish(tree, NEW)
    assert whole(tree / "site") == {".gitignore": b"*\n", **NEW}


def test_a_second_build_waits_for_the_first_and_says_so(tree: Path) -> None:
    entered, leave, waited, done = (threading.Event() for _ in range(4))

    def first() -> None:
        with publishing(tree, None, nobody) as place:
            entered.set()
            assert waited.wait(20)
            assert leave.wait(20)
            place.write_site(OLD.items(), LEDGER)

    def second() -> None:
        with publishing(tree, None, waited.set) as place:
            assert whole(tree / "site") == {".gitignore": b"*\n", **OLD}
            place.write_site(NEW.items(), LEDGER)
        done.set()

    one, two = threading.Thread(target=first), threading.Thread(target=second)
    one.start()
    assert entered.wait(20)
    two.start()
    assert waited.wait(20)
    assert not done.is_set()
    leave.set()
    one.join()
    two.join()
    assert done.is_set()
    assert whole(tree / "site") == {".gitignore": b"*\n", **NEW}


def test_builds_of_two_trees_into_one_folder_follow_one_another(tmp_path: Path) -> None:
    trees = [tmp_path / name for name in ("a", "b")]
    for tree in trees:
        (tree / "content").mkdir(parents=True)
    out = tmp_path / "site"
    failures: list[BaseException] = []

    def build(tree: Path) -> None:
        try:
            for _ in range(20):
                with publishing(tree, out, lambda: None) as place:
                    files = {f"n/{n:04}.html": tree.name.encode() for n in range(20)}
                    place.write_site(files.items(), LEDGER)
        except BaseException as error:
            failures.append(error)

    threads = [threading.Thread(target=build, args=(tree,)) for tree in trees]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert failures == []
    assert len(set(whole(out).values())) == 1
    assert sorted(path.name for path in tmp_path.iterdir()) == ["a", "b", "site"]


UNPRIVILEGED = textwrap.dedent(
    """
    import os, sys
    from pathlib import Path
    from kbgen.publish import PublishError, publishing
    if os.geteuid() == 0:
        os.setgroups([]); os.setgid(65534); os.setuid(65534)
    try:
        with publishing(Path(sys.argv[1]), None, lambda: None) as place:
            place.write_site([("index.html", b"new")], b"# head\\n")
    except PublishError as error:
        print(error.message, "|", error.hint)
    """
)


def test_a_read_only_folder_is_said_and_the_site_stands(tmp_path: Path, tree: Path) -> None:
    publish(tree, OLD)
    for path in (tmp_path, *tmp_path.parents):
        if path != Path("/") and path.stat().st_uid == os.geteuid():
            path.chmod(path.stat().st_mode | 0o055)
    tree.chmod(0o555)
    try:
        ran = subprocess.run(
            [sys.executable, "-c", UNPRIVILEGED, str(tree)],
            capture_output=True,
            text=True,
            check=True,
            cwd=Path(__file__).parents[2],
        )
    finally:
        tree.chmod(0o755)
    assert "could not be written" in ran.stdout
    assert "rights" in ran.stdout
    assert whole(tree / "site") == {".gitignore": b"*\n", **OLD}
