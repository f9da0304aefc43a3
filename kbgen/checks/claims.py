"""What somebody from outside states, held to the registers.

The rule for which place a sentence is about is the one for our own prose (see
``names``), with two liberties that a letter needs: lay words for a place are first
turned into the words of the trade, and a sentence that names no place is read together
with the one before it.
"""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import chain, islice

from kbgen.checks.agreement import agree
from kbgen.checks.apart import is_set_apart
from kbgen.checks.checked import Checked
from kbgen.checks.names import Names
from kbgen.checks.register import withdrawn_figures
from kbgen.checks.rule import Material, Row
from kbgen.checks.words import GAP
from kbgen.prose import Statement, Where, sentence_around
from kbgen.text import Span
from kbgen.units import HouseThreads, Kind, Stated, scan

__all__ = ["Claim", "Registers"]

_PARAGRAPH = re.compile(r"\n[ \t]*\n")
_CHECKED = (Kind.THREAD, Kind.TORQUE)
_READ, _MOST = 20_000, 200  # characters that are read, and figures: no letter has more to say

Trade = Callable[[str], str]
"""What turns the words of a text into others."""


@dataclass(frozen=True, slots=True)
class Claim:
    """One thread or torque that a text states, and what the registers say to it.

    Shape: ``rows`` are the places (FAMILY/ROW) it is said of, none where that is unsure;
    ``held`` are their registered figures of the same kind, ``agreeing`` the rows whose
    figure it is. ``withdrawn`` are the rows for which we gave it ourselves and took it
    back. ``apart`` says that the sentence sets the figure apart from the place, so that
    it is no claim about it; ``disputed`` that others hold it too.
    """

    stated: Stated
    sentence: str
    rows: tuple[str, ...] = ()
    held: tuple[Statement, ...] = ()
    agreeing: tuple[str, ...] = ()
    withdrawn: tuple[str, ...] = ()
    apart: bool = False
    disputed: bool = False

    @property
    def agrees(self) -> bool | None:
        """Whether it is the figure of one of the places; None with none to compare with."""
        return bool(self.agreeing) if self.held else None


