"""Which notes answer a question, why, and how sure that is.

The measure, in plain words. A note's strength is what the search scores for the words
asked; more by a share for every word that stands in the note's own complaint (its
title, symptoms and headings), and for what is known beside the words: the machine, the
place of a recording under which it was asked, a screw it speaks of. Its evidence is
that strength held against how much was asked: a long letter scores more with any note
and proves less, about by the square root of its mass. The figures below were set on
one half of the 140 questions in ``tests/unit/desk/questions.yaml``, the line for what is
sure on ``tests/demonstration/questions/first.tsv`` too; they stand for the other half:
see ``tests/unit/desk/test_matching.py``.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from math import sqrt

from kbgen.checks import Checked, Claim, Registers
from kbgen.content import Note, Question, Tree
from kbgen.content.models import Recording
from kbgen.desk.matching_words import (
    complaint_terms,
    families_named,
    spoken,
    without_courtesies,
)
from kbgen.links import clock, seconds
from kbgen.search import Bench, Result, Results, analyse, open_bench
from kbgen.units import Kind

__all__ = [
    "Asked",
    "Candidate",
    "Confidence",
    "Match",
    "Matcher",
    "Reason",
    "note_shown_at",
]

READ = 20_000  # letters of a question that are searched for; nobody asks further on
POOL = 20  # notes that are looked at closely
SHOWN = 5
WORDS_SHOWN = 8
OWN_WORDS = 3  # that lead to a note alone, where a letter asks more than one thing

COMPLAINT = 0.2  # more for every word of the question that is in the note's complaint
OF_FAMILY, OF_ANOTHER = 1.25, 0.6
OF_MOMENT, OF_RECORDING = 1.5, 1.15
OF_NOTE = 2.0
OF_PLACE = 1.2

# Evidence in whole numbers: below POSSIBLE nothing fits.
POSSIBLE, LIKELY, SURE = 34, 46, 60
SURE_WORDS = 3  # of the complaint at least, for what is sure
STANDS_OUT = 1.6  # times the evidence of the next one, for what is sure


class Confidence(StrEnum):
    """How sure it is that a note answers.

    ``sure``: the evidence is strong, of several words, and no other note comes near it.
    ``likely``: it is strong. ``possible``: there is enough in common to look.
    """

    SURE = "sure"
    LIKELY = "likely"
    POSSIBLE = "possible"


@dataclass(frozen=True, slots=True)
class Asked:
    """A question as it is matched.

    Shape: ``words`` are those of subject, short form and letter; ``families`` are ids;
    ``note`` is the note that it was asked about, ``recording`` and ``at`` the recording
    and the moment, where that is known.
    """

    words: str
    families: tuple[str, ...] = ()
    note: int | None = None
    recording: str | None = None
    at: str | None = None

    @classmethod
    def of_question(cls, tree: Tree, question: Question) -> Asked:
        """Return a question that was taken in; a family not filled in is looked for in it."""
        front = question.front
        words = "\n".join(filter(None, (front.subject, front.in_short, question.words)))
        families = front.families or families_named(tree, words)
        about = front.about
        return cls(words, families, about.note, about.recording, about.at)

    @classmethod
    def of_text(cls, tree: Tree, text: str) -> Asked:
        """Return a question that is a text and nothing else."""
        return cls(text, families_named(tree, text))


@dataclass(frozen=True, slots=True)
class Reason:
    """One reason for a note: its kind (words, widened, thread, place, family, moment, note)."""

    kind: str
    text: str


@dataclass(frozen=True, slots=True)
class Candidate:
    """A note that may answer: how strong the evidence is, and what it rests on.

    Shape: ``words`` are those of the question that stand in the note's complaint.
    """

    note: Note
    evidence: int
    confidence: Confidence | None
    reasons: tuple[Reason, ...]
    words: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Match:
    """The notes that may answer a question, the best first.

    Shape: ``candidates`` have enough in common with it; where there are none, nothing
    fits, and ``nearest`` are those that came nearest, with no confidence. ``claims``
    are the threads and torques that it states, ``also`` the trade words that its lay
    words were taken for.
    """

    asked: Asked
    candidates: tuple[Candidate, ...]
    nearest: tuple[Candidate, ...]
    claims: tuple[Claim, ...]
    also: tuple[str, ...] = ()

    @property
    def sure(self) -> Candidate | None:
        """The candidate that answers surely, None where no one does."""
        best = self.candidates[0] if self.candidates else None
        return best if best and best.confidence is Confidence.SURE else None

    def beside(self, note: Note) -> tuple[Candidate, ...]:
        """Return the candidates that may answer something else in the same letter.

        Shape: they are likely, and words of the question lead to them that do not lead
        to the note.
        """
        own = {word for one in self.candidates if one.note is note for word in one.words}
        return tuple(
            one
            for one in self.candidates
            if one.note is not note
            and one.confidence is not Confidence.POSSIBLE
            and len(set(one.words) - own) >= OWN_WORDS
        )


class Matcher:
    """Matches questions with the published notes of one checked tree."""

    def __init__(self, checked: Checked, bench: Bench | None = None) -> None:
        self._tree = checked.tree
        self._notes = {note.number: note for note in checked.published}
        self.bench = bench or open_bench(checked.tree.root, checked)
        self.registers = Registers(checked)
        self._complaints: dict[int, frozenset[str]] = {}
        self.phrases = frozenset(
            phrase for pair in self._tree.vocabulary for phrase in (*pair.lay, *pair.trade)
        )

    def match(self, asked: Asked) -> Match:
        """Return the notes that may answer, why, and what the asker states."""
        text = without_courtesies(asked.words[:READ])
        results = self.bench.find(text, POOL)
        claims = self.registers.claims(asked.words, asked.families)
        said = spoken(text)
        found = [
            _Weighed(self, asked, note, result, results, claims, said)
            for note, result in self._pool(asked, results)
        ]
        found.sort(key=lambda one: (-one.evidence, one.note.number))
        ranked = [one.candidate(_confidence(found, place)) for place, one in enumerate(found)]
        fitting = tuple(one for one in ranked if one.confidence)[:SHOWN]
        also = tuple(pair.also for pair in results.widened)
        return Match(asked, fitting, () if fitting else tuple(ranked[:SHOWN]), claims, also)

    def _pool(self, asked: Asked, results: Results) -> Iterator[tuple[Note, Result | None]]:
        """Yield the notes found, and those that what is known beside the words names."""
        seen = set()
        for result in results.results:
            if result.note in self._notes:  # an index may be older than the tree by a moment
                seen.add(result.note)
                yield self._notes[result.note], result
        for number in (asked.note, self.shown_at(asked)):
            if number in self._notes and number not in seen:
                seen.add(number)
                yield self._notes[number], None

    def complaint(self, note: Note) -> frozenset[str]:
        """Return the terms of a note's complaint, kept."""
        if note.number not in self._complaints:
            self._complaints[note.number] = complaint_terms(self._tree, note)
        return self._complaints[note.number]

    def shown_at(self, asked: Asked) -> int | None:
        """Return the note that the recording shows at the moment a question is about."""
        recording = self._tree.recordings.get(asked.recording or "")
        if recording is None or asked.at is None:
            return None
        return note_shown_at(recording.model, asked.at)

    def recording_shows(self, asked: Asked, note: Note) -> bool:
        """Return whether a note is shown anywhere in the recording a question is about."""
        recording = self._tree.recordings.get(asked.recording or "")
        return recording is not None and any(
            chapter.note == note.number for chapter in recording.model.chapters
        )

    def family_name(self, family: str) -> str:
        """Return the name of a family, its id where there is no such file."""
        file = self._tree.families.get(family)
        return file.model.name if file else family

    def recording_title(self, recording: str) -> str:
        """Return the title of a recording that the tree has."""
        return self._tree.recordings[recording].model.title

    def threads_of(self, note: Note) -> frozenset[str]:
        """Return the threads of a note's fasteners, in canonical form."""
        rows = [row for row in note.front.fasteners if isinstance(row, str)]
        held = (self.registers.figure(row, Kind.THREAD) for row in rows)
        return frozenset(figure.value.canonical for figure in held if figure)


