"""The running order: what goes together, what comes first, how long it takes, what is left."""

from __future__ import annotations

import datetime
import re

import pytest
from small import checked, note, question

from kbgen.content import load_tree
from kbgen.desk import (
    Asked,
    Confidence,
    Matcher,
    render_rundown,
    render_rundown_page,
    rundown_of,
    start_notes,
    wanted_of,
)
from kbgen.desk.repeats import Repeats, in_short
from kbgen.search import open_bench

DAY = datetime.date(2026, 4, 10)


@pytest.fixture
def made(tmp_path):
    """Return what makes a running order of the small tree with some files changed."""

    def make(changes=None, minutes=None, day=DAY, aside=()):
        tree = checked(tmp_path / "tree", changes)
        matcher = Matcher(tree, open_bench(tmp_path / "bench", tree))
        return tree, matcher, rundown_of(tree, matcher, day, minutes, aside)

    return make


def numbers(items):
    return [[one.number for one in item.questions] for item in items]


def test_what_asks_the_same_is_one_subject_and_the_rest_is_told_apart(made):
    _, _, rundown = made()
    assert [heading for heading, _ in rundown.groups] == [
        "The bobbin does not fill",
        "The lamp is loose",
    ]
    assert numbers(rundown.items) == [[1, 4], [2]]
    assert [item.times for item in rundown.items] == [2, 1]
    assert [item.note.number for item in rundown.items] == [1, 2]
    assert all(item.confidence is Confidence.SURE for item in rundown.items)
    assert numbers(rundown.left_over) == [[3]]
    assert rundown.later == rundown.to_look_at == ()


def test_questions_that_one_note_answers_are_one_subject_too(made):
    again = question("The spool stays empty and the little wheel turns. The bobbin winder slips.")
    _, _, rundown = made({"questions/Q0005-again.md": again})
    assert numbers(rundown.items)[0] == [1, 5, 4]
    assert rundown.items[0].times == 3


def test_what_an_answered_question_asked_before_is_answered_again(made):
    answered = "standing: answered\nanswered_by: 2\nanswered: 2026-01-02\n"
    _, _, rundown = made(
        {
            "questions/Q0005-first.md": question("Lamp?", answered, "2026-01-01"),
            "questions/Q0006-again.md": question("It does that again!", "same_as: 5\n"),
        }
    )
    lamp = next(item for item in rundown.items if item.note.number == 2)
    assert numbers([lamp]) == [[2, 6]]
    assert lamp.times == 3  # the answered one counts among those who asked
    assert lamp.unsure == frozenset()


@pytest.mark.parametrize(
    ("keys", "day"),
    [
        ("standing: set aside\n", "2026-03-01"),
        ("standing: answered\nanswered_by: 2\nanswered: 2026-03-09\n", "2026-03-01"),
        ("", "2026-04-11"),
    ],
    ids=["set aside", "answered", "of the day after"],
)
def test_only_what_waits_by_the_day_is_in_it(made, keys, day):
    _, _, rundown = made({"questions/Q0002-lamp.md": question("The lamp droops", keys, day)})
    assert numbers(rundown.items) == [[1, 4]]


def test_what_is_left_over_in_other_words_is_one_subject(made):
    tree, matcher, rundown = made(
        {
            "questions/Q0005-boots.md": question("Polish for my brown boots, which one?"),
            "questions/Q0006-plums.md": question("Have you a recipe for plum jam?"),
        }
    )
    assert numbers(rundown.left_over) == [[3, 5], [6]]
    assert [item.times for item in rundown.left_over] == [2, 1]
    assert [[one.number for one in each.questions] for each in wanted_of(tree, matcher, DAY)] == [
        [3, 5],
        [6],
    ]


def test_a_question_can_be_left_out_this_time(made):
    _, _, rundown = made(aside=[1, 3])
    assert numbers(rundown.items) == [[4], [2]]
    assert rundown.left_over == ()


def test_what_a_note_may_answer_is_looked_at_first(made):
    _, _, rundown = made({"questions/Q0005-a.md": question("And then?", "about: {note: 3}\n")})
    (look,) = rundown.to_look_at
    assert numbers([look]) == [[5]]
    assert [one.note.number for one in look.candidates][:1] == [3]


def test_an_answer_that_cannot_be_given_is_not_read_out(made):
    text = note("The lamp droops", "The lamp hangs down on to the cloth", "Use 12 N·m.", "one-h",
                "lamp", "corrections: [{date: 2026-02-01, was: 12 N·m}]")  # fmt: skip
    _, _, rundown = made({"notes/0002-lamp-droops.md": text})
    assert numbers(rundown.items) == [[1, 4]]
    assert rundown.to_look_at[0].refused.startswith("the answer would repeat what was withdrawn")


