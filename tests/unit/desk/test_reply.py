"""Answers: what stands in them, in which order, and what never does."""

from __future__ import annotations

import datetime
import re
import shutil
import time
from pathlib import Path

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st
from small import checked, note, question

from kbgen.checks import Registers, check
from kbgen.content import load_tree, plain_text
from kbgen.content.models import Signal
from kbgen.desk import Asked, CannotReply, Matcher, Replies, render_reply
from kbgen.desk.reply_text import paragraph
from kbgen.units import scan

ROOT = Path(__file__).parents[3]
HEADER = re.compile(r"[!-9;-~]+:|From ")
ADDRESS = re.compile(r" +https?://\S+")


def squeezed(text: str) -> str:
    return " ".join(text.split())


def letter_of(tree, number, families=(), words="", **more) -> str:
    registers = Registers(tree)
    claims = registers.claims(words, families)
    reply = Replies(tree, registers).compose(tree.tree.notes[number], claims, families, **more)
    return render_reply(reply)


# --- over the demonstration


def letters(tree, words=None):
    """Yield every letter that the notes of a tree can give, to each machine and to none.

    Shape: the note, the families asked for, the letter; ``words`` of a note are what the
    asker wrote, else its own symptoms.
    """
    registers = Registers(tree)
    replies = Replies(tree, registers)
    for one in tree.published:
        text = words(one) if words else " ".join(one.front.symptom)
        for families in ((), *((family,) for family in one.front.families)):
            claims = registers.claims(text, families)
            yield one, families, render_reply(replies.compose(one, claims, families))
    for asked in tree.tree.questions.values():
        number = asked.front.answered_by
        answering = next((one for one in tree.published if one.number == number), None)
        if answering is not None:
            families = asked.front.families
            claims = registers.claims(asked.words, families)
            reply = replies.compose(answering, claims, families, asked)
            yield answering, families, render_reply(reply)


@pytest.fixture(scope="module")
def all_letters(demonstration):
    return list(letters(demonstration))


def test_every_letter_has_its_address_and_every_caution_before_what_mends_it(
    demonstration, all_letters
):
    told = 0
    for one, _, letter in all_letters:
        assert f"\n  https://larchrow.example.org/n/{one.number:04}.html\n" in letter
        before, answer = re.split(r" (?:What mends it|Our answer) ", squeezed(letter), maxsplit=1)
        assert answer
        at = 0
        hazards = [demonstration.tree.hazards[hazard] for hazard in one.front.hazards]
        for hazard in sorted(hazards, key=lambda hazard: list(Signal).index(hazard.signal)):
            for said in (hazard.hazard, hazard.consequence, hazard.avoid, hazard.defer_to):
                if said:
                    assert squeezed(plain_text(said)).rstrip(".") in before
            place = before.index(f"{hazard.signal.upper()} {plain_text(hazard.hazard)[:20]}")
            assert place >= at
            at = place
            told += 1
    assert told > 300


def test_no_letter_is_too_wide_or_looks_like_the_header_of_a_mail(all_letters):
    for _, _, letter in all_letters:
        assert letter.endswith("bench@example.org\n")
        for line in letter.splitlines():
            assert not HEADER.match(line), line
            assert len(line) <= 72 or ADDRESS.fullmatch(line), line
            assert line == line.rstrip()
        assert "\n\n\n" not in letter
        assert "](" not in letter


def test_every_screw_of_the_asked_machine_is_told_and_no_other(demonstration, all_letters):
    registers = Registers(demonstration)
    for one, families, letter in all_letters:
        text = squeezed(letter)
        for row in one.front.fasteners:
            if not isinstance(row, str):
                continue
            figure = registers.figure(row, "thread")
            if not families or row.partition("/")[0] in families:
                assert f"thread {figure.value.canonical}, " in text
                held = registers.rows[row].row
                assert f"tightness {held.torque or held.tightness or 'not on our list'}" in text


