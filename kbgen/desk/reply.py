"""The answer to a question: everything of a note that a stranger needs, and nothing made up."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from kbgen.checks import Checked, Claim, Registers
from kbgen.content import Note, Question, plain_text
from kbgen.content.models import Correction, FitVerdict, Hazard, Obtained, Part, Signal
from kbgen.desk.reply_guard import Guard, about_note
from kbgen.desk.reply_screws import Screw, Screws
from kbgen.desk.reply_stated import Told, told_of
from kbgen.desk.reply_text import one_line
from kbgen.findings import Finding, Severity
from kbgen.links import Reference, Scheme, address_of, clock, seconds

__all__ = ["CannotReply", "Replies", "Reply", "ReplyPart", "ToldBefore"]

_WITHHELD = "withheld"
_LONGEST_ALIAS = 60
OBTAINED = {
    Obtained.BOUGHT: "",
    Obtained.GIFT: "it was given to us",
    Obtained.LOAN: "it was lent to us",
    Obtained.PAID: "we were paid to show it",
}


class CannotReply(ValueError):
    """A reply that would pass on what is not checked, or what was withdrawn."""

    def __init__(self, message: str, findings: Sequence[Finding] = ()) -> None:
        super().__init__(message)
        self.findings = tuple(findings)


@dataclass(frozen=True, slots=True)
class ReplyPart:
    """A part that the repair needs: how many, where its page stands, and whether it fits.

    Shape: ``tie`` says how we came by it where we did not buy it, else empty; ``warning``
    says why it does not suit the asker's machine, else empty. ``fits`` names the machines
    that it fits, among the asker's and the note's.
    """

    name: str
    quantity: int
    address: str
    fits: tuple[str, ...] = ()
    tie: str = ""
    warning: str = ""


@dataclass(frozen=True, slots=True)
class ToldBefore:
    """Something that was told otherwise before: the day it was corrected, and what it was about.

    Shape: ``now`` is what is right, empty where the reply itself says it.
    """

    date: datetime.date
    what: str
    now: str = ""


@dataclass(frozen=True, slots=True)
class Reply:
    """An answer, ready to be set as text.

    Shape: ``alias`` and ``asked`` are empty where they are not known; ``families`` are the
    names of the asker's machines, ``holds_for`` those of the note's; ``fitting`` tells
    whether the note holds for one of them. ``address`` is the permanent link. ``fix`` is
    the workshop's ``own`` answer to this question where it wrote one.
    """

    note: int
    title: str
    address: str
    alias: str
    asked: datetime.date | None
    families: tuple[str, ...]
    holds_for: tuple[str, ...]
    fitting: bool
    cautions: tuple[Hazard, ...]
    fix: str
    own: bool
    works_when: str
    told: tuple[Told, ...]
    screws: tuple[Screw, ...]
    parts: tuple[ReplyPart, ...]
    before: tuple[ToldBefore, ...]
    disclosure: str
    workshop: str
    contact: str

    def texts(self) -> Iterator[str]:
        """Yield what it says in the workshop's own words, what the asker states left out."""
        yield from (self.title, self.fix, self.works_when, self.disclosure)
        for hazard in self.cautions:
            yield from (hazard.hazard, hazard.consequence or "", hazard.avoid)
        for screw in self.screws:
            yield from (screw.where, screw.thread, screw.tightness, screw.source)
        for part in self.parts:
            yield from (part.name, part.warning)
        for line in self.before:
            yield from (line.what, line.now)