def test_the_figures_to_say_and_not_to_say(made):
    _, _, rundown = made()
    winder, lamp = rundown.items
    assert [(one.thread, one.tightness) for one in winder.say] == [
        ("SM11/64-40", "1.0 N·m"),
        ("3/8-24 UNF", "snug"),
    ]
    assert [(one.figure, one.why) for one in winder.not_to_say] == [
        ("SM9/64-40", "withdrawn on 4 March 2026 for Winder bracket screw"),
        ("3/8-28 UN", "that is “Belt guard stud”, not “Motor boss bolt”"),
    ]
    assert [(one.figure, one.why) for one in lamp.not_to_say] == [
        ("10-32 UNF", "disputed for Lamp bracket screw, a letter"),
        ("every 9 days", "withdrawn on 1 February 2026, when to oil"),
    ]


def test_the_time_is_that_of_reading_and_of_a_pause(made):
    _, _, rundown = made()
    # Counted by hand: the question 8 words, the cautions 11, 7 and 9, the answer 7, the
    # screws 10 each: 62 words at 120 a minute, and a pause of 25 seconds.
    assert rundown.items[0].seconds == 31 + 25
    assert rundown.seconds == sum(one.seconds for one in rundown.items)


def test_a_length_is_kept_by_the_rule(made):
    _, _, whole = made()
    first, second = (item.seconds for item in whole.items)
    assert first + second > 60 >= max(first, second)
    _, _, rundown = made(minutes=1)
    assert numbers(rundown.items) == [[1, 4]]  # asked oftenest
    assert numbers(rundown.later) == [[2]]
    assert rundown.seconds <= 60


def test_what_has_waited_longest_comes_before_what_is_asked_as_often(made):
    _, _, rundown = made({"questions/Q0004-spool-again.md": None}, minutes=1)
    assert numbers(rundown.items) == [[2]]  # of 1 March, the other of the 6th
    assert numbers(rundown.later) == [[1]]


def test_the_markdown_of_a_running_order(made):
    _, _, rundown = made(minutes=60)
    text = render_rundown(rundown)
    assert text.startswith(
        "# Running order, 10 April 2026\n\n"
        "Test Bench. 2 subjects, asked 3 times, 1 min 47 s at 120 words a minute and 25 seconds "
        "between two. To fit into 60 minutes. What is asked oftenest comes first"
    )
    assert (
        """
## The bobbin does not fill

### 1. The winder turns and the spool stays empty

*asked twice, 56 s*

- Asked by Hazel B. (Q0001, 6 March 2026) and Fern (Q0004, 1 April 2026)
- Note 1 (sure): The bobbin winder slips, <https://bench.example.org/n/0001.html>
- **DANGER. Mains inside. It kills. Unplug. Leave it to an electrician.**
- **CAUTION. Levers close. A bruise. Belt off.**
- **NOTICE. A burr scratches the bed. File it off.**
- Answer: Replace the winder tyre and reset it.
- Say: Winder bracket screw, Onehart H: SM11/64-40, right-hand; 1.0 N·m; measured
- Say: Motor boss bolt, Onehart H: 3/8-24 UNF, right-hand; snug; measured
- Do not say: SM9/64-40 (withdrawn on 4 March 2026 for Winder bracket screw)
- Do not say: 3/8-28 UN (that is “Belt guard stud”, not “Motor boss bolt”)
"""
        in text
    )
    assert "- Asked by somebody (Q0002, 1 March 2026)\n" in text
    assert "- Ask which machine before a figure is said\n" in text
    assert "\n# Left over: no note answers these\n\n- Which polish" in text


def test_words_from_outside_mean_nothing_to_markdown(made):
    keys = "in_short: '*Lamp* [droops](http://x) <b> #1'\nfamilies: [two-v]\n"
    words = "The lamp droops, it hangs down on to the cloth. Lamp bracket screw: M5x0.8."
    asked = question(words, keys, alias="'- _O_'")
    text = render_rundown(made({"questions/Q0002-lamp.md": asked})[2])
    assert "\\*Lamp\\* \\[droops\\](http://x) \\<b\\> \\#1" in text
    assert "- Asked by \\- \\_O\\_ (Q0002" in text
    assert "- They write: You write M5x0.8 for “Lamp bracket screw” of the Twoway V" in text