def seeded(path: Path, seeds: list[str], change) -> None:
    """Rewrite a YAML file or front matter with corrections that withdraw fresh figures."""
    text = path.read_text(encoding="utf-8")
    front, body = text, ""
    if text.startswith("---\n"):
        front, _, body = text[4:].partition("\n---\n")
    data = yaml.load(front, Loader=yaml.BaseLoader)  # every scalar stays text
    change(data, seeds)
    out = yaml.dump(data, allow_unicode=True, default_style='"', sort_keys=False, width=10**6)
    path.write_text(f"---\n{out}---\n{body}" if body else out, encoding="utf-8")


def correction(seeds: list[str], **more: str) -> dict[str, str]:
    number = len(seeds)
    was = f"{30 + number}.07 N·m" if number % 2 else f"M{100 + number}x3.7"
    seeds.append(was)
    return {"date": "2026-09-01", "was": was, **more}


def withdraw_in_rows(data, seeds):
    for row in data.get("fasteners", ()):
        row.setdefault("corrections", []).append(correction(seeds))


def withdraw_in_note(data, seeds):
    data.setdefault("corrections", []).append(
        correction(seeds, what="what was said of the first screw", now="as the list says")
    )


def withdraw_in_recording(data, seeds):
    for chapter in data["chapters"]:
        data.setdefault("corrections", []).append(
            correction(seeds, what="what was said of a screw", at=chapter["at"])
        )


@pytest.fixture(scope="module")
def withdrawn(tmp_path_factory):
    """A copy of the demonstration in which every row, note and chapter withdrew a figure."""
    root = tmp_path_factory.mktemp("seeded")
    shutil.copytree(ROOT / "content", root / "content")
    seeds: list[str] = []
    for folder, ending, change in (
        ("families", "yaml", withdraw_in_rows),
        ("notes", "md", withdraw_in_note),
        ("recordings", "yaml", withdraw_in_recording),
    ):
        for path in sorted((root / "content" / folder).glob(f"*.{ending}")):
            seeded(path, seeds, change)
    tree = check(load_tree(root))
    assert tree.publishable
    return tree, seeds


def test_no_letter_passes_on_a_figure_that_was_withdrawn_even_where_the_asker_writes_it(withdrawn):
    tree, seeds = withdrawn
    assert len(seeds) > 250
    registers = Registers(tree)
    by_row = {
        row: [one.value.as_written for one in registers.withdrawn(row)] for row in registers.rows
    }

    def quoting(one) -> str:
        """Return a letter that states every figure withdrawn for the note's screws."""
        lines = list(one.front.symptom)
        lines += [f"Your film said {line.was}." for line in one.front.corrections]
        for row in one.front.fasteners:
            if isinstance(row, str):
                where = registers.rows[row].row.where
                lines += [f"The {where.lower()} is {was}." for was in by_row[row]]
        return "\n\n".join(lines)

    written = set(seeds)
    canonical = {one.canonical for seed in seeds for one in scan(seed)}
    assert len(canonical) == len(written)
    for _, _, letter in letters(tree, quoting):
        text = squeezed(letter)
        assert not [seed for seed in written if seed in text]
        assert not {one.canonical for one in scan(text)} & canonical


# --- one letter after another


@pytest.fixture
def small(tmp_path):
    return lambda changes=None: checked(tmp_path, changes)


