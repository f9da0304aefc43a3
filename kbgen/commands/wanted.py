"""``kbgen wanted``: what to write next."""

from __future__ import annotations

import argparse

from kbgen.commands.common import (
    Command,
    WrongUse,
    add_day,
    add_json,
    add_tree,
    paint,
    print_json,
    today,
    tree_root,
)

__all__ = ["COMMAND"]


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--half-life",
        type=int,
        metavar="DAYS",
        help="days after which an asking counts half as much (180)",
    )
    add_day(parser, "it is reckoned for")
    add_tree(parser)
    add_json(parser)


def _run(arguments: argparse.Namespace) -> int:
    half_life = arguments.half_life
    if half_life is not None and not 1 <= half_life <= 36_500:
        raise WrongUse(f"--half-life is a number of days from 1 to 36500, got {half_life}")
    root = tree_root(arguments)
    from kbgen.checks import checked_tree
    from kbgen.content import plain_text
    from kbgen.desk import HALF_LIFE_DAYS, Matcher, wanted_of, wanted_shape
    from kbgen.text import day_in_words

    half_life = half_life or HALF_LIFE_DAYS
    checked = checked_tree(root)
    day = today(arguments)
    wanted = wanted_of(checked, Matcher(checked), day, half_life)
    if arguments.json:
        print_json(wanted_shape(wanted, day, half_life))
        return 0 if wanted else 1
    if not wanted:
        print("Nothing waits that no note answers.")
        return 1
    print(f"Every asking counts one, and half as much for each {half_life} days gone by since.")
    for rank, one in enumerate(wanted, 1):
        times = "once" if len(one.questions) == 1 else f"{len(one.questions)} times"
        numbers = ", ".join(f"Q{question.number:04}" for question in one.questions)
        print(f"{rank:>3}  {paint(one.short, 'strong')}")
        print(f"     worth {one.worth:.2f}, asked {times}, last on {day_in_words(one.last)}")
        print(f"     {'; '.join([numbers, *one.families])}")
        for near in one.nearest[:2]:
            title = plain_text(near.note.front.title)
            print(paint(f"     nearest: note {near.note.number}, {title}", "quiet"))
    return 0


COMMAND = Command(
    name="wanted",
    summary="show what to write next: what is asked often, and no note answers",
    example="kbgen wanted\nkbgen wanted --half-life 60 --json",
    arguments=_arguments,
    run=_run,
)
