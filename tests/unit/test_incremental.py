"""A build after any edit equals a clean build, byte for byte, and finds the same."""

from __future__ import annotations

import itertools
import os
import shutil
import tempfile
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, rule
from PIL import Image

import kbgen.build
from kbgen.build import build
from kbgen.checks import joined, known, readings
from kbgen.findings import Finding
from kbgen.kept import hands, stamps
from kbgen.pages import kept_pages
from kbgen.proof import Proofs
from kbgen.publish import publication

GOLDEN = Path(__file__).resolve().parents[1] / "golden" / "tree"
WORDS = st.sampled_from(["worn", "bent", "5 mm wide", "the spring", "part:winder-tyre", "note:1"])
LONG_AGO_NS = 1_700_000_000_000_000_000


def site(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


class Edits(RuleBasedStateMachine):
    """A person at work: whatever is edited, the site is what a clean build makes of it."""

    def __init__(self) -> None:
        super().__init__()
        self.place = Path(tempfile.mkdtemp(prefix="kbgen-edits-"))
        self.root = self.place / "tree"
        shutil.copytree(GOLDEN, self.root)
        self.content = self.root / "content"
        self.limits = (
            known._LEAST,
            readings._MUCH,
            joined._AT_HAND,
            kept_pages._LEAST,
            kbgen.build._SEARCHED_BESIDE,
            publication._WORTH_SPARING,
            hands.hands,
            stamps._YOUNG_NS,
        )
        self.proofs = Proofs(self.root)
        self.numbers = itertools.count(10)
        self.same_time = False

    @initialize(
        shared=st.booleans(),
        same_time=st.booleans(),
        sparing=st.booleans(),
        settled=st.booleans(),
    )
    def begin(self, shared: bool, same_time: bool, sparing: bool, settled: bool) -> None:
        """Begin with a build.

        The work may be shared, and little of the tree be held; no time of change may tell
        anything, the site before the last may be made use of, and what was written just now
        may count as settled.
        """
        stamps._YOUNG_NS = 0 if settled else 2_000_000_000
        publication._WORTH_SPARING = 1 if sparing else 3000
        if shared:
            known._LEAST = kept_pages._LEAST = readings._MUCH = 1
            joined._AT_HAND = 2
            kbgen.build._SEARCHED_BESIDE = 1
            hands.hands = lambda: 2
        self.same_time = same_time
        build(self.root)

    def put(self, path: str, text: str) -> None:
        file = self.content / path
        file.parent.mkdir(exist_ok=True)
        file.write_text(text, encoding="utf-8")
        if self.same_time:
            os.utime(file, ns=(LONG_AGO_NS, LONG_AGO_NS))

    def change(self, path: str, old: str, new: str) -> None:
        file = self.content / path
        if file.is_file():
            self.put(path, file.read_text(encoding="utf-8").replace(old, new, 1))

    @rule(word=WORDS, at=st.integers(0, 3))
    def a_sentence(self, word: str, at: int) -> None:
        notes = sorted((self.content / "notes").iterdir())
        note = notes[at % len(notes)]
        said = f"[it]({word})" if ":" in word else word
        self.put(f"notes/{note.name}", note.read_text(encoding="utf-8") + f"\nIt is {said}.\n")

    @rule()
    def a_letter_of_the_same_size(self) -> None:
        path = "notes/0002-needle-in-backwards.md"
        old, new = "without a gap", "without a nap"
        if old not in (self.content / path).read_text(encoding="utf-8"):
            old, new = new, old
        self.change(path, old, new)

    @rule(word=WORDS)
    def a_title(self, word: str) -> None:
        self.change("notes/0001-winder-tyre-slips.md", "title: ", f"title: The {word[:4]} and ")

    @rule(standing=st.sampled_from(["draft", "published"]))
    def a_standing(self, standing: str) -> None:
        for old in ("draft", "published"):
            self.change("notes/0002-needle-in-backwards.md", f"standing: {old}", "standing: now")
        self.change("notes/0002-needle-in-backwards.md", "standing: now", f"standing: {standing}")

    @rule(word=WORDS)
    def a_new_note(self, word: str) -> None:
        number = next(self.numbers)
        text = (GOLDEN / "content/notes/0002-needle-in-backwards.md").read_text(encoding="utf-8")
        text = text.replace("It skips every third", f"It skips {number} times, {word[:5]}")
        self.put(f"notes/{number:04}-more.md", text + f"\nSee [this](note:{1 + number % 2}).\n")

    @rule()
    def a_withdrawn_note(self) -> None:
        self.change(
            "notes/0010-more.md", "standing: published", "standing: withdrawn\nsuccessor: 2"
        )

    @rule(word=st.sampled_from(["one", "two"]))
    def a_renamed_file(self, word: str) -> None:
        note = next((self.content / "notes").glob("0001-*"))
        note.rename(note.with_name(f"0001-winder-{word}.md"))

    @rule(machines=st.sampled_from(["four", "nine"]))
    def a_register_row(self, machines: str) -> None:
        path, before = "families/halverin-h.yaml", "source: pitch leaf and micrometer, "
        self.change(path, before, f"{before}{machines} or ")

    @rule(name=st.sampled_from(["the big H", "the old H", "the H"]))
    def a_familys_name(self, name: str) -> None:
        self.change("families/halverin-h.yaml", "also_called: [", f"also_called: [{name}, ")

    @rule(word=st.sampled_from(["Rubber ring", "Tyre"]))
    def a_part(self, word: str) -> None:
        self.change("parts/winder-tyre.yaml", "name: ", f"name: {word} ")

    @rule(word=st.sampled_from(["Late", "Early"]))
    def a_recording(self, word: str) -> None:
        self.change("recordings/winder-evening.yaml", "title: ", f"title: {word} ")

    @rule(word=st.sampled_from(["loop", "nest", "bang"]))
    def the_vocabulary(self, word: str) -> None:
        text = (self.content / "vocabulary.yaml").read_text(encoding="utf-8")
        self.put("vocabulary.yaml", f"{text}- {{lay: [{word} below], trade: [winder {word}]}}\n")

    @rule(size=st.sampled_from(["13/64-32", "5/32-36"]))
    def a_house_thread(self, size: str) -> None:
        text = (self.content / "threads.yaml").read_text(encoding="utf-8")
        row = f"- {{thread: {size} house, where: here, basis: measured, source: one}}\n"
        self.put("threads.yaml", text + row)

    @rule(number=st.sampled_from([1, 2]))
    def a_question(self, number: int) -> None:
        for old in (1, 2):
            self.change(
                "questions/Q0001-spool-stays-empty.md", f"answered_by: {old}", "answered_by: n"
            )
        self.change(
            "questions/Q0001-spool-stays-empty.md", "answered_by: n", f"answered_by: {number}"
        )

    @rule(word=st.sampled_from(["Bench", "Shelf"]))
    def the_workshop(self, word: str) -> None:
        self.change("workshop.yaml", "name: ", f"name: {word} ")

    @rule(colour=st.sampled_from(["white", "black"]), wide=st.booleans())
    def a_photo(self, colour: str, wide: bool) -> None:
        folder = self.content / "photos"
        folder.mkdir(exist_ok=True)
        Image.new("RGB", (1400 if wide else 200, 100), colour).save(folder / "plain.png")
        note = next((self.content / "notes").glob("0001-*"))
        if "plain.png" not in note.read_text(encoding="utf-8"):
            line = "photos: [{file: plain.png, alt: A plain plate}]"
            self.change(f"notes/{note.name}", "works_when: ", f"{line}\nworks_when: ")

    @rule(word=st.sampled_from(["one", "two"]))
    def a_template(self, word: str) -> None:
        packaged = Path(__file__).resolve().parents[2] / "templates" / "note.html"
        (self.root / "templates").mkdir(exist_ok=True)
        text = packaged.read_text(encoding="utf-8")
        (self.root / "templates" / "note.html").write_text(
            text.replace("{% endblock %}", f"<i>{word}</i>{{% endblock %}}", 1), encoding="utf-8"
        )

    @rule(path=st.sampled_from(["index.html", "n/0001.html", "find/base.js"]))
    def a_page_changed_by_hand(self, path: str) -> None:
        if (self.root / "site" / path).is_file():
            (self.root / "site" / path).unlink()
            (self.root / "site" / path).write_bytes(b"by hand")

    @rule(cut=st.sampled_from([0, 100, 5000]))
    def what_is_kept_is_damaged(self, cut: int) -> None:
        kept = self.root / ".kbgen" / "kept.db"
        kept.write_bytes(kept.read_bytes()[:cut])

    def teardown(self) -> None:
        (
            known._LEAST,
            readings._MUCH,
            joined._AT_HAND,
            kept_pages._LEAST,
            kbgen.build._SEARCHED_BESIDE,
            publication._WORTH_SPARING,
            hands.hands,
            stamps._YOUNG_NS,
        ) = self.limits
        shutil.rmtree(self.place)

    @rule()
    def compare(self) -> None:
        self.built_alike()

    def built_alike(self) -> bool:
        """Compare with a clean build; return whether the tree could be published."""
        clean = self.place / "clean"
        shutil.rmtree(clean, ignore_errors=True)
        shutil.copytree(self.root, clean, ignore=shutil.ignore_patterns("site", ".kbgen"))
        grown, anew = build(self.root), build(clean)
        assert grown.findings == anew.findings
        assert grown.published == anew.published
        if anew.published:
            assert site(self.root / "site") == site(clean / "site")
        ledgers = [tree / "content" / "addresses.tsv" for tree in (self.root, clean)]
        assert ledgers[0].read_bytes() == ledgers[1].read_bytes()
        self.proofed_alike(anew.findings)
        return anew.published

    def proofed_alike(self, findings: tuple[Finding, ...]) -> None:
        """Compare a proof that goes on for all edits with one that begins now."""
        self.proofs.renew()
        anew = Proofs(self.root)
        anew.renew()
        assert self.proofs.reading.findings == anew.reading.findings == findings
        assert self.proofs.reading.drafts == anew.reading.drafts
        for path in ("index.html", "notes.html", "n/0001.html", "n/0002.html", "q/0001.html"):
            if anew.reading.publishable:  # else what went before is shown
                assert self.proofs.leaf(path) == anew.leaf(path)


TestEdits = Edits.TestCase
TestEdits.settings = settings(
    max_examples=4,
    stateful_step_count=12,
    deadline=None,
    derandomize=True,
    suppress_health_check=list(HealthCheck),
)


@pytest.mark.parametrize("settled", [True, False])
def test_every_kind_of_edit_once(settled: bool) -> None:
    """One after the other, each compared with a clean build: a way through all the rules."""
    edits = Edits()
    try:
        edits.begin(shared=True, same_time=True, sparing=True, settled=settled)
        for step in (
            lambda: edits.a_sentence("5 mm wide", 1),
            edits.a_letter_of_the_same_size,
            lambda: edits.a_new_note("worn"),
            lambda: edits.a_title("worn"),
            lambda: edits.a_register_row("nine"),
            lambda: edits.a_familys_name("the old H"),
            lambda: edits.a_part("Tyre"),
            lambda: edits.a_recording("Late"),
            lambda: edits.the_vocabulary("loop"),
            lambda: edits.a_house_thread("5/32-36"),
            lambda: edits.a_question(2),
            lambda: edits.the_workshop("Shelf"),
            lambda: edits.a_photo("white", wide=True),
            lambda: edits.a_photo("black", wide=True),
            lambda: edits.a_photo("black", wide=False),
            lambda: edits.a_template("one"),
            edits.a_withdrawn_note,
            lambda: edits.a_page_changed_by_hand("n/0001.html"),
            lambda: edits.what_is_kept_is_damaged(5000),
            lambda: edits.a_renamed_file("one"),
        ):
            step()
            assert edits.built_alike()
        shown = sorted(path.name for path in (edits.root / "site" / "photos").iterdir())
        assert shown == ["plain.png.1280.jpg"]
        (edits.content / "notes" / "0002-needle-in-backwards.md").unlink()
        assert not edits.built_alike()  # its address would be lost
    finally:
        edits.teardown()
