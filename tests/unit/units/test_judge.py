"""Judging: the four verdicts, each with its authority."""

from __future__ import annotations

import pytest

from kbgen.findings import code_named
from kbgen.units import OBJECTION_CODES, HouseThreads, Verdict, judge, parse_thread, scan
from kbgen.units.standards import Standing, all_rows, series_of
from kbgen.units.stated import Objection

HOUSE = HouseThreads.of(["13/64-32 house", "5.2x0.8 house"])


def objection(text: str) -> Objection:
    (found,) = judge(parse_thread(text)).objections
    return found


@pytest.mark.parametrize(
    ("text", "series", "standard"),
    [
        ("1/4-20 UNC", "UNC", "ASME B1.1"),
        ("10-32 UNF", "UNF", "ASME B1.1"),
        ("12-28", "UNF", "ASME B1.1"),
        ("5/16-32 UNEF", "UNEF", "ASME B1.1"),
        ("3/8-28 UN", "28-UN", "ASME B1.1"),
        ("1/4-28 UN", "28-UN", "ASME B1.1"),
        ("M6", "coarse", "ISO 261"),
        ("M8x1", "fine", "ISO 261"),
        ("1/4 BSW", "BSW", "BS 84"),
        ("1/4-26 BSF", "BSF", "BS 84"),
        ("4 BA", "BA", "BS 93"),
        ("3/8-26 BSCy", "BSCy", "BS 811"),
        ("1/8-27 NPT", "NPT", "ASME B1.20.1"),
        ("1/8-27 NPSM", "NPSM", "ASME B1.20.1"),
        ("G1/8", "G", "ISO 228-1"),
    ],
)
def test_what_a_standard_holds_names_series_and_standard(
    text: str, series: str, standard: str
) -> None:
    judged = judge(parse_thread(text))
    assert (judged.verdict, judged.series, judged.standard) == (
        Verdict.STANDARD,
        series,
        standard,
    )
    assert judged.objections == ()


@pytest.mark.parametrize(
    ("text", "series"),
    [
        ("14-24", "UNS"),  # ANSI/ASME B94.9-2008, a tap size of the older series
        ("1/4-24 UNS", "UNS"),  # ASME B1.1: any pair may be stated as UNS
        ("1/4-37 UNS", "UNS"),
        ("1/4-27", "UNS"),  # the lamp trade
        ("M5x0.9", "obsolete coarse"),  # old JIS and DIN 13, from memory
        ("M3x0.6", "obsolete coarse"),
        ("SM9/64-40", "SM"),  # JIS B 0226, from memory: may only prevent a false alarm
        ("SM11/64-40", "SM"),
        ("SM9/64-44", "SM"),  # no table of JIS B 0226 was seen, so nothing can be refused
        ("1/4-26 BSB", "BSB"),  # trade practice, no standard
    ],
)
def test_trade_and_obsolete_threads_are_declared(text: str, series: str) -> None:
    judged = judge(parse_thread(text))
    assert (judged.verdict, judged.series) == (Verdict.DECLARED, series)


def test_house_threads_are_declared_where_the_workshop_declares_them() -> None:
    for text in ("13/64-32 house", "13/64-32", "5.2x0.8 house"):
        assert judge(parse_thread(text), HOUSE).verdict is Verdict.DECLARED
    judged = judge(parse_thread("13/64-32 house"))
    assert judged.verdict is Verdict.CONTRADICTORY
    assert judged.objections[0].code == "thread-not-declared"