def test_a_whole_letter(small):
    tree = small()
    asked = tree.tree.questions[1]
    assert letter_of(tree, 1, ("one-h",), asked.words, question=asked) == (
        """\
Dear Hazel B.,

Thank you for your question of 6 March 2026.

DANGER
  Mains inside. It kills. Unplug. Leave this work to an electrician.

CAUTION
  Levers close. A bruise. Belt off.

NOTICE
  A burr scratches the bed. File it off.

What mends it
  Replace the winder tyre and reset it.
  How to tell that it is mended: A spool fills.

The screws of the Onehart H, and of no other machine
  Winder bracket screw
    thread SM11/64-40, right-hand (declared: JIS B 0226 SM)
    tightness 1.0 N·m
    measured (pitch leaf, two machines)
  Motor boss bolt
    thread 3/8-24 UNF, right-hand (standard: ASME B1.1 UNF)
    tightness snug
    measured (pitch leaf, two machines)
    NOT the one of “Belt guard stud”, 3/8-28 UN. The 3/8-28 UN screw
    starts in the 3/8-24 UNF hole and binds after about 0.6 turns;
    forced further it spoils the softer thread.

What it needs
  2 × Winder tyre, for the Onehart H (it was given to us)
    https://bench.example.org/p/tyre.html

Gifts are named where they stand.

Told otherwise before
  Corrected on 4 March 2026, thread of the bracket screw in “Winder
  evening” at 2:00; right is SM11/64-40.

The whole repair, step by step, at an address that stays
  https://bench.example.org/n/0001.html

With kind regards
Test Bench
bench@example.org
"""
    )


@pytest.mark.parametrize(
    ("words", "families", "says"),
    [
        pytest.param(
            "The winder bracket screw is M4x0.7.",
            ("one-h",),
            "You write M4x0.7 for “Winder bracket screw” of the Onehart H; the register says "
            "SM11/64-40.",
            id="wrong",
        ),
        pytest.param(
            "The winder bracket screw is SM11/64-40.",
            ("one-h",),
            "You write SM11/64-40 for “Winder bracket screw” of the Onehart H: so says the "
            "register.",
            id="right",
        ),
        pytest.param(
            "The winder bracket screw is SM9/64-40.",
            ("one-h",),
            "The figure you write for “Winder bracket screw” of the Onehart H is one that we "
            "gave ourselves and have withdrawn; the register says SM11/64-40.",
            id="withdrawn",
        ),
        pytest.param(
            "The winder bracket screw and the lamp bracket screw are SM9/64-40.",
            ("one-h",),
            "The figure you write for “Winder bracket screw” of the Onehart H is one that we "
            "gave ourselves and have withdrawn; the register says SM11/64-40.",
            id="withdrawn for one of two places",
        ),
        pytest.param(
            "The winder bracket screw and the lamp bracket screw are SM3/16-32.",
            ("one-h",),
            "You write SM3/16-32 for “Lamp bracket screw” of the Onehart H: so says the register.",
            id="right for one of two places",
        ),
        pytest.param(
            "I bought a SM9/64-40.",
            ("one-h",),
            "The figure you write is one that we once gave ourselves and have withdrawn.",
            id="withdrawn, of no place",
        ),
        pytest.param(
            "The lamp bracket screw is 10-32 UNF.",
            ("one-h",),
            "the register says SM3/16-32. Others hold the figure that you give. Measure yours "
            "before you buy.",
            id="disputed",
        ),
        pytest.param(
            "The winder bracket screw is M4x0.8.",
            ("one-h",),
            "You write M4x0.8: M4x0.8 is not in ISO 261; M4 takes 0.7 (coarse) or 0.5 (fine). "
            "You write M4x0.8 for “Winder bracket screw” of the Onehart H; the register says",
            id="contradictory",
        ),
        pytest.param(
            "I have an M4x0.8 screw.",
            (),
            "You write M4x0.8: M4x0.8 is not in ISO 261; M4 takes 0.7 (coarse) or 0.5 (fine).",
            id="contradictory, of no machine",
        ),
        pytest.param(
            "The motor boss bolt gets 30 N·m.",
            ("one-h",),
            "The register has no torque for “Motor boss bolt” of the Onehart H; it says snug.",
            id="a torque where the register has words",
        ),
        pytest.param(
            "The winder bracket screw gets 3 N·m.",
            ("one-h",),
            "You write 3 N·m for “Winder bracket screw” of the Onehart H; the register says "
            "1.0 N·m.",
            id="torque",
        ),
        pytest.param(
            "I have a 3/8-16 UNC bolt.",
            ("one-h",),
            "No place in the register of the Onehart H has 3/8-16 UNC; nearest in size are “Motor "
            "boss bolt” (3/8-24 UNF), “Belt guard stud” (3/8-28 UN).",
            id="of no place",
        ),
        pytest.param(
            "I have an M10x1.5 bolt.",
            ("two-v",),
            "No place in the register of the Twoway V has M10x1.5.",
            id="near none",
        ),
        pytest.param(
            "I have a 3/8-24 UNF bolt.",
            ("one-h",),
            "3/8-24 UNF is the thread of “Motor boss bolt” on the Onehart H.",
            id="of another place",
        ),
        pytest.param(
            "I have a 1/4-20 bolt.",
            ("one-h",),
            "You write 1/4-20: 1/4-20 may be BSW (BS 84) or UNC (ASME B1.1).",
            id="said in part",
        ),
        pytest.param(
            "The winder bracket screw does not look like 3/8-24 UNF.",
            ("one-h",),
            "For “Winder bracket screw” of the Onehart H the register says SM11/64-40.",
            id="set apart",
        ),
    ],
)
def test_what_is_stated_is_answered_with_facts(small, words, families, says):
    letter = squeezed(letter_of(small(), 3, families, words))
    assert says in letter
    assert "SM9/64-40" not in letter


