"""What becomes of a question, and how the notes are ranked."""

from __future__ import annotations

import pytest
from shelves import NOTES, SHELF, note

from kbgen.search import Shelf
from kbgen.search.collection import Collection
from kbgen.search.hits import rank
from kbgen.search.questions import Question, ask
from kbgen.search.ranking import RAREST, SHARES, Scale, question_weight
from kbgen.search.results import best_line, paged_terms, thread_pages

INDEX = Collection(SHELF)


def asked(text: str) -> Question:
    return ask(text, INDEX, SHELF.widenings, paged_terms(SHELF.threads))


def found(text: str) -> list[int]:
    return [hit.number for hit in rank(asked(text), INDEX)]


@pytest.mark.parametrize(
    ("text", "first"),
    [
        ("my winder tyre is slipping", 1),
        ("it skips stitches", 2),
        ("the hand wheel is seized", 7),
        ("5/16 by 18", 3),
        ("five sixteenths eighteen", 3),
        ("18 lbf·in", 3),
        ("M6", 7),
        ("halverin", 1),
        ("wnider tyer", 1),
        ("skippd stiches", 2),
        ("bob bin", 1),
        ("handwheel", 7),
        ("wind", 1),
        ("brack", 3),
        ("the little rubber wheel", 1),
    ],
)
def test_the_right_note_comes_first(text: str, first: int) -> None:
    assert found(text)[0] == first


def test_any_word_will_do_and_ties_go_to_the_lower_number() -> None:
    alike = Collection(Shelf.of([note(9, "Oil", "oil"), note(5, "Oil", "oil")]))
    hits = rank(ask("oil unknownword", alike), alike)
    assert [hit.number for hit in hits] == [5, 9]
    assert hits[0].score == hits[1].score


def test_nothing_found_is_nothing() -> None:
    assert found("zzz qqq") == []
    assert found("") == []
    assert found("the and of") == []


def test_a_hit_that_holds_little_and_does_not_stand_out_is_weak() -> None:
    weak = {hit.number: hit.weak for hit in rank(asked("the lamp of a lighthouse keeper"), INDEX)}
    assert weak == {3: True}
    assert not rank(asked("lamp droops"), INDEX)[0].weak


def test_what_was_looked_for_beside_is_said() -> None:
    assert [(w.said, w.also) for w in asked("the little rubber wheel").widened] == [
        ("little rubber wheel", "winder tyre")
    ]
    assert [(w.said, w.also) for w in asked("bobin").widened] == [("bobin", "bobbin")]
    assert asked("bobbin").widened == ()


def test_trade_words_are_not_widened_to_lay_words() -> None:
    assert asked("winder tyre").widened == ()


def test_a_word_near_a_stop_word_is_taken_for_it() -> None:
    assert asked("whan").widened == ()


def test_a_thread_leads_to_its_own_page() -> None:
    def pages(text: str) -> list[str]:
        return [page.address for page in thread_pages(asked(text), SHELF.threads)]

    assert pages("5/16 by 18") == ["t/5_16-18-unc.html"]
    assert pages("M6") == ["t/m6x1.html"]
    assert pages("lamp") == []


def test_the_sentence_that_matched_is_the_one_that_holds_most() -> None:
    lines = ["The lamp droops.", "The foot control is hot.", "Nothing."]
    assert best_line(asked("hot foot"), lines) == "The foot control is hot."
    assert best_line(asked("zzz"), lines) == "The lamp droops."
    assert best_line(asked("zzz"), []) == ""


def test_words_next_to_each_other_in_the_title_count_more() -> None:
    pair = Collection(
        Shelf.of(
            [note(1, "Tyre of the winder belt", "x y"), note(2, "Winder tyre and belt", "x y")]
        )
    )
    assert [hit.number for hit in rank(ask("winder tyre", pair), pair)] == [2, 1]


def test_impacts_are_whole_numbers_from_one_up() -> None:
    scale = Scale(1000, 1000 * 40)
    assert scale.rarity(1000) == 1
    assert scale.share(1, 4000) == 1
    assert scale.impact(4000, 1, 1) == RAREST * SHARES
    assert scale.impact(4, 40, 3) < scale.impact(8, 40, 3)
    assert scale.impact(4, 80, 3) < scale.impact(4, 20, 3)


def test_saying_a_word_again_counts_less_each_time() -> None:
    assert [question_weight(times) for times in (1, 2, 3, 64, 1000)] == [16, 27, 34, 83, 83]


def test_what_a_note_holds_is_counted_in_halves() -> None:
    counts = NOTES[0].entry().counts()
    assert counts["bobbin"] == 10
    assert counts["spool"] == 3
    assert counts["halverin"] == 4
    assert NOTES[2].entry().counts()["=5/16-18"] == 4
