"""Figures as markup: they copy as plain text, and units never leave their number."""

from __future__ import annotations

import datetime
import re

import pytest

from kbgen.pages.figures import day, measure, month, pair, quiet_join, stamp, with_fractions


def plain(markup: str) -> str:
    """Return what a reader copies."""
    return re.sub(r"<[^>]+>", "", markup).replace("\u00a0", " ")


@pytest.mark.parametrize(
    "canonical",
    ["1/4-20 UNC", "5/16-18 UNC LH", "1 1/8-12 UNF", "SM11/64-40", "M6x1-6g", "10-32 UNF-2A",
     "4 BA", "13/64-32 house", "G1/8", "1/4-26 BSB", "?-20"],
)  # fmt: skip
def test_a_designation_copies_as_it_is_canonically_written(canonical: str) -> None:
    assert plain(stamp(canonical)) == canonical


def test_a_fraction_is_set_as_one_and_copies_as_one() -> None:
    told = with_fractions('a 1 5/16 "bore" & 3/4\'s, 1/2/3')
    fractions = ("<i>5</i>/<i>16</i>", "<i>3</i>/<i>4</i>")
    assert told == (
        f'a 1\N{NO-BREAK SPACE}<span class="fr">{fractions[0]}</span> &#34;bore&#34; &amp; '
        f'<span class="fr">{fractions[1]}</span>&#39;s, 1/2/3'
    )


def test_a_left_hand_stands_in_full_size() -> None:
    assert "<em>LH</em>" in stamp("1/4-40 UNS LH")
    assert "<em>" not in stamp("1/4-40 UNS")


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("1.0 N·m", "1.0 N·m"),
        ("8..10 N·m", "8–10 N·m"),
        ("..2 N·m", "..2 N·m"),
        ("snug", "snug"),
    ],
)
def test_a_measure_reads_as_stated(text: str, shown: str) -> None:
    assert plain(measure(text)) == shown


def test_a_unit_is_bound_to_its_number() -> None:
    assert "1.0\u00a0N·m" in measure("1.0 N·m")
    assert "\u00a0mm" in pair("9.525", "mm")


def test_dates_are_told_in_words_and_to_machines() -> None:
    assert day(datetime.date(2026, 3, 4)) == (
        '<time datetime="2026-03-04">4\u00a0March 2026</time>'
    )
    assert month("1911") == "1911"
    assert month("1911-01") == "January\u00a01911"
    assert month("1911-01-16") == "16\u00a0January\u00a01911"


def test_what_is_written_is_never_taken_for_markup() -> None:
    assert "<script>" not in stamp("<script>")
    assert "<script>" not in measure("<script>")


def test_a_plain_list() -> None:
    assert quiet_join(["a", "b", "c"]) == "a, b and c"
    assert quiet_join(["a"]) == "a"
    assert quiet_join([]) == ""
