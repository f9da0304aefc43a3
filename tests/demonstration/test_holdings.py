"""The demonstration holds what a practitioner looks for, and nothing real."""

from __future__ import annotations

import re
from collections import Counter
from functools import cache
from pathlib import Path
from urllib.parse import urlsplit

import pytest

from kbgen.build import checked_tree
from kbgen.checks import Checked
from kbgen.content import Tree
from kbgen.content.models import FitVerdict, Obtained, RegisterRow, Signal, Standing
from kbgen.search import analyse

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
CONTENT = ROOT / "content"
FAMILIES = sorted(path.stem for path in (CONTENT / "families").glob("*.yaml"))

# Whom a note sends to, where its own advice ends.
WHOM = re.compile(
    r"\b(?:ask|us|repairers?|electrician|surveyor|contractor|doctor|shop|dealer|engineer|welder"
    r"|metalworker|plater|carpenter|jeweller|saddler|restorer|qualified|licensed|laboratory"
    r"|somebody with|tool room|sign writer|auction house)\b",
    re.IGNORECASE,
)


@cache
def checked() -> Checked:
    return checked_tree(ROOT)


def tree() -> Tree:
    return checked().tree


def register(family: str) -> tuple[RegisterRow, ...]:
    return tree().families[family].model.fasteners


def published() -> list[int]:
    return [n for n, note in tree().notes.items() if note.front.standing is Standing.PUBLISHED]


def test_there_is_enough_of_everything() -> None:
    found = {
        "notes": len(published()),
        "families": len(tree().families),
        "parts": len(tree().parts),
        "recordings": len(tree().recordings),
        "questions": len(tree().questions),
        "rows of the vocabulary": len(tree().vocabulary),
        "notes with a picture": sum(bool(tree().notes[n].front.photos) for n in published()),
    }
    wanted = dict(zip(found, (90, 9, 60, 12, 60, 250, 12), strict=True))
    assert {what: n for what, n in found.items() if n < wanted[what]} == {}


@pytest.mark.parametrize("family", FAMILIES)
def test_a_register_is_full_and_has_its_traps(family: str) -> None:
    rows = register(family)
    assert 12 <= len(rows) <= 40
    assert any(row.thread.endswith(" LH") for row in rows), "a left-hand thread"
    assert any(row.thread.endswith(" house") for row in rows), "a thread that no series holds"
    assert any(row.disputed for row in rows), "a figure that somebody disputes"
    path = f"content/families/{family}.yaml"
    assert any(f.code == "mix-up" and f.path == path for f in checked().findings), "a mix-up"


@pytest.mark.parametrize("family", FAMILIES)
def test_a_setting_is_stated_in_both_units_with_its_basis(family: str) -> None:
    model = tree().families[family].model
    assert len(model.settings) >= 3
    assert len(model.variants) >= 2
    for setting in model.settings:
        assert re.fullmatch(r"[\d.]+(?:\.\.[\d.]+)? mm \([\d./ ]+ in\)", setting.value), setting.id
        assert setting.source


def test_one_family_has_many_lots_from_several_works() -> None:
    lots = [family.model.lots for family in tree().families.values()]
    assert any(len(rows) > 12 and len({row.works for row in rows}) >= 3 for rows in lots)


def test_parts_fit_harm_and_do_not_fit_and_were_come_by_in_all_four_ways() -> None:
    parts = [part.model for part in tree().parts.values()]
    verdicts = Counter(fit.verdict for part in parts for fit in part.fits)
    assert min(verdicts[verdict] for verdict in FitVerdict) >= 10
    assert {part.obtained for part in parts} == set(Obtained)
    assert [part.name for part in parts if not part.fits] == []
    assert sum(bool(part.offers) for part in parts) >= 40


def test_recordings_have_chapters_and_captions_and_some_are_corrected() -> None:
    recordings = tree().recordings.values()
    assert [r.source.path for r in recordings if len(r.model.chapters) < 4] == []
    assert [r.source.path for r in recordings if len(r.captions) < 8] == []
    assert sum(bool(recording.model.corrections) for recording in recordings) >= 3