@pytest.mark.parametrize(
    ("text", "message", "hint"),
    [
        # ISO 261: M4 takes 0.7 and 0.5; M5 takes 0.8.
        (
            "M4x0.8",
            "M4x0.8 is not in ISO 261; M4 takes 0.7 (coarse) or 0.5 (fine)",
            "M5x0.8 is; measure the diameter again",
        ),
        ("M6x1.25", "M6 takes 1 (coarse) or 0.75 (fine)", "M8x1.25 is"),
        ("M10x2", "M10 takes 1.5 (coarse), 1.25 (fine), 1 (fine) or 0.75 (fine)", "M14x2 is"),
        # ASME B1.1: 10-24 UNC and 10-32 UNF; 6-32 and 8-32.
        ("#10-30", "10-30 is not in any series", ""),
        ("1/4-21", "1/4-21 is not in any series", ""),
    ],
)
def test_a_pair_in_no_series_is_refused_and_its_neighbours_are_named(
    text: str, message: str, hint: str
) -> None:
    found = objection(text)
    assert found.code == "thread-in-no-series"
    assert message in found.message
    assert hint in found.hint
    assert judge(parse_thread(text)).verdict is Verdict.CONTRADICTORY
    assert str(parse_thread(text)) == text.lstrip("#")


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("1/4-20 UNF", "1/4-20 is BSW (BS 84) or UNC (ASME B1.1), not UNF"),
        ("10-32 UNC", "10-32 is UNF (ASME B1.1), not UNC"),
        ("1/4-28 BSF", "1/4-28 is UNF (ASME B1.1), not BSF"),
        ("3/8-16 BSF", "3/8-16 is BSW (BS 84) or UNC (ASME B1.1), not BSF"),
        ("1/4-20 UNS", "1/4-20 is UNC (ASME B1.1), not UNS"),
        ("1/2-13 BSW", "1/2-13 is UNC (ASME B1.1), not BSW"),
    ],
)
def test_a_wrong_series_says_which_it_is(text: str, message: str) -> None:
    found = objection(text)
    assert found.code == "series-on-wrong-pair"
    assert message in found.message


@pytest.mark.parametrize(
    "text",
    [
        *("?-20", "M?x0.7", "1/4-?", "M8 fine", "1/4-20", "5/16-18", "3/8-16", "3/8-20", "1/8-27"),
        *("1/4-26", "3/16-32", "M15", "M64x6", "4 1/2-3"),
    ],
)
def test_what_is_not_said_is_not_made_up(text: str) -> None:
    judged = judge(parse_thread(text))
    assert judged.verdict is Verdict.UNSTATED
    assert [one.code for one in judged.objections] == ["thread-said-in-part"]
    assert judged.series is None


@pytest.mark.parametrize(
    ("text", "verdict"),
    [
        # ASME B1.1 gives 1/2-13 and BS 84 1/2-12: the pair tells the two apart.
        ("1/2-13", Verdict.STANDARD),
        ("3/8-24", Verdict.STANDARD),
        ("10-32", Verdict.STANDARD),
        # BS 84 alone holds 3/16-24 and 5/16-22.
        ("3/16-24", Verdict.STANDARD),
        ("5/16-22", Verdict.STANDARD),
    ],
)
def test_a_bare_pair_that_only_one_series_holds_is_that(text: str, verdict: Verdict) -> None:
    assert judge(parse_thread(text)).verdict is verdict


@pytest.mark.parametrize("row", all_rows(), ids=lambda row: f"{row.system} {row.size} {row.tpi}")
def test_no_row_of_a_table_is_refused(row: object) -> None:
    for found in series_of(parse_thread("1/4-20")):
        assert found.size == "1/4"
    name = f"{row.size}-{float(row.tpi):g}" if row.tpi else row.size  # type: ignore[attr-defined]
    thread = parse_thread(designation(row, name))
    judged = judge(thread)
    expected = (
        Verdict.STANDARD
        if row.standing is Standing.STANDARD  # type: ignore[attr-defined]
        else Verdict.DECLARED
    )
    assert judged.verdict is expected
    assert judged.objections == ()


def designation(row: object, name: str) -> str:
    system = row.system.value  # type: ignore[attr-defined]
    return {
        "unified": f"{name} {row.series}",  # type: ignore[attr-defined]
        "metric": f"M{row.size}x{row.pitch}",  # type: ignore[attr-defined]
        "BA": f"{name} BA",
        "SM": f"SM{name}",
        "G": f"G{row.size}",  # type: ignore[attr-defined]
    }.get(system, f"{name} {system}")


def test_every_objection_has_its_row_in_the_table_of_codes() -> None:
    for code in OBJECTION_CODES:
        assert code_named(code).source


def test_objections_point_at_the_words_at_fault() -> None:
    text = "Fit a 1/4-20 UNF screw at 4 N·m (35 lbf·ft)."
    assert [one.span.of(text) for stated in scan(text) for one in stated.objections] == [
        "UNF",
        "35 lbf·ft",
    ]
