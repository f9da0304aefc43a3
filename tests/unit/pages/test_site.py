"""The site of a small tree: what each page kind must say, and in which order."""

from __future__ import annotations

import re

import pytest

NOTE, FAMILY, PART = "n/0001.html", "m/one-h.html", "p/tyre.html"
Site = dict[str, bytes]


def html(site: Site, path: str) -> str:
    return site[path].decode("utf-8")


def words(text: str) -> str:
    """Return what is read: no style, no markup, single blanks."""
    text = re.sub(r"<(style|script)\b.*?</\1>", "", text, flags=re.DOTALL)
    text = re.sub(r"<[^>]+>", "", text)
    return " ".join(text.replace("\u00a0", " ").split())


def in_order(text: str, *parts: str) -> None:
    """Hold that each part stands somewhere after the one before it."""
    at = 0
    for part in parts:
        found = text.find(part, at)
        assert found >= 0, f"{part!r} does not stand after {text[max(0, at - 60) : at]!r}"
        at = found + len(part)


def test_every_page_kind_is_there_and_what_is_not_published_is_not(site: Site) -> None:
    assert {path for path in site if path.endswith(".html")} == {
        "index.html",
        "symptoms.html",
        "families.html",
        "screws.html",
        "measure.html",
        "torque.html",
        "serial.html",
        "parts.html",
        "recordings.html",
        "notes.html",
        "corrections.html",
        "questions.html",
        "find.html",
        "about.html",
        "404.html",
        NOTE,
        "n/0002.html",
        "n/0003.html",
        "c/0001.html",
        "c/0002.html",
        FAMILY,
        "g/one-h.html",
        PART,
        "r/evening.html",
        "s/winder.html",
        "t/3_8-24-unf.html",
        "t/3_8-28-un.html",
        "t/sm1_4-40.html",
    }
    assert all("Not yet" not in text.decode("utf-8", "replace") for text in site.values())


def test_a_note_is_read_in_the_order_of_the_bench(site: Site) -> None:
    in_order(
        words(html(site, NOTE)),
        "The tyre slips &amp; squeals",
        "Holds for One H. Last revised 4 March 2026.",
        "“The wheel turns &lt;and&gt; nothing fills”",
        "Stop if",
        "Before you start",
        "Causes, cheapest to test first",
        "no remedy known",
        "The fix",
        "Take it off",
        "Screws you will meet",
        "These get swapped",
        "Parts",
        "It is right when",
        "Where it was shown",
        "Corrections",
        "What leads here",
        "The belt is loose",
        "Permanent address",
        "https://bench.example.org/n/0001.html",
        "Write to slip@example.org",
        "CC BY-SA 4.0",
    )


def test_cautions_come_most_severe_first_with_all_their_parts(site: Site) -> None:
    text = html(site, NOTE)
    in_order(
        text,
        "DANGER",
        "Mains inside.",
        "It kills.",
        "Unplug.",
        "an electrician",
        "CAUTION",
        "Levers close.",
        "NOTICE",
        "A burr scratches the bed.",
        'id="_fix"',
    )
    assert "<details" not in text


def test_only_what_can_hurt_people_carries_the_alert_symbol(site: Site) -> None:
    """ANSI Z535.6: NOTICE has no safety alert symbol."""
    danger = re.search(r'class="caution danger".*?</p>', html(site, NOTE), re.DOTALL)
    notice = re.search(r'class="caution notice".*?</p>', html(site, NOTE), re.DOTALL)
    assert danger and notice
    assert "<svg" in danger[0]
    assert "<svg" not in notice[0]


def test_a_withdrawn_figure_is_struck_through_and_says_was(site: Site) -> None:
    for path in (FAMILY, NOTE, "corrections.html"):
        assert re.search(r"was <s><b class=\"th\">.*?26.*?BSF.*?</s>", html(site, path)), path
    assert "was 3/8-26 BSF, is 3/8-24 UNF. Told by a reader." in words(html(site, FAMILY))


def test_corrections_are_one_ledger_newest_first(site: Site) -> None:
    in_order(
        words(html(site, "corrections.html")),
        "5 March 2026",
        "4 March 2026",
        "1 February 2026",
        "at 12:50",
    )


def test_the_family_warns_of_its_dangerous_pair_in_a_sentence(site: Site) -> None:
    text = words(html(site, FAMILY))
    assert re.search(r"The 3/8-24 UNF screw starts in the 3/8-28 UN hole and binds after", text)


def test_a_register_row_is_an_anchor_and_says_hand_basis_and_source(site: Site) -> None:
    text = html(site, FAMILY)
    for row in ("bolt", "stud", "nut"):
        assert f'id="{row}"' in text
    read = words(text)
    assert "left: turns the other way" in read
    assert "measured: pitch leaf, two machines" in read
    assert "Only on With boss." in read
    assert re.search(r"\d+(–\d+)? % of proof", read)


def test_the_disclosure_stands_before_the_first_offer(site: Site) -> None:
    """16 CFR 255.5: before the link, in the reader's way."""
    in_order(
        html(site, PART),
        "It was given to us.",
        "We were given some of these parts.",
        'href="https://shop.example.org/tyre" rel="sponsored noopener"',
    )


def test_a_withdrawn_note_leads_to_its_successor_and_says_nothing_else(site: Site) -> None:
    text = html(site, "n/0003.html")
    assert 'href="0001.html"' in text
    assert "Glue it" not in text


def test_a_recording_leads_to_its_moments_and_prints_what_was_said(site: Site) -> None:
    text = html(site, "r/evening.html")
    in_order(
        text,
        'id="t-12-40"',
        'href="https://films.example.org/evening#t=760"',
        "The tyre",
        'href="../n/0001.html"',
        "Now the tyre.",
    )


def test_a_thread_says_its_verdict_standard_size_and_places(site: Site) -> None:
    read = words(html(site, "t/3_8-24-unf.html"))
    in_order(
        read,
        "3/8-24 UNF",
        "standard",
        "ASME B1.1",
        "Major diameter",
        "9.525 mm",
        "Limits of size",
        "screw, 2A",
        "hole, 2B",
        "One H",
        "Motor bolt",
        "Used in",
    )


def test_figures_in_prose_are_stamped_and_links_are_made_relative(site: Site) -> None:
    text = html(site, NOTE)
    assert '<a href="../m/one-h.html#bolt">bolt</a>' in text
    assert "root:" not in text
    stamped = '<b class="th"><span class="fr"><i>3</i>/<i>8</i></span>-24 UNF</b>, with care'
    assert stamped in text


@pytest.mark.parametrize("path", ["index.html", NOTE, "find.html"])
def test_no_style_attribute_no_inline_script_no_outside_source(site: Site, path: str) -> None:
    text = html(site, path)
    assert not re.search(r"<[^>]+\sstyle=", text)
    assert not re.search(r'<script(?! type="application/ld\+json">)(?![^>]*\ssrc=)', text)
    assert not re.search(r'(?:src|srcset)="(?:https?:)?//', text)


def test_rendering_twice_gives_the_same_bytes(tree, site: Site) -> None:
    from kbgen.checks import check
    from kbgen.content import load_tree
    from kbgen.pages import render_site

    assert dict(render_site(check(load_tree(tree)))) == site