class Registers:
    """The registers of a checked tree, as texts from outside are held to them."""

    def __init__(self, checked: Checked) -> None:
        self._house = HouseThreads.of([row.thread for row in checked.tree.house_threads])
        self._material = Material(checked.tree, self._house, checked.statements, ())
        self._names: dict[tuple[str, ...], Names] = {}

    @property
    def rows(self) -> Mapping[str, Row]:
        """The rows of every register, by FAMILY/ROW."""
        return self._material.rows

    def figure(self, row: str, kind: Kind) -> Statement | None:
        """Return the registered figure of a place, None where its row has none of the kind."""
        return self._material.registered.get((row, kind))

    @cached_property
    def _withdrawn(self) -> Mapping[str, Sequence[Statement]]:
        return withdrawn_figures(self._material)

    def withdrawn(self, row: str) -> Sequence[Statement]:
        """Return the figures that corrections anywhere have withdrawn for a place."""
        return self._withdrawn.get(row, ())

    @cached_property
    def ever_withdrawn(self) -> frozenset[str]:
        """The canonical forms of all figures that any correction of the tree has withdrawn."""
        statements = self._material.statements
        return frozenset(one.value.canonical for one in statements if one.withdrawn)

    def claims(self, text: str, families: Sequence[str]) -> tuple[Claim, ...]:
        """Return every thread and torque that a text states, in order.

        Shape: ``families`` are those that the text is about, none where that is not
        known; then nothing is said of any place.
        """
        paragraphs = _PARAGRAPH.split(text[:_READ])
        read = (self._read(" ".join(one.split()), tuple(families)) for one in paragraphs)
        return tuple(islice(chain.from_iterable(read), _MOST))

    def _read(self, text: str, families: tuple[str, ...]) -> Iterator[Claim]:
        found = [stated for stated in scan(text, self._house) if stated.kind in _CHECKED]
        starts = [stated.span.start for stated in found]
        for stated in found:
            for statement, places in _readings(text, stated, found, starts, self._trade_words):
                rows = self._named(families).rows_meant(statement, places)
                if rows:
                    break
            yield self._claim(stated, statement, rows)

    def _claim(self, stated: Stated, statement: Statement, rows: tuple[str, ...]) -> Claim:
        held = {row: figure for row in rows if (figure := self.figure(row, stated.kind))}
        return Claim(
            stated,
            statement.sentence,
            rows,
            tuple(held.values()),
            tuple(row for row, figure in held.items() if agree(stated, figure.value)),
            tuple(
                row for row in rows if any(self._agrees(stated, old) for old in self.withdrawn(row))
            ),
            is_set_apart(statement),
            any(
                self._agrees(stated, other) for row in rows for other in self._disputed.get(row, ())
            ),
        )

    def _agrees(self, stated: Stated, other: Statement) -> bool:
        return stated.kind is other.value.kind and agree(stated, other.value)

    @cached_property
    def _disputed(self) -> Mapping[str, Sequence[Statement]]:
        found: dict[str, list[Statement]] = {}
        for statement in self._material.statements:
            if statement.where is Where.DISPUTED and statement.subject is not None:
                found.setdefault(statement.subject, []).append(statement)
        return found

    def _named(self, families: tuple[str, ...]) -> Names:
        if families not in self._names:
            rows = [row for row in self.rows.values() if row.family.id in families]
            self._names[families] = Names(rows)
        return self._names[families]

    @cached_property
    def _lay(self) -> tuple[re.Pattern[str], Mapping[str, str]]:
        trade: dict[str, str] = {}
        for pair in self._material.tree.vocabulary:
            for phrase in pair.lay:
                trade.setdefault(_spaced(phrase), pair.trade[0])
        longest_first = sorted(trade, key=lambda phrase: (-len(phrase), phrase))
        patterns = [GAP.join(map(re.escape, phrase.split())) for phrase in longest_first]
        any_lay = "|".join(patterns) or r"(?!)"
        return re.compile(rf"(?<![^\W_])(?:{any_lay})(?![^\W_])", re.IGNORECASE), trade

    def _trade_words(self, text: str) -> str:
        """Return a text with its lay words turned into the first trade words for them."""
        pattern, trade = self._lay
        return pattern.sub(lambda match: trade[_spaced(match[0])], text)


def _spaced(phrase: str) -> str:
    return " ".join(re.split(GAP, phrase.lower().strip()))


def _readings(
    text: str,
    stated: Stated,
    found: Sequence[Stated],
    starts: Sequence[int],
    trade_words: Trade,
) -> Iterator[tuple[Statement, list[int]]]:
    """Yield the ways to read the sentence of a figure, the closest to its letters first.

    Shape: each with the places in it of all figures of this kind.
    """
    alone = sentence_around(text, stated.span)
    before = sentence_around(text, Span(max(0, alone.start - 2), max(0, alone.start - 1)))
    joined = Span(before.start, alone.end) if 0 < before.end <= alone.start else alone
    spans = [alone] if joined == alone else [alone, joined]
    for change in (str, trade_words):
        for span in spans:
            first, last = bisect_left(starts, span.start), bisect_left(starts, span.end)
            inside = [one for one in found[first:last] if one.kind is stated.kind]
            if span is not alone and any(one.span.start < alone.start for one in inside):
                continue  # the sentence before states a figure of its own
            yield _rewritten(text, span, stated, inside, change)


def _rewritten(
    text: str, span: Span, stated: Stated, inside: Sequence[Stated], change: Trade
) -> tuple[Statement, list[int]]:
    """Return a statement whose sentence is changed around its figures, and their places."""
    sentence, end, places, at = "", span.start, [], 0
    for one in inside:
        sentence += change(text[end : one.span.start])
        if one is stated:
            at = len(sentence)
        places.append(len(sentence))
        sentence += text[one.span.start : one.span.end]
        end = one.span.end
    sentence += change(text[end : span.end])
    return Statement("", 1, 1, Where.PROSE, stated, sentence=sentence, at=at), places
