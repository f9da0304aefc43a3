"""The build: everything found, everything published or nothing touched, the same every time."""

from __future__ import annotations

import errno
import hashlib
import multiprocessing
import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

import kbgen.build
import kbgen.pages
from kbgen.build import build
from kbgen.checks import joined, known, readings
from kbgen.content import TreeMissing
from kbgen.kept import Laid, hands
from kbgen.pages import kept_pages
from kbgen.pages.environment import Templates
from kbgen.publish import FolderRefused, PublishError
from kbgen.publish.staging import Staging

HOUSE = Path(__file__).parents[2]
SMALL = HOUSE / "tests" / "golden" / "tree"


@pytest.fixture
def root(tmp_path: Path) -> Path:
    shutil.copytree(SMALL, tmp_path / "tree")
    return tmp_path / "tree"


def whole(folder: Path) -> dict[str, str]:
    """Return the digest of every file of a folder by its path, but of what builds keep."""
    kept = folder / ".kbgen" / "find"
    return {
        path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and not path.name.startswith("kept.db") and kept not in path.parents
    }


def change(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert text.count(old) == 1
    path.write_text(text.replace(old, new), encoding="utf-8")


def is_page(name: str) -> bool:
    """Tell pages from other files; 404.html has no address of its own: hosts show it."""
    return name.endswith(".html") and name != "404.html"


def test_a_build_publishes_and_says_what_to_open(root: Path) -> None:
    told: list[tuple[str, int, int]] = []
    built = build(root, progress=lambda *how: told.append(how))
    assert built.published
    assert built.index == root / "site" / "index.html"
    assert built.index.is_file()
    pages = [name for name in whole(root / "site") if is_page(name)]
    assert built.pages == len(pages)
    assert [stage for stage, done, total in told if done == total and stage != "publishing"]
    assert told[-1] == ("publishing", built.pages, built.pages)
    assert all(0 <= done <= total for _, done, total in told)


def test_the_same_content_is_written_once(root: Path) -> None:
    assert build(root).changed > 20
    before = whole(root)
    again = build(root)
    assert again.changed == 0
    assert whole(root) == before


@pytest.mark.parametrize("first", ["clean", "broken"])
def test_an_error_leaves_the_site_and_the_ledger(root: Path, first: str) -> None:
    if first == "clean":
        build(root)
    before = whole(root)
    note = root / "content" / "notes" / "0001-winder-tyre-slips.md"
    change(note, "If it skips", "If [the screw](part:no-such-part) skips")
    built = build(root)
    assert not built.published
    assert "link-leads-nowhere" in [found.code for found in built.findings]
    before["content/notes/0001-winder-tyre-slips.md"] = whole(root)[
        "content/notes/0001-winder-tyre-slips.md"
    ]
    assert whole(root) == before


def test_warnings_and_advice_do_not_stop_a_build(root: Path) -> None:
    note = root / "content" / "notes" / "0002-needle-in-backwards.md"
    change(note, "Loosen", "Unlike [a ring](note:4), loosen")
    built = build(root)
    assert built.published
    assert "link-to-withdrawn" in [found.code for found in built.findings]


def test_drafts_are_not_published_and_withdrawn_notes_lead_on(root: Path) -> None:
    build(root)
    site = root / "site"
    assert not (site / "n" / "0003.html").exists()
    withdrawn = (site / "n" / "0004.html").read_text(encoding="utf-8")
    assert '"0001.html"' in withdrawn.replace("'", '"') or "url=0001.html" in withdrawn
    everything = b"".join(path.read_bytes() for path in site.rglob("*") if path.is_file())
    assert b"Bed bolt of the Quillant strips" not in everything


def test_old_addresses_lead_on_without_a_script(root: Path) -> None:
    build(root)
    page = (root / "site" / "m" / "halverin-big.html").read_text(encoding="utf-8")
    assert 'http-equiv="refresh" content="0; url=halverin-h.html"' in page
    assert (
        '<link rel="canonical" href="https://larch-row.example.org/help/m/halverin-h.html">' in page
    )
    assert 'href="halverin-h.html"' in page
    kept = (root / "site" / "m" / "halverin-h.html").read_text(encoding="utf-8")
    assert 'id="bracket-screw"' in kept
    thread = (root / "site" / "t" / "9_64-40-uns.html").read_text(encoding="utf-8")
    assert "url=../m/halverin-h.html#winder-bracket" in thread


def test_every_address_of_the_ledger_is_on_the_site(root: Path) -> None:
    build(root)
    lines = (root / "content" / "addresses.tsv").read_text(encoding="utf-8").splitlines()[1:]
    assert lines == sorted(lines)
    pages = {name for name in whole(root / "site") if is_page(name)}
    written = {line.partition("\t")[0] for line in lines}
    assert {address for address in written if "#" not in address} == pages
    for address in written:
        page, hash_, anchor = address.partition("#")
        if hash_:
            assert f'id="{anchor}"' in (root / "site" / page).read_text(encoding="utf-8")


def test_a_family_that_is_renamed_keeps_its_addresses(root: Path) -> None:
    build(root)
    content = root / "content"
    (content / "families" / "quillant-freearm.yaml").rename(content / "families" / "quillant.yaml")
    for path in content.rglob("*"):
        if path.suffix in (".md", ".yaml"):
            text = path.read_text(encoding="utf-8").replace("quillant-freearm", "quillant")
            path.write_text(text, encoding="utf-8")
    before = whole(root / "site")
    built = build(root)
    lost = [found for found in built.findings if found.code == "address-would-be-lost"]
    assert [found.message.partition(":")[0] for found in lost] == [
        "m/quillant-freearm.html",
        "m/quillant-freearm.html#bed-bolt",
    ]
    assert all("did you mean m/quillant.html" in found.hint for found in lost)
    assert whole(root / "site") == before
    change(
        content / "addresses.tsv",
        "m/quillant-freearm.html\tm/quillant-freearm.html\n",
        "m/quillant-freearm.html\tm/quillant.html\n",
    )
    assert build(root).published
    ledger = (content / "addresses.tsv").read_text(encoding="utf-8")
    assert "m/quillant-freearm.html#bed-bolt\tm/quillant.html#bed-bolt\n" in ledger
    assert (root / "site" / "m" / "quillant-freearm.html").is_file()


def test_a_note_whose_file_is_renamed_keeps_its_address(root: Path) -> None:
    build(root)
    before = whole(root / "site")
    notes = root / "content" / "notes"
    (notes / "0002-needle-in-backwards.md").rename(notes / "0002-turned-needle.md")
    assert build(root).published
    assert sorted(whole(root / "site")) == sorted(before)


def test_what_a_killed_build_published_is_in_the_ledger_after_the_next(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from kbgen.publish import Publication

    build(root)
    part = root / "content" / "parts" / "hook-gear.yaml"
    part.write_text("name: Hook gear\nobtained: bought\n", encoding="utf-8")

    def killed(*_: object) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as patch:
        patch.setattr(Publication, "write_ledger", killed)
        with pytest.raises(KeyboardInterrupt):
            build(root)
    assert (root / "site" / "p" / "hook-gear.html").is_file()
    part.unlink()
    built = build(root)
    assert not built.published
    assert [
        found.message.partition(":")[0] for found in built.findings if "lost" in found.code
    ] == ["p/hook-gear.html"]


def test_a_site_that_breaks_the_ledgers_promise_is_not_published(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    build(root)
    before = whole(root)
    real, rendered = kbgen.pages.render_site, Templates.render

    def without_one(*given: object) -> object:
        return (file for file in real(*given) if file[0] != "n/0001.html")

    def without_an_anchor(*given: Any) -> bytes:
        return rendered(*given).replace(b'id="winder-bracket"', b"")

    for place, name, wrong, words in (
        (kbgen.pages, "render_site", without_one, "no page n/0001"),
        (Templates, "render", without_an_anchor, "winder-bracket"),
    ):
        with monkeypatch.context() as patched:
            patched.setattr(place, name, wrong)
            (root / ".kbgen" / "kept.db").unlink()
            with pytest.raises(PublishError, match=words):
                build(root)
        assert whole(root) == before


def test_a_build_that_fails_ends_its_processes_before_it_clears_up(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    build(root)
    before = whole(root)
    monkeypatch.setattr(hands, "hands", lambda: 2)
    monkeypatch.setattr(kept_pages, "_LEAST", 1)
    monkeypatch.setattr(kbgen.build, "_SEARCHED_BESIDE", 1)
    change(root / "content" / "workshop.yaml", "Larch Row Bench", "Larch Row")
    laid = Staging.lay

    def fails(staging: Staging, path: str, data: bytes) -> Laid:
        if path == "n/0002.html":
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC), path)
        return laid(staging, path, data)

    with monkeypatch.context() as patched:
        patched.setattr(Staging, "lay", fails)
        with pytest.raises(PublishError, match="No space left") as raised:
            build(root)
    assert raised.value.hint.startswith("the disk is full")
    assert multiprocessing.active_children() == []
    assert not (root / ".site.kbgen").exists()
    assert whole(root) == {**before, "content/workshop.yaml": whole(root)["content/workshop.yaml"]}
    assert build(root).published


def test_a_large_tree_is_built_as_a_small_one(
    root: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    large = tmp_path / "large"
    shutil.copytree(root, large)
    alone: list[tuple[str, int, int]] = []
    build(root, progress=lambda *how: alone.append(how))
    monkeypatch.setattr(hands, "hands", lambda: 2)
    for module, name in (
        (known, "_LEAST"),
        (readings, "_MUCH"),
        (joined, "_AT_HAND"),
        (kept_pages, "_LEAST"),
        (kbgen.build, "_SEARCHED_BESIDE"),
    ):
        monkeypatch.setattr(module, name, 1)
    shared: list[tuple[str, int, int]] = []
    build(large, progress=lambda *how: shared.append(how))
    assert whole(large / "site") == whole(root / "site")
    assert [one for one in shared if one != ("reading", 0, 1)] == [
        one for one in alone if one != ("reading", 0, 1)
    ]
    (large / "content" / "notes" / "0001-broken.md").write_text("---", encoding="utf-8")
    assert not build(large).published


@pytest.mark.parametrize(
    ("number", "words"),
    [(errno.ENOSPC, "disk is full"), (errno.EROFS, "read-only"), (errno.EIO, "the earlier site")],
)
def test_a_machine_that_will_not_write_is_said_in_words(
    root: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    number: int,
    words: str,
) -> None:
    from kbgen.cli import main
    from kbgen.publish import staging

    build(root)
    before = whole(root)
    written: list[Path] = []

    def fails_later(path: Path, data: bytes) -> None:
        if len(written) == 5:
            raise OSError(number, os.strerror(number), str(path))
        path.write_bytes(data)
        written.append(path)

    change(root / "content" / "workshop.yaml", "Larch Row Bench", "Larch Row")
    before["content/workshop.yaml"] = whole(root)["content/workshop.yaml"]
    monkeypatch.setattr(staging, "write_new", fails_later)
    assert main(["build", "--tree", str(root)]) == 2
    assert words in capsys.readouterr().err
    assert whole(root) == before


def test_another_folder_can_be_named(root: Path, tmp_path: Path) -> None:
    built = build(root, tmp_path / "elsewhere")
    assert built.index == tmp_path / "elsewhere" / "index.html"
    assert not (root / "site").exists()
    letters = tmp_path / "letters"
    letters.mkdir()
    (letters / "to-mother.txt").write_bytes(b"dear")
    with pytest.raises(FolderRefused):
        build(root, letters)
    assert whole(letters).keys() == {"to-mother.txt"}


def test_no_tree_is_said(tmp_path: Path) -> None:
    with pytest.raises(TreeMissing):
        build(tmp_path)
    assert list(tmp_path.iterdir()) == []


SURROUNDINGS = {
    "plain": {"PYTHONHASHSEED": "0", "TZ": "UTC", "LC_ALL": "C"},
    "another": {"PYTHONHASHSEED": "12345", "TZ": "Pacific/Kiritimati", "LC_ALL": "C.UTF-8"},
    "unset": {"PYTHONHASHSEED": "random", "TZ": "America/St_Johns", "LC_ALL": "tr_TR.UTF-8"},
}

SCRAMBLED = """
import os, random, sys
from pathlib import Path
real = os.scandir
class Scrambled(list):
    def __enter__(self): return iter(self)
    def __exit__(self, *error): return None
    def __next__(self): return self.pop()
def scandir(*given):
    with real(*given) as entries:
        found = Scrambled(entries)
    random.shuffle(found)
    return found
os.scandir = scandir
listdir = os.listdir
os.listdir = lambda *given: random.sample(found := listdir(*given), len(found))
from kbgen.build import build
root, out = Path(sys.argv[1]), Path(sys.argv[2])
assert build(root, out).published
"""


def test_the_same_bytes_whatever_surrounds_the_build(root: Path, tmp_path: Path) -> None:
    sites = {}
    for name, surroundings in SURROUNDINGS.items():
        copy = tmp_path / name / "deep" / "ly" / "tree"
        shutil.copytree(root, copy)
        out = tmp_path / f"site of {name}"
        subprocess.run(
            [sys.executable, "-c", SCRAMBLED, str(copy), str(out)],
            cwd=HOUSE,
            env={"PATH": os.environ["PATH"], **surroundings},
            check=True,
        )
        sites[name] = {**whole(out), "ledger": whole(copy)["content/addresses.tsv"]}
    assert len(sites["plain"]) > 30
    assert sites["plain"] == sites["another"] == sites["unset"]