@pytest.mark.parametrize("words", ["My winder slips.", "A 3/8-24 UNF bolt.", "It turns 5 mm."])
def test_nothing_is_said_to_what_is_not_stated_of_a_known_machine(small, words):
    assert "What you write" not in letter_of(small(), 3, (), words)


def test_an_alias_that_is_withheld_is_not_greeted(small):
    tree = small()
    letter = letter_of(tree, 2, question=tree.tree.questions[2])
    assert letter.startswith("Thank you for your question of 1 March 2026.\n\nDANGER\n")


def test_an_alias_cannot_break_the_letter(small):
    tree = small({"questions/Q0003-shoes.md": question("Why?", alias='"Bcc:\\n\\tx\\u0007y"')})
    letter = letter_of(tree, 2, question=tree.tree.questions[3])
    assert letter.startswith("Dear Bcc: x y,\n\n")


def test_the_workshops_own_answer_takes_the_place_of_the_fix(small):
    keys = "answer: Send it *back* to us.\n"
    tree = small({"questions/Q0003-shoes.md": question("Why?", keys)})
    letter = letter_of(tree, 1, question=tree.tree.questions[3])
    assert "\n\nOur answer\n  Send it back to us.\n\n" in letter
    assert "Replace the winder tyre" not in letter


def test_a_note_that_is_not_for_the_askers_machine_says_so_and_names_no_screw(small):
    letter = squeezed(letter_of(small(), 1, ("two-v",)))
    assert "What we have is written for the Onehart H, not for your Twoway V." in letter
    assert "SM11/64-40, right-hand" not in letter
    assert "Winder tyre" not in letter  # its file says that it does not fit
    assert "Gifts" not in letter
    assert "DANGER Mains inside." in letter


def test_without_a_machine_each_screw_names_its_own(small):
    letter = squeezed(letter_of(small(), 2))
    assert "Each holds for the machine named and for no other; which is yours?" in letter
    assert "Lamp bracket screw, Onehart H thread SM3/16-32" in letter
    assert "Lamp bracket screw, Twoway V thread M4x0.7" in letter
    assert "not certain; another figure is held, 10-32 UNF (a letter)." in letter
    assert "Corrected on 1 February 2026, when to oil; right is never." in letter


