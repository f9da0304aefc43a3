"""An answer set as a plain-text letter."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.content import plain_text
from kbgen.content.models import Hazard
from kbgen.desk.reply import Reply, ReplyPart, ToldBefore
from kbgen.desk.reply_screws import Screw
from kbgen.desk.reply_text import COLUMNS, listed, paragraph, section, sentence
from kbgen.text import day_in_words

__all__ = ["render_reply"]


def render_reply(reply: Reply, width: int = COLUMNS) -> str:
    """Return the answer as text.

    Shape: lines of at most ``width`` columns but for addresses, 0 for paragraphs of one
    line; a line feed at the end. Cautions stand before what mends it.
    """
    blocks = [
        _greeting(reply, width),
        *(_caution(hazard, width) for hazard in reply.cautions),
        _fix(reply, width),
        section("What you write", *(paragraph(one.says, width, 2) for one in reply.told)),
        _screws(reply, width),
        section("What it needs", *(_part(part, width) for part in reply.parts)),
        paragraph(reply.disclosure, width) if reply.disclosure else "",
        section("Told otherwise before", *(_before(line, width) for line in reply.before)),
        f"The whole repair, step by step, at an address that stays\n  {reply.address}",
        "\n".join(["With kind regards", *(paragraph(one, 0) for one in _signed(reply))]),
    ]
    return "\n\n".join(block for block in blocks if block) + "\n"


def _greeting(reply: Reply, width: int) -> str:
    asked = f" of {day_in_words(reply.asked)}" if reply.asked else ""
    thanks = paragraph(f"Thank you for your question{asked}.", width)
    return f"Dear {reply.alias},\n\n{thanks}" if reply.alias else thanks


def _caution(hazard: Hazard, width: int) -> str:
    said = [hazard.hazard, hazard.consequence or "", hazard.avoid]
    text = " ".join(sentence(plain_text(one)) for one in said if one)
    if hazard.defer_to:
        text += f" {sentence(f'Leave this work to {plain_text(hazard.defer_to)}')}"
    return f"{str(hazard.signal).upper()}\n{paragraph(text, width, 2)}"


def _fix(reply: Reply, width: int) -> str:
    lines = [paragraph(reply.fix, width, 2)]
    if not reply.own:
        lines.append(paragraph(f"How to tell that it is mended: {reply.works_when}", width, 2))
    if not reply.fitting:
        text = (
            f"What we have is written for the {listed(reply.holds_for)}, not for your "
            f"{listed(reply.families)}. Its screws may be others, so we name none."
        )
        lines.insert(0, paragraph(text, width, 2))
    return section("Our answer" if reply.own else "What mends it", *lines)


def _screws(reply: Reply, width: int) -> str:
    families = list(dict.fromkeys(screw.family for screw in reply.screws if screw.family))
    heading = "The screws"
    if families and reply.families:
        heading += f" of the {listed(families)}, and of no other machine"
    elif len(families) > 1:
        heading += ". Each holds for the machine named and for no other; which is yours?"
    several = len(families) > 1 or not reply.families
    return section(
        paragraph(heading, width),
        *("\n".join(_screw(screw, several, width)) for screw in reply.screws),
    )


def _screw(screw: Screw, several: bool, width: int) -> Iterator[str]:
    yield paragraph(
        f"{screw.where}{f', {screw.family}' if screw.family and several else ''}", width, 2
    )
    hand = f", {screw.hand}-hand" if screw.hand else ""
    verdict = f" ({screw.verdict})" if screw.verdict else ""
    yield paragraph(f"thread {screw.thread}{hand}{verdict}", width, 4)
    shape = [
        f"length {screw.length}" if screw.length else "",
        f"head {screw.head}" if screw.head else "",
    ]
    if any(shape):
        yield paragraph(", ".join(filter(None, shape)), width, 4)
    yield paragraph(f"tightness {screw.tightness or 'not on our list'}", width, 4)
    yield paragraph(f"{screw.basis} ({screw.source})", width, 4)
    for says, source in screw.disputed:
        text = f"not certain; another figure is held, {says} ({source}). Measure before you buy."
        yield paragraph(text, width, 4)
    for other in screw.not_that:
        yield paragraph(f"NOT the one of {other.places}, {other.thread}. {other.outcome}", width, 4)


def _part(part: ReplyPart, width: int) -> str:
    quantity = f"{part.quantity} × " if part.quantity > 1 else ""
    fits = f", for the {listed(part.fits)}" if part.fits else ""
    tie = f" ({part.tie})" if part.tie else ""
    lines = [paragraph(f"{quantity}{part.name}{fits}{tie}", width, 2), f"    {part.address}"]
    if part.warning:
        lines.append(paragraph(sentence(part.warning), width, 4))
    return "\n".join(lines)


def _before(line: ToldBefore, width: int) -> str:
    right = f"right is {sentence(line.now)}" if line.now else "what stands here is right."
    text = f"Corrected on {day_in_words(line.date)}, {line.what}; {right}"
    return paragraph(text, width, 2)


def _signed(reply: Reply) -> tuple[str, ...]:
    return (reply.workshop, reply.contact)
