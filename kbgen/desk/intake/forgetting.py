"""A question whose asker wishes it is taken out: words, alias, and who it was.

The number stays taken, the answer stays known, and the fingerprint stays, so that the
same message is never taken in again. The page is kept back: its address then leads on
to the note that answered.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from kbgen.content import Question, Tree, answering_note, front_matter, load_whole_tree
from kbgen.content.models import QuestionStanding
from kbgen.desk.intake.aliases import NOBODY, WITHHELD
from kbgen.desk.intake.private import Askers, load_askers
from kbgen.disk import locked_folder, replace_file
from kbgen.personal import digits_of

__all__ = ["FORGOTTEN", "Forgotten", "NobodyMeant", "forget", "questions_of"]

FORGOTTEN = "Taken out at the wish of the one who asked."
_SLUG = "taken-out"
_SHORTEST = 3  # letters of an alias that is looked for elsewhere


class NobodyMeant(LookupError):
    """A name that means no question, or more than one; the message says which."""


@dataclass(frozen=True, slots=True)
class Forgotten:
    """What was taken out.

    Shape: ``path`` is the file as it is now, ``was`` its earlier path; ``note`` is the
    note that its page leads on to, if it had one; ``records`` counts what went out of
    the private file; ``still`` are places where the alias stands yet, PATH:LINE.
    """

    question: int
    path: str
    was: str
    note: int | None
    records: int
    still: tuple[str, ...]


def questions_of(root: Path, named: str, private: Path) -> tuple[int, ...]:
    """Return the questions that a number, a contact or an alias means.

    Shape: ``Q0017``; an e-mail address, telephone number or name in the private file;
    else an alias, if one question alone has it.
    Raises: NobodyMeant; TreeMissing; OSError.
    """
    tree = load_whole_tree(root).tree
    if found := re.fullmatch(r"[Qq]?0*([1-9]\d{0,5})", named, re.ASCII):
        number = int(found[1])
        if number not in tree.questions:
            raise NobodyMeant(f"there is no question {number} that can be read")
        return (number,)
    plain, digits = named.casefold().strip(), digits_of(named)
    numbers = {
        one.question
        for one in load_askers(private)
        if plain in (one.e_mail.casefold(), one.name.casefold())
        or (len(digits) > 5 and digits in map(digits_of, one.telephones))
    }
    if numbers := numbers & set(tree.questions):
        return tuple(sorted(numbers))
    aliased = [one.number for one in tree.questions.values() if one.front.alias.casefold() == plain]
    if len(aliased) > 1:
        listed = ", ".join(f"Q{number:04}" for number in aliased)
        raise NobodyMeant(f"{named} is the alias of {listed}; name the question meant")
    if not aliased:
        raise NobodyMeant(f"no question and no record is known under {named}")
    return tuple(aliased)


def forget(
    root: Path,
    numbers: Sequence[int],
    askers: Askers,
    waiting: Callable[[], None] = lambda: None,
) -> tuple[Forgotten, ...]:
    """Take questions out, and who asked them. Raises: NobodyMeant; TreeMissing; OSError."""
    tree = load_whole_tree(root).tree
    for number in numbers:
        if number not in tree.questions:
            raise NobodyMeant(f"there is no question {number} that can be read")
    return tuple(_forget(root, tree, tree.questions[number], askers, waiting) for number in numbers)


def _forget(
    root: Path, tree: Tree, question: Question, askers: Askers, waiting: Callable[[], None]
) -> Forgotten:
    was = root / question.source.path
    new = was.with_name(f"Q{question.number:04}-{_SLUG}.md")
    with locked_folder(was.parent, root / ".kbgen", waiting):
        replace_file(was, _text(question).encode(), root / ".kbgen" / f"{was.name}.new")
        was.rename(new)
    return Forgotten(
        question.number,
        new.relative_to(root).as_posix(),
        question.source.path,
        answering_note(tree, question),
        askers.forget((question.number,)),
        tuple(_still(root, question, new)),
    )


def _text(question: Question) -> str:
    """Return the file of a forgotten question: what is no word of the asker's own."""
    front = question.front
    answered = front.standing is QuestionStanding.ANSWERED
    values: dict[str, Any] = {
        "date": front.date,
        "alias": WITHHELD,
        "came_by": str(front.came_by),
        "families": list(front.families) or None,
        "standing": str(front.standing if answered else QuestionStanding.SET_ASIDE),
        "answered_by": front.answered_by,
        "answered": front.answered,
        "same_as": front.same_as,
        "page": "kept back",
        "mark": front.mark,
    }
    return f"{front_matter(values)}{FORGOTTEN}\n"


def _still(root: Path, question: Question, own: Path) -> Iterator[str]:
    """Yield where the alias of a question stands elsewhere in the content."""
    alias = question.front.alias
    if alias in (WITHHELD, NOBODY) or sum(map(str.isalpha, alias)) < _SHORTEST:
        return
    named = re.compile(rf"(?<!\w){re.escape(alias)}(?!\w)", re.IGNORECASE)
    for path in sorted((root / "content").rglob("*")):
        if path == own or path.suffix not in (".md", ".yaml", ".vtt", ".srt") or not path.is_file():
            continue
        text = path.read_text(encoding="utf-8", errors="replace")
        for number, line in enumerate(text.split("\n"), 1):
            if named.search(line):
                yield f"{path.relative_to(root).as_posix()}:{number}"