def test_a_part_that_harms_says_so(small):
    part = """
        name: Winder tyre
        fits: [{family: one-h, verdict: fits but harms, why: it sheds crumbs, source: us}]
        obtained: bought
        """
    more = "parts: [{part: tyre}]"
    tree = small(
        {
            "parts/tyre.yaml": part,
            "notes/0001-winder-slips.md": note(
                "W", "S", "Roll the [tyre](part:tyre) in.", "one-h", more=more
            ),
        }
    )
    letter = squeezed(letter_of(tree, 1, ("one-h",)))
    assert "On the Onehart H it fits but harms: it sheds crumbs." in letter
    assert "Gifts" not in letter


@pytest.mark.parametrize(
    ("fix", "more"),
    [
        ("Fit a SM9/64-40 thread.", "fasteners: [one-h/bracket-screw]"),
        ("Oil it every 9 days.", "corrections: [{date: 2026-02-01, was: every 9 days}]"),
        ("Use 12 N·m.", "corrections: [{date: 2026-02-01, was: 12 N·m}]"),
    ],
)
def test_an_answer_that_would_repeat_what_was_withdrawn_is_refused(small, fix, more):
    tree = small({"notes/0001-winder-slips.md": note("W", "S", fix, "one-h", more=more)})
    with pytest.raises(CannotReply, match=r"withdrawn: .+ \(content/"):
        letter_of(tree, 1, ("one-h",))


def test_an_answer_that_draws_on_errors_is_refused(small):
    tree = small({"families/two-v.yaml": "name: Twoway V\n"})
    with pytest.raises(CannotReply, match="has errors") as refused:
        letter_of(tree, 2)
    assert {one.path for one in refused.value.findings} == {"content/families/two-v.yaml"}
    assert letter_of(tree, 3)


@pytest.mark.parametrize(
    ("text", "width", "expected"),
    [
        ("one two three four five six", 24, "one two three four five\nsix"),
        ("Subject: mind", 72, " Subject: mind"),
        ("a b c d e f g h i j k Subject: x", 24, "a b c d e f g h i j k\n Subject: x"),
        ("From the back", 72, " From the back"),
        ("turn it by a screw 1/4-20 UNC LH now", 26, "turn it by a screw\n1/4-20 UNC LH now"),
        ("one\n\ntwo\x07", 0, "one two"),
    ],
)
def test_a_paragraph_is_wrapped(text, width, expected):
    assert paragraph(text, width) == expected


@given(
    st.text(st.characters(max_codepoint=0x2FF), max_size=300),
    st.integers(24, 80),
    st.integers(0, 4),
)
def test_no_paragraph_is_too_wide_or_like_a_header(text, width, indent):
    for line in paragraph(text, width, indent).split("\n"):
        assert not HEADER.match(line)
        assert len(line) <= width or " " not in line.strip() or scan(line)


def test_the_day_of_the_question_stands_in_words(small):
    tree = small()
    assert tree.tree.questions[1].front.date == datetime.date(2026, 3, 6)
    assert "6 March 2026" in letter_of(tree, 1, question=tree.tree.questions[1])


NOISE = {
    "one word without end": "zzqx" * 100_000,
    "one figure again and again": "M4x0.8 " * 20_000,
    "one place again and again": "The winder bracket screw is 12 N·m " * 5_000,
    "many courtesies": "please thanks dear " * 30_000,
    "many sentences": "a. " * 100_000,
    "nothing but lines": "\n" * 200_000,
    "open brackets": "((((((((" * 30_000,
    "signs of direction": "\u202eSubject: x\u2028From y\n" * 500,
}


@pytest.mark.parametrize("words", NOISE.values(), ids=NOISE)
def test_noise_costs_little_and_stays_a_letter(small, words):
    tree = small()
    began = time.perf_counter()
    match = Matcher(tree).match(Asked.of_text(tree.tree, words))
    letter = letter_of(tree, 1, ("one-h",), words, alias=words)
    assert time.perf_counter() - began < 30  # seconds; by the square of its length it was minutes
    assert match.sure is None
    assert not [line for line in letter.splitlines() if HEADER.match(line)]
    assert len(letter) < 40_000
