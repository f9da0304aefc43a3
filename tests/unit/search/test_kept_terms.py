"""Terms kept between builds: whatever changed, the files are those of terms counted anew."""

from __future__ import annotations

import hashlib
import random
import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

TESTS = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(TESTS / "benchmarks"))
from invented import invented  # noqa: E402

from kbgen.checks import check  # noqa: E402
from kbgen.content import load_tree  # noqa: E402
from kbgen.kept import Same, Store  # noqa: E402
from kbgen.search import Facet, SearchDocument, Shelf, cuts, kept_terms, shelf_files  # noqa: E402
from kbgen.search.gather import TreeNotes  # noqa: E402
from kbgen.search.kept_terms import KeptTerms, Lost  # noqa: E402
from kbgen.search.shelf_files import files_of  # noqa: E402

SENTENCE = "The bobbin spring of this machine was worn and needs another washer."


@pytest.fixture(scope="module")
def many() -> tuple[SearchDocument, ...]:
    return tuple(invented(300))


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    opened = Store(tmp_path / "kept.db")
    yield opened
    opened.close()


class Site:
    """The files of a shelf as they stand on a disk after one build after the other."""

    def __init__(self, store: Store) -> None:
        self.store = store
        self.files: dict[str, bytes] = {}

    def holds(self, path: str, digest: str) -> bool:
        return path in self.files and hashlib.sha256(self.files[path]).hexdigest() == digest

    def build(self, shelf: Shelf, grown: bool = True) -> set[str]:
        """Build, grown from what is kept; return the files that are not what they were."""
        kept = KeptTerms.grown(shelf, self.store) if grown else KeptTerms.anew(shelf, self.store)
        made = dict(files_of(kept, self.store, self.holds))
        now = {
            path: self.files[path] if isinstance(data, Same) else data
            for path, data in made.items()
        }
        changed = {path for path, data in now.items() if self.files.get(path) != data}
        self.files = now
        return changed


def test_one_sentence_more_changes_few_files(
    store: Store, many: tuple[SearchDocument, ...]
) -> None:
    site = Site(store)
    site.build(Shelf.of(many), grown=False)
    bundles = {path for path in site.files if path.startswith("find/all")}
    assert len(site.files) - len(bundles) > 200
    for at in (0, 150, 299):
        edited = replace(many[at], body=f"{many[at].body}\n{SENTENCE}")
        changed = site.build(Shelf.of([*many[:at], edited, *many[at + 1 :]]))
        assert "find/base.js" in changed
        # seven words, each in its own file of postings; where one is new, in those of words
        assert 1 < len(changed - bundles) <= 20
        assert site.build(Shelf.of(many)) - bundles == changed - bundles


def test_a_note_that_comes_or_goes_changes_the_files_of_its_own_words(
    store: Store, many: tuple[SearchDocument, ...]
) -> None:
    site = Site(store)
    site.build(Shelf.of(many), grown=False)
    whole = len(site.files)
    changed = site.build(Shelf.of(many[1:]))
    assert len(changed) < whole / 2
    assert not [path for path in changed if path.startswith("find/n") and path != "find/n0.js"]


def test_files_grown_through_any_edits_are_those_made_anew(
    store: Store, many: tuple[SearchDocument, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(cuts, "ALONE", 60)  # so that terms come to have a file of their own
    monkeypatch.setattr(kept_terms, "_TOGETHER", 3)
    chance = random.Random(20260301)
    notes = {note.number: note for note in many[:90]}
    spare = list(many[90:])
    site = Site(store)
    site.build(Shelf.of(notes.values()), grown=False)
    for step in range(40):
        for _ in range(chance.choice([0, 1, 1, 2, 9])):
            number = chance.choice(list(notes))
            note = notes[number]
            match chance.randrange(6):
                case 0:
                    notes[number] = replace(note, body=f"{SENTENCE} {note.body}")
                case 1:
                    notes[number] = replace(note, title=f"{note.title} {SENTENCE[4:17]}")
                case 2:
                    facet = Facet("family", f"family-{step % 5}", "Another")
                    notes[number] = replace(note, facets=(facet,), stated=("M6x1", "2 N·m"))
                case 3:
                    notes[number] = replace(note, body=note.body[: len(note.body) // 2])
                case 4:
                    del notes[number]
                case _:
                    new = replace(spare.pop(), number=chance.choice([number + 1, 1000 + step]))
                    notes[new.number] = new
        shelf = Shelf.of(notes.values())
        if step % 5 == 4:
            site.files.clear()  # a new folder: everything is made from what is kept
        site.build(shelf)
        assert site.files == shelf_files.shelf_files(shelf)


def test_what_is_missing_or_damaged_is_lost_and_never_mended(
    store: Store, many: tuple[SearchDocument, ...]
) -> None:
    shelf = Shelf.of(many[:40])
    edited = Shelf.of([replace(many[0], body=SENTENCE), *many[1:40]])
    for stage in ("find", "find notes", "find postings"):
        site = Site(store)
        site.build(shelf, grown=False)
        store.forget(stage, store.names(stage))
        with pytest.raises(Lost):
            site.build(edited)


def test_no_note_at_all_and_then_some(store: Store, many: tuple[SearchDocument, ...]) -> None:
    site = Site(store)
    site.build(Shelf.of([]), grown=False)
    site.build(Shelf.of(many[:20]))
    assert site.files == shelf_files.shelf_files(Shelf.of(many[:20]))
    site.build(Shelf.of([]))
    assert site.files == shelf_files.shelf_files(Shelf.of([]))


def test_counts_that_are_added_up_are_those_of_the_whole_text() -> None:
    """What is counted file by file and put together is what one text of it all would give."""
    checked = check(load_tree(TESTS.parent))
    notes, tree = TreeNotes(checked), checked.tree
    assert len(notes.keys) > 60
    for number in notes.keys:
        note, shown = tree.notes[number], notes.shown(number)
        front = note.front
        families = [tree.families[one].model for one in front.families]
        parts = [tree.parts[use.part].model for use in front.parts if use.part in tree.parts]
        names = [" ".join([one.name, *one.also_called]) for one in (*families, *parts)]
        headings = [tree.headings[one] for one in front.headings]
        names += [" ".join([one.heading, *one.also]) for one in headings]
        rows = {row for row in front.fasteners if isinstance(row, str)}
        stated = {
            str(one.value.canonical)
            for one in checked.statements
            if not one.withdrawn
            and one.value.kind.name in ("THREAD", "TORQUE")
            and (
                one.path == note.source.path
                or (one.subject in rows and one.where.name == "REGISTER")
            )
        }
        body = "\n".join([*shown.lines, front.fix, note.plain])
        whole = SearchDocument(
            number, front.title, body, tuple(names), stated=tuple(sorted(stated))
        )
        assert notes.entry(number).counts() == whole.entry().counts()
        assert notes.entry(number).title == whole.entry().title