def test_every_note_says_how_to_tell_what_proves_it_and_when_to_stop() -> None:
    for number in published():
        note = tree().notes[number]
        text = (ROOT / note.source.path).read_text(encoding="utf-8")
        assert 3 <= len(note.front.symptom) <= 6, note.source.path
        assert len(note.front.causes) >= 3, note.source.path
        assert all(cause.tell for cause in note.front.causes), note.source.path
        assert note.front.works_when
        assert note.front.fix
        steps = re.findall(r"^\d+\. ", text, re.MULTILINE)
        assert len(steps) >= 3, note.source.path
        stop = text.partition("## When to stop\n")[2]
        assert len(stop.split()) >= 12, f"{note.source.path} does not say when to stop"
        assert WHOM.search(stop), f"{note.source.path} does not say whom to ask"


def test_corrections_stand_in_notes_registers_and_recordings() -> None:
    found = [
        sum(len(note.front.corrections) for note in tree().notes.values()),
        sum(len(row.corrections) for family in FAMILIES for row in register(family)),
        sum(len(recording.model.corrections) for recording in tree().recordings.values()),
    ]
    assert min(found) >= 3
    assert sum(found) >= 10


def test_questions_are_like_real_mail() -> None:
    questions = tree().questions.values()
    standing = Counter(question.front.standing.value for question in questions)
    assert 0.2 <= standing["waiting"] / len(questions) <= 0.35
    assert sum(question.front.same_as is not None for question in questions) >= 6
    assert sum(question.front.about is not None for question in questions) >= 8
    assert len({str(question.front.date)[:7] for question in questions}) >= 9
    assert len({question.front.came_by for question in questions}) >= 4
    assert len({question.front.answered_by for question in questions}) >= 40


def test_hazards_speak_as_the_standard_has_it_and_defer() -> None:
    """Signal words of ANSI Z535.6; what is licensed work names who has to do it."""
    hazards = tree().hazards
    assert {hazard.signal for hazard in hazards.values()} == set(Signal)
    for name in ("mains-shock", "electrical-testing", "stored-charge", "asbestos", "lead-coating"):
        assert hazards[name].defer_to, name
    used = {name for number in published() for name in tree().notes[number].front.hazards}
    assert sorted(set(hazards) - used) == []


def test_no_limit_of_an_electrical_test_is_printed() -> None:
    """A limit without class, voltage, standard and year is worse than none: there is none."""
    limit = re.compile(r"\d\s*(?:MΩ|M?ohms?|megohms?|mA|milliamp\w*|kV|V d\.?c\.?)\b")
    files = [path for path in CONTENT.rglob("*") if path.suffix in (".md", ".yaml", ".vtt")]
    found = [path.name for path in files if limit.search(path.read_text(encoding="utf-8"))]
    assert found == []


def test_a_lay_phrase_says_something_when_small_words_are_left_out() -> None:
    """A phrase of several words that comes down to one is found in any question at all."""
    telling = {("gum",), ("budg",)}
    said = [phrase for pair in tree().vocabulary for phrase in pair.lay]
    leading = [p for pair in tree().vocabulary if len(pair.trade) > 1 for p in pair.trade]
    bare = [
        phrase
        for phrase in (*said, *leading)
        if not (terms := analyse(phrase))
        or (len(terms) == 1 and len(re.split(r"[ -]", phrase)) > 1 and tuple(terms) not in telling)
    ]
    assert bare == []
    terms = Counter(tuple(analyse(phrase)) for phrase in said)
    assert [twice for twice, times in terms.items() if times > 1] == []


def test_every_address_is_one_that_nobody_can_own() -> None:
    """RFC 2606, section 3: example.org and its sisters are reserved."""
    hosts = {
        urlsplit(address).hostname or ""
        for path in CONTENT.rglob("*")
        if path.suffix in (".md", ".yaml", ".vtt")
        for address in re.findall(r"https?://[^\s\"')>]+", path.read_text(encoding="utf-8"))
    }
    assert [host for host in sorted(hosts) if not host.endswith("example.org")] == []


def test_every_name_is_known_to_be_invented() -> None:
    """A capital inside a sentence is a name: who adds one says in names.txt that it is no one's."""
    known = (HERE / "names.txt").read_text(encoding="utf-8").split()
    assert known == sorted(set(known))
    found = set()
    for path in CONTENT.rglob("*"):
        if path.suffix in (".md", ".yaml", ".vtt") and path.parent.name != "questions":
            text = re.sub(
                r"\]\([^)]*\)|https?://\S+|by_names:.*", "", path.read_text(encoding="utf-8")
            )
            found |= set(re.findall(r"(?<=[a-z,;] )[A-Z][a-z]+\b", text))
    assert sorted(found - set(known)) == []
    assert sorted(set(known) - found) == [], "no file needs these names any more"