def note_shown_at(recording: Recording, at: str) -> int | None:
    """Return the note that a recording shows at a moment, None where it shows none."""
    before = [one for one in recording.chapters if seconds(one.at) <= seconds(at)]
    return before[-1].note if before else None


def _confidence(found: Sequence[_Weighed], place: int) -> Confidence | None:
    evidence = found[place].evidence
    if evidence < POSSIBLE:
        return None
    if evidence < LIKELY:
        return Confidence.POSSIBLE
    following = found[place + 1].evidence if place + 1 < len(found) else 0
    enough = evidence >= SURE and len(found[place].words) >= SURE_WORDS
    if place == 0 and enough and evidence >= STANDS_OUT * following:
        return Confidence.SURE
    return Confidence.LIKELY


class _Weighed:
    """One note weighed against one question."""

    def __init__(
        self,
        matcher: Matcher,
        asked: Asked,
        note: Note,
        result: Result | None,
        results: Results,
        claims: Sequence[Claim],
        said: dict[str, str],
    ) -> None:
        self.note = note
        self.reasons: list[Reason] = []
        self._complaint = matcher.complaint(note)
        self.words = words = self._words(said)
        widened = self._widened(matcher, results)
        strength = float(result.score if result else 0)
        strength *= 1 + COMPLAINT * (len(words) + widened)
        strength *= self._families(matcher, asked)
        strength *= self._screws(matcher, claims)
        strength *= self._places(matcher, asked)
        self.evidence = round(strength / sqrt(results.asked)) if results.asked else 0
        if note.number in (asked.note, matcher.shown_at(asked)):
            self.evidence = max(self.evidence, POSSIBLE)

    def candidate(self, confidence: Confidence | None) -> Candidate:
        """Return the note as a candidate."""
        return Candidate(
            self.note, self.evidence, confidence, tuple(self.reasons), tuple(self.words)
        )

    def _words(self, said: dict[str, str]) -> list[str]:
        words = [word for term, word in said.items() if term in self._complaint]
        if words:
            shown = ", ".join(list(dict.fromkeys(words))[:WORDS_SHOWN])
            self.reasons.append(Reason("words", f"its complaint has {shown}"))
        return words

    def _widened(self, matcher: Matcher, results: Results) -> int:
        """Return how many terms beside the words said are in the complaint.

        Shape: a word taken for another because of a slip counts once, whatever it may be.
        """
        count = 0
        for pair in results.widened:
            new = [term for term in analyse(pair.also) if term in self._complaint]
            if new:
                self.reasons.append(Reason("widened", f"“{pair.said}” taken for {pair.also}"))
            count += len(new) if pair.said in matcher.phrases else bool(new)
        return count

    def _families(self, matcher: Matcher, asked: Asked) -> float:
        if not asked.families or not self.note.front.families:
            return 1.0
        shared = [one for one in asked.families if one in self.note.front.families]
        names = _listed(matcher.family_name(one) for one in shared or asked.families)
        if shared:
            self.reasons.append(Reason("family", f"holds for {names}"))
            return OF_FAMILY
        self.reasons.append(Reason("family", f"is not written for {names}"))
        return OF_ANOTHER

    def _screws(self, matcher: Matcher, claims: Sequence[Claim]) -> float:
        factor = 1.0
        threads = matcher.threads_of(self.note)
        named = {row for claim in claims for row in claim.rows}
        held = [row for row in self.note.front.fasteners if isinstance(row, str) and row in named]
        for row in held:
            place = matcher.registers.rows[row].row.where
            self.reasons.append(Reason("place", f"its screw list has “{place}”"))
            factor = OF_PLACE
        for claim in claims:
            if claim.stated.canonical in threads:
                self.reasons.append(Reason("thread", f"{claim.stated.canonical} is in its list"))
                factor = OF_PLACE
        return factor

    def _places(self, matcher: Matcher, asked: Asked) -> float:
        if asked.note == self.note.number:
            self.reasons.append(Reason("note", "it was asked about this note"))
            return OF_NOTE
        if asked.recording is None or not matcher.recording_shows(asked, self.note):
            return 1.0
        title = matcher.recording_title(asked.recording)
        if matcher.shown_at(asked) == self.note.number:
            at = clock(seconds(asked.at or "0:00"))
            self.reasons.append(Reason("moment", f"{title} shows it at {at}, where it was asked"))
            return OF_MOMENT
        self.reasons.append(Reason("moment", f"{title}, about which it was asked, shows it"))
        return OF_RECORDING


def _listed(names: Iterable[str]) -> str:
    return ", ".join(dict.fromkeys(names))
