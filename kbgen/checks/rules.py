"""Every rule of this room, one code and one function each."""

from __future__ import annotations

from kbgen.checks.chapters import show_notes_refused
from kbgen.checks.depth import markdown_too_deep
from kbgen.checks.figures import caption_figure_wrong, figure_unreadable, objected
from kbgen.checks.hazards import (
    hazard_missing,
    hazard_unknown,
    hazard_without_consequence,
    mains_work,
)
from kbgen.checks.lots import lot_count_wrong, lots_gap, lots_out_of_order, lots_overlap
from kbgen.checks.named import (
    photo_missing,
    photo_words_empty,
    successor_in_circle,
    variant_unknown,
)
from kbgen.checks.parts import fit_said_twice, part_does_not_fit, part_harms
from kbgen.checks.personal_data import personal_data
from kbgen.checks.places import places_disagree
from kbgen.checks.questions import (
    answer_for_another_family,
    answer_without_caution,
    question_repeats_later_one,
)
from kbgen.checks.register import (
    caption_contradicts_register,
    figure_away_from_home,
    prose_contradicts_register,
    withdrawn_figure_stands,
)
from kbgen.checks.rule import Rule
from kbgen.checks.strength import STRENGTH_CODES, overloaded, strength_unknown
from kbgen.checks.threads import (
    figure_disputed,
    house_thread_declared_twice,
    house_thread_is_standard,
    mix_up,
)
from kbgen.checks.unwritten import note_unfinished
from kbgen.units import OBJECTION_CODES

__all__ = ["RULES"]

RULES: tuple[Rule, ...] = (
    # what a figure says of itself
    *(Rule(code, objected(code)) for code in OBJECTION_CODES),
    Rule("figure-unreadable", figure_unreadable),
    Rule("caption-figure-wrong", caption_figure_wrong),
    # what figures say of each other
    Rule("prose-contradicts-register", prose_contradicts_register),
    Rule("caption-contradicts-register", caption_contradicts_register),
    Rule("withdrawn-figure-stands", withdrawn_figure_stands),
    Rule("figure-away-from-home", figure_away_from_home),
    Rule("places-disagree", places_disagree),
    Rule("figure-disputed", figure_disputed),
    # screws
    *(Rule(code, overloaded(code)) for code in STRENGTH_CODES),
    Rule("strength-unknown", strength_unknown),
    Rule("mix-up", mix_up),
    Rule("house-thread-is-standard", house_thread_is_standard),
    Rule("house-thread-declared-twice", house_thread_declared_twice),
    # cautions
    Rule("mains-work-without-caution", mains_work),
    Rule("hazard-missing", hazard_missing),
    Rule("hazard-unknown", hazard_unknown),
    Rule("hazard-without-consequence", hazard_without_consequence),
    # parts, pictures, notes, families
    Rule("part-does-not-fit", part_does_not_fit),
    Rule("part-harms", part_harms),
    Rule("fit-said-twice", fit_said_twice),
    Rule("photo-missing", photo_missing),
    Rule("photo-words-say-nothing", photo_words_empty),
    Rule("successor-in-a-circle", successor_in_circle),
    Rule("variant-unknown", variant_unknown),
    Rule("lots-overlap", lots_overlap),
    Rule("lot-count-wrong", lot_count_wrong),
    Rule("lots-out-of-order", lots_out_of_order),
    Rule("lots-gap", lots_gap),
    # recordings, questions
    Rule("show-notes-refused", show_notes_refused),
    Rule("question-repeats-later-one", question_repeats_later_one),
    Rule("answer-for-another-family", answer_for_another_family),
    Rule("answer-without-caution", answer_without_caution),
    # the text itself
    Rule("personal-data", personal_data),
    Rule("note-unfinished", note_unfinished),
    Rule("markdown-too-deep", markdown_too_deep),
)
