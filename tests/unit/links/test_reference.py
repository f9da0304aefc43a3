from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kbgen.links import Reference, Scheme, address_of, clock, parse_reference, seconds
from kbgen.text import NotationError


@pytest.mark.parametrize(
    ("text", "canonical", "address"),
    [
        ("note:17", "note:17", "n/0017.html"),
        ("note:0017", "note:17", "n/0017.html"),
        ("note:123456", "note:123456", "n/123456.html"),
        ("part:winder-tyre", "part:winder-tyre", "p/winder-tyre.html"),
        ("family:halverin-h", "family:halverin-h", "m/halverin-h.html"),
        (
            "fastener:halverin-h/winder-bracket-screw",
            "fastener:halverin-h/winder-bracket-screw",
            "m/halverin-h.html#winder-bracket-screw",
        ),
        ("thread:SM11/64-40", "thread:SM11/64-40", "t/sm11_64-40.html"),
        ("thread:1/4-20%20UNC", "thread:1/4-20 UNC", "t/1_4-20-unc.html"),
        ("thread:1/4-20 UNC-2A LH", "thread:1/4-20 UNC-2A LH", "t/1_4-20-unc.html"),
        ("thread:M6x1", "thread:M6x1", "t/m6x1.html"),
        ("thread:4 BA", "thread:4 BA", "t/4-ba.html"),
        ("recording:winder-evening", "recording:winder-evening", "r/winder-evening.html"),
        (
            "recording:winder-evening@12:40",
            "recording:winder-evening@12:40",
            "r/winder-evening.html#t-12-40",
        ),
        ("recording:a@62:40", "recording:a@1:02:40", "r/a.html#t-1-02-40"),
        ("recording:a@00:05", "recording:a@0:05", "r/a.html#t-0-05"),
        ("symptom:skips-stitches", "symptom:skips-stitches", "s/skips-stitches.html"),
    ],
)
def test_a_reference_is_read_and_has_an_address(text: str, canonical: str, address: str) -> None:
    reference = parse_reference(text)
    assert str(reference) == canonical
    assert parse_reference(str(reference)) == reference
    assert address_of(reference) == address


@pytest.mark.parametrize(
    ("text", "of", "words"),
    [
        ("notes:17", "notes", "none of the schemes note, family"),
        ("17", "17", "none of the schemes"),
        ("", "", "none of the schemes"),
        ("page:about", "page", "none of the schemes"),
        ("note:0", "0", "by its number"),
        ("note:x", "x", "by its number"),
        ("note:1234567", "1234567", "by its number"),
        ("note:\u0661", "\u0661", "by its number"),
        ("part:Winder Tyre", "Winder Tyre", "lower-case words"),
        ("part:../etc", "../etc", "lower-case words"),
        ("family:", "", "lower-case words"),
        ("fastener:halverin-h", "halverin-h", "register row"),
        ("fastener:a/b/c", "a/b/c", "register row"),
        ("thread:nonsense", "nonsense", ""),
        ("recording:a@", "", "12:40"),
        ("recording:a@12:60", "12:60", "12:40"),
        ("recording:a@1:62:00", "1:62:00", "12:40"),
    ],
)
def test_what_is_no_reference_says_where_and_what_was_expected(
    text: str, of: str, words: str
) -> None:
    with pytest.raises(NotationError) as raised:
        parse_reference(text)
    assert raised.value.span.of(text) == of
    assert words in raised.value.message


@given(st.text())
def test_any_text_is_a_reference_or_a_notation_error(text: str) -> None:
    for prefix in ("", "note:", "thread:", "recording:", "fastener:"):
        try:
            reference = parse_reference(prefix + text)
        except NotationError as wrong:
            assert wrong.span.end <= len(prefix + text)
        else:
            assert parse_reference(str(reference)) == reference
            assert address_of(reference)


@given(st.integers(0, 99 * 3600))
def test_a_moment_reads_back(total_s: int) -> None:
    assert seconds(clock(total_s)) == total_s


def test_the_whole_of_a_row_is_its_family_and_of_a_moment_its_recording() -> None:
    assert parse_reference("fastener:a/b").whole == Reference(Scheme.FAMILY, "a")
    assert parse_reference("recording:a@0:10").whole == Reference(Scheme.RECORDING, "a")
    assert parse_reference("note:1").whole == parse_reference("note:1")
