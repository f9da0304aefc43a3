"""Scanning: what is read in any text, where it stands, and that nothing makes it fail."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kbgen.text import fold
from kbgen.units import HouseThreads, Kind, Stated, System, Thread, Verdict, scan
from kbgen.units.standards import SeriesRow, all_rows

PHRASES = Path(__file__).with_name("phrases.tsv")
APART = Path(__file__).with_name("phrases_apart.tsv")


def phrases() -> list[tuple[str, str]]:
    """Return the phrases of the list with what is read of each; common practice."""
    found = []
    for line in PHRASES.read_text(encoding="utf-8").splitlines():
        phrase, tab, values = line.partition("\t")
        if tab:
            found.append((phrase, values))
    return found


def phrases_apart() -> list[tuple[str, str, str]]:
    """Return the phrases of the second list: values and verdicts; common practice."""
    found = []
    for line in APART.read_text(encoding="utf-8").splitlines():
        if "\t" in line:
            phrase, values, verdicts = (*line.split("\t"), "")[:3]
            found.append((phrase.replace("\\n", "\n"), values, verdicts))
    return found


def canonical(text: str) -> list[str]:
    return [stated.canonical for stated in scan(text)]


def shown(row: SeriesRow) -> str:
    thread = Thread(
        row.system,
        row.size,
        row.tpi,
        None if row.system is System.BA else row.pitch,
        series=row.series if row.system is System.UNIFIED else None,
        inch_size=row.system is not System.METRIC,
    )
    return str(thread)


@pytest.mark.parametrize(("phrase", "values"), phrases(), ids=lambda text: text[:40])
def test_phrase_is_read_as_what_it_says(phrase: str, values: str) -> None:
    expected = [] if values == "none" else values.split(" ; ")
    assert canonical(phrase) == expected


@pytest.mark.parametrize(
    ("phrase", "values", "verdicts"), phrases_apart(), ids=lambda text: text[:40]
)
def test_phrase_of_the_second_list_is_read_and_judged(
    phrase: str, values: str, verdicts: str
) -> None:
    found = scan(phrase)
    assert " ; ".join(one.canonical for one in found) == ("" if values == "none" else values)
    assert " ; ".join(f"{one.verdict} {one.dual or ''}".strip() for one in found) == verdicts
    assert all(one.span.of(phrase) == one.as_written for one in found)


def test_list_is_long_and_rich_in_traps() -> None:
    traps = [phrase for phrase, values in phrases() if values == "none"]
    assert len(phrases()) >= 300
    assert 3 * len(traps) >= len(phrases()) - 1


@pytest.mark.parametrize(("phrase", "values"), phrases(), ids=lambda text: text[:40])
def test_phrase_is_read_alike_inside_a_sentence(phrase: str, values: str) -> None:
    text = f"Well — “½ cup”:\n\n{phrase}\n\nAnd no more."
    found = scan(text)
    if values == "none":
        assert not [one for one in found if one.kind in (Kind.THREAD, Kind.TORQUE)]
    assert all(stated.span.of(text) == stated.as_written for stated in found)


PIECES = st.sampled_from(
    [phrase for phrase, _ in phrases()]
    + [*"0123456789/-.,x×\"'()[]{}#±°½⅛⁄ \n\t–−·", "M", "м", "х", "Nm", "lbf", "in", "ft", "TPI"]
    + ["quarter", "sixteenths", "and a half", "point", "LH", "UNC", "BA", "no.", "snug", "seated"]
    + ["​", "﻿", "İ", "１", "№", "㎜", "́", "\x00", "\ud800"]
)


@settings(max_examples=400, deadline=None)
@given(st.lists(PIECES | st.text(max_size=6), max_size=12).map("".join))
def test_no_text_makes_scanning_fail(text: str) -> None:
    held_to_its_places(text, scan(text))


@settings(max_examples=300, deadline=None)
@given(st.lists(PIECES, max_size=8).map(" ".join))
def test_values_stand_in_order_and_apart(text: str) -> None:
    held_to_its_places(text, scan(text, HouseThreads.of(["3/16-28 house"])))


def held_to_its_places(text: str, found: tuple[Stated, ...]) -> None:
    end = 0
    for stated in found:
        assert end <= stated.span.start < stated.span.end <= len(text)
        assert stated.as_written == stated.span.of(text)
        assert stated.canonical == str(stated.value)
        for objection in stated.objections:
            assert 0 <= objection.span.start <= objection.span.end <= len(text)
        end = stated.span.end


@settings(max_examples=200, deadline=None)
@given(st.sampled_from(all_rows()), st.sampled_from(["", " LH"]))
def test_every_row_is_found_in_a_sentence(row: SeriesRow, hand: str) -> None:
    designation = shown(row) + hand
    assert canonical(f"The screw here is {designation}, as far as we know.") == [designation]


@settings(max_examples=200, deadline=None)
@given(st.text())
def test_folding_keeps_places(text: str) -> None:
    folded = fold(text)
    for at in range(len(folded.text)):
        span = folded.span(at, at + 1)
        assert 0 <= span.start < span.end <= len(text)
        if not folded.edits:
            assert span.start == at


def test_a_number_inside_a_longer_code_is_nothing() -> None:
    # Common practice, no published source: parts lists hyphenate their numbers.
    assert canonical("ABC-10-32-7, 10-32-7, 1/4-20-7, a10-32") == []


def test_spans_point_at_the_text_as_written() -> None:
    text = "Use ½–20 UNF, nine sixty-fourths forty, and ¼ to ½ inch."
    assert [stated.as_written for stated in scan(text)] == [
        "½–20 UNF",
        "nine sixty-fourths forty",
        "¼ to ½ inch",
    ]


def test_house_threads_are_known_by_size_and_pitch() -> None:
    house = HouseThreads.of(["13/64-32 house", "5.2x0.8 house"])
    assert [one.verdict for one in scan("13/64-32 screw", house)] == [Verdict.DECLARED]
    assert [one.canonical for one in scan("13/64-32 screw", house)] == ["13/64-32 house"]
    assert [one.verdict for one in scan("13/64-32 screw")] == [Verdict.CONTRADICTORY]
    assert [one.canonical for one in scan("5.2x0.8 house", house)] == ["5.2x0.8 house"]


@pytest.mark.parametrize(
    ("text", "dual", "code"),
    [
        ("12 N·m (9 lbf·ft)", "agrees", None),
        ("4 N·m (35 lbf·in)", "agrees", None),
        ("20 N·m (180 lbf·in)", "agrees", None),
        ("8–10 N·m (71–88 lbf·in)", "agrees", None),
        ("max 2 N·m (18 lbf·in)", "agrees", None),
        ("1.2 N·m (10.6 lbf·in, 12.2 kgf·cm)", "agrees", None),
        ("12 N·m (20 lbf·ft)", "conflicts", "torque-units-disagree"),
        ("4 N·m (35 lbf·ft)", "conflicts", "torque-units-disagree"),
        ("8–10 N·m (71–99 lbf·in)", "conflicts", "torque-units-disagree"),
        ("1.2 N·m (10.6 lbf·in, 122 kgf·cm)", "conflicts", "torque-units-disagree"),
        ("9.5 mm (3/8 in)", "agrees", None),
        ("3/8 in (9.525 mm)", "agrees", None),
        ("9.5 mm (1/2 in)", "conflicts", "length-units-disagree"),
        ("0.5 mm (0.02 in)", "agrees", None),
    ],
)
def test_two_units_are_held_to_each_other(text: str, dual: str, code: str | None) -> None:
    # NIST SP 811, appendix B.8: 1 lbf·ft = 1.355 818 N·m, 1 lbf·in = 0.112 984 8 N·m.
    (stated,) = scan(text)
    assert stated.dual == dual
    assert [one.code for one in stated.objections] == ([code] if code else [])
    assert stated.as_written == text


@pytest.mark.parametrize(
    ("text", "slip"),
    [
        ("4 N·m (35 lbf·ft)", "35 lbf·in would agree: foot was written for inch"),
        ("12 N·m (9 lbf·in)", "9 lbf·ft would agree: inch was written for foot"),
        ("50 N·m (4.4 lbf·in)", "50 cN·m would agree: a centi was lost"),
        ("2 N·m (2 kgf·m)", "2 kgf·m would agree: N was written for kgf"),
        ("10 N·m (7.4 lbf·in)", "7.4 lbf·ft would agree: inch was written for foot"),
        ("2 N·m (20.4 kgf·m)", "20.4 kgf·cm would agree: metre was written for centimetre"),
    ],
)
def test_a_conflict_names_the_slip_that_explains_it(text: str, slip: str) -> None:
    ((objection,),) = (stated.objections for stated in scan(text))
    assert slip in objection.hint


def test_kinds_are_told_apart() -> None:
    text = "Set the M4 × 8 screw snug, then an eighth of a turn; never above 2 N·m."
    assert [stated.kind for stated in scan(text)] == [
        Kind.THREAD,
        Kind.LENGTH,
        Kind.TIGHTNESS,
        Kind.TORQUE,
    ]


def test_scanning_grows_with_the_text_and_no_faster() -> None:
    # Steps of the search, counted by the values found: twice the text, twice the values.
    once = "The clamp takes 1/4-20 UNC at 4 N·m (35 lbf·in). " * 20
    assert len(scan(once * 2)) == 2 * len(scan(once)) == 80


@pytest.mark.parametrize(
    ("text", "as_written"),
    [
        ("It is 1/4-20 BSW.", "1/4-20 BSW"),
        ("The stud is 1/2 in.", "1/2 in"),
        ("Set it to 4 N·m.", "4 N·m"),
        ("Tighten to 20 pounds.", "20 pounds"),
        ("Go to 12 N·m (9 lbf·ft).", "12 N·m (9 lbf·ft)"),
    ],
)
def test_a_value_ends_before_the_full_stop(text: str, as_written: str) -> None:
    (stated,) = scan(text)
    assert stated.as_written == as_written


def test_the_place_of_an_ambiguous_unit_is_the_unit_alone() -> None:
    text = "Tighten to 20 pounds."
    (stated,) = scan(text)
    (objection,) = stated.objections
    assert objection.span.of(text) == "pounds"


@pytest.mark.parametrize(
    ("text", "dual"),
    [
        # Common practice, no published source: a fraction of an inch is meant to a 64th or so.
        ("The jaw is 9.5 mm (1/2 in) wide.", "conflicts"),
        ("The jaw is ½ in (9.5 mm) wide.", "conflicts"),
        ("The jaw is 9.5 mm (3/8 in) wide.", "agrees"),
        ("The jaw is 13 mm (1/2 in) wide.", "agrees"),
        ("The rod is 3 mm (1/8 in) thick.", "agrees"),
        ("The rod is 25 mm (1 in) thick.", "agrees"),
    ],
)
def test_a_fraction_of_an_inch_is_held_to_its_64ths(text: str, dual: str) -> None:
    (stated,) = scan(text)
    assert stated.dual == dual


@pytest.mark.parametrize(
    ("text", "values"),
    [
        # Common practice, no published source: what a count, a way back, a list of sizes look like.
        ("1 1/4-20 UNC screws", ["1/4-20 UNC"]),
        ("M10 x 1 1/2 in", ["M10x1.5", "38.1 mm"]),
        ("2 N·m + 90° and 180° back", ["2 N·m + 90 deg"]),
        ("between 1 and 3/4 in", ["19.05..25.4 mm"]),
        ("The M8x1, and it is not left-handed.", ["M8x1"]),
        ("M8x1 and left-handed nuts are kept apart", ["M8x1"]),
        ("10 mm +0.1/-0", ["10..10.1 mm"]),
        ("10 + 1 Nm", []),
        ("12-28/12-29", []),
    ],
)
def test_neighbours_of_a_form_are_told_from_it(text: str, values: list[str]) -> None:
    assert canonical(text) == values


def test_a_mixed_size_that_may_be_a_count_is_refused_with_both_sizes() -> None:
    # ASME B1.1: 1 1/4 UNC has 7 threads an inch, 1/4 UNC has 20.
    (stated,) = scan("1 1/4-20 UNC")
    assert (stated.canonical, stated.verdict) == ("1 1/4-20 UNC", Verdict.CONTRADICTORY)
    (objection,) = stated.objections
    assert "1 1/4 UNC takes 7" in objection.hint
    assert "1/4-20 UNC is another size" in objection.hint