class Replies:
    """Writes answers from the notes of one checked tree."""

    def __init__(self, checked: Checked, registers: Registers | None = None) -> None:
        self._checked = checked
        self._tree = checked.tree
        self._registers = registers or Registers(checked)
        self._screws = Screws(checked, self._registers)

    def compose(
        self,
        note: Note,
        claims: Sequence[Claim] = (),
        families: Sequence[str] = (),
        question: Question | None = None,
        alias: str = "",
    ) -> Reply:
        """Return the answer that a note gives to a question.

        Raises: CannotReply where a file that it draws on has errors, or where it would
        repeat a figure that was withdrawn.
        """
        workshop = self._tree.workshop
        if workshop is None:
            raise CannotReply("content/workshop.yaml cannot be read")
        self._require_sound(note, families, question)
        own = question.front.answer if question else None
        known = [one for one in families if one in self._tree.families]
        ours = [one for one in note.front.families if one in self._tree.families]
        fitting = not known or not ours or any(one in ours for one in known)
        shared = [one for one in known if one in ours]
        screws = self._screws.of_note(note, shared) if fitting else ()
        parts = tuple(self._parts(note, shared or known))
        base = workshop.base_address.rstrip("/") + "/"
        reply = Reply(
            note=note.number,
            title=plain_text(note.front.title),
            address=base + address_of(Reference(Scheme.NOTE, str(note.number))),
            alias=_alias(question.front.alias if question else alias),
            asked=question.front.date if question else None,
            families=tuple(self._name(one) for one in known),
            holds_for=tuple(self._name(one) for one in ours),
            fitting=fitting,
            cautions=self._cautions(note),
            fix=plain_text(own or note.front.fix),
            own=own is not None,
            works_when=plain_text(note.front.works_when),
            told=told_of(self._registers, claims, families),
            screws=screws,
            parts=parts,
            before=self._before(note, screws),
            disclosure=plain_text(workshop.disclosure) if any(one.tie for one in parts) else "",
            workshop=workshop.name,
            contact=workshop.contact,
        )
        self._require_nothing_withdrawn(note, reply)
        return reply

    def _require_nothing_withdrawn(self, note: Note, reply: Reply) -> None:
        guard = Guard(self._checked, self._registers, note, reply.screws)
        repeated = guard.repeated("\n\n".join(reply.texts()))
        if repeated:
            told = "; ".join(f"{one.was} ({one.path}:{one.line})" for one in repeated)
            raise CannotReply(f"the answer would repeat what was withdrawn: {told}")

    def _require_sound(
        self, note: Note, families: Sequence[str], question: Question | None
    ) -> None:
        paths = {note.source.path, "content/workshop.yaml", "content/hazards.yaml"}
        paths |= {f"content/families/{one}.yaml" for one in (*families, *note.front.families)}
        paths |= {f"content/parts/{use.part}.yaml" for use in note.front.parts}
        if question is not None:
            paths.add(question.source.path)
        wrong = [
            one
            for one in self._checked.findings
            if one.severity is Severity.ERROR and one.path in paths
        ]
        if wrong:
            raise CannotReply("what the answer draws on has errors", wrong)

    def _name(self, family: str) -> str:
        return self._tree.families[family].model.name

    def _cautions(self, note: Note) -> tuple[Hazard, ...]:
        """Return the cautions of a note, the most severe first, then as they are listed."""
        order = list(Signal)
        hazards = [self._tree.hazards[one] for one in note.front.hazards]
        return tuple(sorted(hazards, key=lambda hazard: order.index(hazard.signal)))

    def _parts(self, note: Note, families: Sequence[str]) -> Iterator[ReplyPart]:
        """Yield the parts of a note that suit the asker, or are told to suit badly."""
        workshop = self._tree.workshop
        base = workshop.base_address.rstrip("/") + "/" if workshop else ""
        for use in note.front.parts:
            if use.part not in self._tree.parts:
                continue
            part = self._tree.parts[use.part].model
            if families and all(_verdict(part, family) is FitVerdict.NOT for family in families):
                continue
            yield ReplyPart(
                name=plain_text(part.name),
                quantity=use.quantity,
                address=base + address_of(Reference(Scheme.PART, use.part)),
                fits=tuple(
                    self._name(fit.family)
                    for fit in part.fits
                    if fit.verdict is FitVerdict.FITS
                    and fit.family in (families or note.front.families)
                ),
                tie=OBTAINED[part.obtained],
                warning=" ".join(self._harms(part, families)),
            )

    def _harms(self, part: Part, families: Sequence[str]) -> Iterator[str]:
        for fit in part.fits:
            if fit.family in families and fit.verdict is not FitVerdict.FITS:
                yield f"On the {self._name(fit.family)} it {fit.verdict}: {plain_text(fit.why)}"

    def _before(self, note: Note, screws: Sequence[Screw]) -> tuple[ToldBefore, ...]:
        """Return what was told otherwise before, of the screws, the note and its recordings.

        Shape: one line for one figure, the one that says most exactly where it was told.
        """
        found: dict[tuple[datetime.date, str], ToldBefore] = {}
        for screw in screws:
            for line in self._registers.rows[screw.row].row.corrections if screw.row else ():
                where = f"the figure for “{screw.where}” of the {screw.family}"
                found[line.date, line.was] = ToldBefore(line.date, where)
        sources = [(note.front.corrections, "")]
        for moment in note.front.recordings:
            recording = self._tree.recordings.get(moment.recording)
            if recording is not None:
                model = recording.model
                own = tuple(line for line in model.corrections if about_note(model, line, note))
                sources.append((own, f" in “{plain_text(model.title)}”"))
        for lines, where in sources:
            for line in lines:
                found[line.date, line.was] = _told_before(line, lines, where)
        return tuple(sorted(found.values(), key=lambda one: one.date))


def _told_before(line: Correction, lines: Sequence[Correction], where: str) -> ToldBefore:
    what = plain_text(line.what or "what was said")
    now = plain_text(line.now or "")
    if any(line.now == other.was for other in lines):
        now = ""  # it was corrected again
    at = f" at {clock(seconds(line.at))}" if line.at else ""
    return ToldBefore(line.date, f"{what}{where}{at}", now)


def _alias(alias: str) -> str:
    """Return whom to greet: nobody whose alias is withheld, or too long to be one."""
    alias = one_line(alias)
    return "" if alias.lower() == _WITHHELD or len(alias) > _LONGEST_ALIAS else alias


def _verdict(part: Part, family: str) -> FitVerdict | None:
    return next((fit.verdict for fit in part.fits if fit.family == family), None)