def test_nothing_that_waits_is_said(made):
    asked = ("Q0001-spool-empty", "Q0002-lamp", "Q0003-shoes", "Q0004-spool-again")
    left_out = dict.fromkeys(f"questions/{name}.md" for name in asked)
    tree, _, rundown = made(left_out)
    assert "No question waits that a note answers." in render_rundown(rundown)
    assert b"No question waits that a note answers." in render_rundown_page(tree, rundown)


def test_the_page_needs_nothing_beside_it_and_runs_nothing(made):
    tree, _, rundown = made(
        {"questions/Q0003-shoes.md": question("Why <script>alert(1)</script>?", alias="'<i>'")}
    )
    page = render_rundown_page(tree, rundown).decode()
    assert "<script" not in page
    assert "&lt;script&gt;" in page
    assert not re.search(r'(?:src|href)="(?!https://bench\.example\.org/n/|data:,")', page)
    assert "default-src 'none'" in page
    for said in ("SM<span", "1.0 N·m", "DANGER", "Left over", "asked twice".capitalize()):
        assert said in page


def test_notes_are_begun_once_for_what_is_left_over(made):
    tree, _, rundown = made()
    root = tree.tree.root
    ((item, path),) = start_notes(tree.tree, root, rundown.left_over, DAY)
    assert numbers([item]) == [[3]]
    assert path.name == "0004-which-polish-do-you-use-on-brown-walking-boots.md"
    loaded = load_tree(root)
    assert not [one for one in loaded.findings if one.severity == "error"]
    begun = loaded.tree.notes[4]
    assert begun.front.standing == "draft"
    assert begun.front.symptom == ("Which polish do you use on brown walking boots?",)
    assert "Asked in Q0003." in begun.body
    assert start_notes(loaded.tree, root, rundown.left_over, DAY) == []


# --- what to write next


def test_what_is_wanted_is_ranked_by_how_often_and_how_lately_it_was_asked(made):
    boots = {
        "questions/Q0005-boots.md": question("Polish for boots?", "same_as: 3\n", "2025-10-12"),
        "questions/Q0006-plums.md": question("A recipe for plum jam", day="2026-04-10"),
        "questions/Q0007-plums.md": question("Aside", "same_as: 6\nstanding: set aside\n"),
    }
    tree, matcher, _ = made(boots)
    wanted = wanted_of(tree, matcher, DAY)
    assert [[one.number for one in each.questions] for each in wanted] == [[5, 3], [6]]
    # 180 and 68 days before: a half, and 2^(-68/180) = 0.77
    assert [each.worth for each in wanted] == [1.27, 1.0]
    assert wanted[0].last == datetime.date(2026, 2, 1)
    assert [each.worth for each in wanted_of(tree, matcher, DAY, 30)] == [1.0, 0.22]
    assert len(wanted_of(tree, matcher, datetime.date(2026, 4, 9))) == 1


def test_what_a_note_may_answer_is_not_wanted(made):
    tree, matcher, _ = made({"questions/Q0003-shoes.md": question("So?", "about: {note: 3}\n")})
    assert matcher.match(Asked("So?", (), 3)).candidates
    assert wanted_of(tree, matcher, DAY) == ()


# --- the words of a question


@pytest.mark.parametrize(
    ("words", "keys", "short"),
    [
        ("Long story.", "in_short: In\n", "In"),
        ("Long story.", "subject: The subject line\n", "The subject line"),
        ("Dear both, the winder slips.", "", "the winder slips."),
        (
            "Hello. My winder slips on the big wheel. Why?",
            "",
            "My winder slips on the big wheel.",
        ),
        (
            "Thank you! Is it worn?\n\nThe tyre is hard as stone.",
            "",
            "Is it worn? The tyre is hard as stone.",
        ),
        ("Dear both,", "", "Dear both,"),
        ("word " * 60, "", "word " * 21 + "word …"),
    ],
)
def test_a_question_in_one_line(tmp_path, words, keys, short):
    tree = checked(tmp_path, {"questions/Q0003-shoes.md": question(words, keys)}).tree
    assert in_short(tree.questions[3]) == short


def test_repeats_are_counted_without_those_set_aside(tmp_path):
    aside = question("Spool", "same_as: 4\nstanding: set aside\n")
    tree = checked(tmp_path, {"questions/Q0005-a.md": aside}).tree
    repeats = Repeats(tree)
    assert repeats.times([tree.questions[4]]) == 2
    assert repeats.times([tree.questions[1], tree.questions[4], tree.questions[2]]) == 3
    groups = repeats.groups(tree.questions.values())
    assert [[one.number for one in group] for group in groups] == [[1, 5, 4], [2], [3]]
