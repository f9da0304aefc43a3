"""The shapes of the content files, as typed, frozen models.

One model a file kind; the JSON Schema that editors use is derived from them.
Every figure is kept as written: reading threads, torques and lengths is the
business of the units room, and what prose says belongs to the prose room.
"""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated, Literal, TypeVar

from pydantic import Discriminator, Field, StringConstraints, Tag

from kbgen.content.fields import (
    Clock,
    Count,
    Date,
    Figure,
    FileName,
    Identifier,
    LotCount,
    LotDate,
    Model,
    NoteNumber,
    RowReference,
    Text,
    WebAddress,
)

__all__ = [
    "About",
    "Before",
    "CameBy",
    "Cause",
    "Chapter",
    "CommentColumns",
    "Correction",
    "Defaults",
    "Disputed",
    "Family",
    "Fastener",
    "Fit",
    "FitVerdict",
    "Hazard",
    "HouseThread",
    "Intake",
    "Lot",
    "NoteFront",
    "Obtained",
    "Offer",
    "Part",
    "PartUse",
    "Photo",
    "QuestionFront",
    "QuestionPage",
    "QuestionStanding",
    "Recording",
    "RecordingMoment",
    "RegisterRow",
    "RundownHabits",
    "Setting",
    "ShowNotesHabits",
    "Signal",
    "Standing",
    "SymptomHeading",
    "Variant",
    "VocabularyPair",
    "Workshop",
]


class Standing(StrEnum):
    """Where a note stands."""

    DRAFT = "draft"
    PUBLISHED = "published"
    WITHDRAWN = "withdrawn"


class Signal(StrEnum):
    """The signal words of ANSI Z535.6, most severe first."""

    DANGER = "danger"
    WARNING = "warning"
    CAUTION = "caution"
    NOTICE = "notice"


class Basis(StrEnum):
    """What a figure rests on."""

    MEASURED = "measured"
    QUOTED = "quoted"
    ESTIMATED = "estimated"


class FitVerdict(StrEnum):
    """Whether a part suits a family."""

    FITS = "fits"
    HARMS = "fits but harms"
    NOT = "does not fit"


class Obtained(StrEnum):
    """How the workshop came by a part."""

    BOUGHT = "bought"
    GIFT = "gift"
    LOAN = "loan"
    PAID = "paid"


class Correction(Model):
    """A dated, public statement that an earlier statement was wrong.

    ``was`` is exempt from judgement; ``now`` may be left out in a register row,
    where the row itself says what is right.
    """

    date: Date
    what: Text | None = Field(default=None, description="what the statement was about")
    was: Figure = Field(description="what was said, as it was said; exempt from judgement")
    now: Figure | None = Field(
        default=None, description="what is right; may be left out where the row itself says it"
    )
    told_by: Text | None = Field(
        default=None, description="who told the workshop, by part, not by name: a viewer"
    )
    at: Clock | None = Field(default=None, description="where in the recording it was said")


class Disputed(Model):
    """Another figure for the same place, honestly held by somebody else."""

    says: Figure = Field(description="the other figure")
    source: Text = Field(description="who holds it, and where it is written")


class Fastener(Model):
    """A fastener: its thread, hand and tightness, and what they rest on."""

    where: Text = Field(description="which screw, bolt or nut, and where it sits")
    thread: Text = Field(
        description="its thread as it was measured or read, such as SM11/64-40 or 1/4-20 UNC LH"
    )
    length: Text | None = Field(
        default=None, description="its length with the unit, from under the head"
    )
    head: Text | None = Field(
        default=None, description="its head and drive, such as slotted cheese"
    )
    strength: Figure | None = Field(
        default=None, description="its strength class, such as 4.6 or 8.8, where it is known"
    )
    torque: Text | None = Field(
        default=None,
        description="how tight with the unit, such as 1.0 N·m; torque or tightness, not both",
    )
    tightness: Text | None = Field(
        default=None, description="how tight in words, such as snug, then an eighth of a turn"
    )
    basis: Basis = Field(description="what the figures rest on")
    source: Text = Field(description="tools and how many machines, or the book and its page")
    remark: Text | None = Field(default=None, description="what else a repairer should know of it")
    variants: tuple[Identifier, ...] = Field(
        default=(), description="ids of the variants it holds for; all when left out"
    )
    disputed: tuple[Disputed, ...] = Field(
        default=(), description="other figures for the same place, honestly held"
    )
    corrections: tuple[Correction, ...] = Field(
        default=(), description="earlier statements that were wrong"
    )


class RegisterRow(Fastener):
    """A row of a family's fastener register, the only home of its figures."""

    id: Identifier = Field(
        description="the name of the place, kept for ever: notes cite it as FAMILY/ROW"
    )


class Variant(Model):
    """A variant inside a family."""

    id: Identifier = Field(description="its name in this file")
    name: Text = Field(description="its name on the badge or in the trade")
    differs: Text = Field(description="what differs from the others")


class Lot(Model):
    """A block of serial numbers allotted on a date at a works."""

    first: Figure = Field(description="first serial number, with its prefix")
    last: Figure = Field(description="last serial number, with its prefix")
    count: LotCount | None = Field(
        default=None, description="how many numbers the source says it has, if it says so"
    )
    allotted: LotDate = Field(description="when the lot was allotted: YYYY, YYYY-MM or YYYY-MM-DD")
    works: Text | None = Field(default=None, description="the works it was allotted to")
    variant: Identifier | None = Field(default=None, description="id of the variant")
    basis: Basis = Field(description="what the dates rest on")
    source: Text = Field(description="where they are written")


class Setting(Model):
    """A setting of a family, such as the height of its needle bar."""

    id: Identifier = Field(description="its name, kept for ever")
    what: Text = Field(description="what is set")
    value: Figure = Field(description="the value with its unit, or how to find it")
    basis: Basis = Field(description="what the value rests on")
    source: Text = Field(description="tools and how many machines, or the book and its page")
    remark: Text | None = Field(default=None, description="what else a repairer should know of it")


class Family(Model):
    """A model family whose machines share castings, fasteners and settings."""

    name: Text = Field(description="the name of the family")
    summary: Text = Field(description="one sentence: what it is")
    also_called: tuple[Text, ...] = Field(default=(), description="other names and badges")
    recognise: tuple[Text, ...] = Field(
        default=(), description="how to recognise one, a sentence an item"
    )
    variants: tuple[Variant, ...] = Field(default=(), description="variants inside the family")
    fasteners: tuple[RegisterRow, ...] = Field(
        default=(), description="the fastener register: the only home of these figures"
    )
    settings: tuple[Setting, ...] = Field(
        default=(), description="settings such as needle-bar height"
    )
    lots: tuple[Lot, ...] = Field(default=(), description="blocks of serial numbers")
    remarks: Text | None = Field(default=None, description="more about the family, in Markdown")


class Fit(Model):
    """Whether a part suits one family, why, and who says so."""

    family: Identifier = Field(description="id of the family")
    verdict: FitVerdict = Field(description="fits, fits but harms, or does not fit")
    why: Text = Field(description="the reason")
    source: Text = Field(description="who says so, from what")


class Offer(Model):
    """Where a part was seen on offer, and when."""

    address: WebAddress = Field(description="web address of the offer")
    seen: Date = Field(description="the day it was last seen there")
    price: Figure = Field(description="the price with its currency, as seen")
    shop: Text | None = Field(default=None, description="the name of the shop")


class Part(Model):
    """A part."""

    name: Text = Field(description="its name")
    also_called: tuple[Text, ...] = Field(default=(), description="other names and numbers")
    summary: Text | None = Field(default=None, description="one sentence: what it is for")
    thread: Text | None = Field(default=None, description="its thread, if it has one")
    fits: tuple[Fit, ...] = Field(
        default=(), description="which families it fits, harms or does not fit"
    )
    offers: tuple[Offer, ...] = Field(default=(), description="where it was seen on offer")
    obtained: Obtained = Field(description="how the workshop came by it")
    remarks: Text | None = Field(default=None, description="more about the part, in Markdown")


class Chapter(Model):
    """A moment of a recording at which a subject begins."""

    at: Clock = Field(description="when it begins")
    title: Text = Field(description="what it is about")
    note: NoteNumber | None = Field(default=None, description="number of the note it shows")


class Recording(Model):
    """A recording and its chapters."""

    title: Text = Field(description="its title")
    date: Date = Field(description="the day it was published or held")
    address: WebAddress = Field(description="its web address")
    length: Clock = Field(description="how long it runs")
    summary: Text | None = Field(default=None, description="one sentence: what it is about")
    chapters: tuple[Chapter, ...] = Field(default=(), description="its chapters, in order")
    corrections: tuple[Correction, ...] = Field(
        default=(), description="what was said in it and was wrong"
    )


class HouseThread(Model):
    """A thread that no standard series holds, declared by the workshop."""

    thread: Text = Field(description="SIZE-TPI house or SIZExPITCH house")
    where: Text = Field(description="which fastener it is found on")
    basis: Basis = Field(description="what it rests on")
    source: Text = Field(description="tools and how many machines")


class Hazard(Model):
    """A hazard in the parts of ANSI Z535.6: signal word, hazard, consequence, avoidance.

    ``calls_for`` lists words of a note that make this caution necessary.
    """

    id: Identifier = Field(description="its name: notes cite it")
    signal: Signal = Field(description="the signal word: danger, warning, caution or notice")
    hazard: Text = Field(description="what the danger is")
    consequence: Text | None = Field(default=None, description="what it does")
    avoid: Text = Field(description="how to avoid it")
    defer_to: Text | None = Field(default=None, description="who has to do the work instead")
    calls_for: tuple[Text, ...] = Field(
        default=(), description="words of a note that make this caution necessary"
    )


class SymptomHeading(Model):
    """A heading under which symptoms are listed, with the words that lead there."""

    id: Identifier = Field(description="its name: notes cite it under headings")
    heading: Text = Field(description="the complaint in the words of a customer")
    also: tuple[Text, ...] = Field(default=(), description="other words for it")


class VocabularyPair(Model):
    """Lay words and the trade words that mean the same."""

    lay: Annotated[tuple[Text, ...], Field(min_length=1)] = Field(
        description="words that people use"
    )
    trade: Annotated[tuple[Text, ...], Field(min_length=1)] = Field(
        description="words of the trade for the same"
    )


class Defaults(Model):
    """What the workshop assumes where a fastener states nothing."""

    strength: Figure | None = Field(
        default=None, description="strength class of a screw that states none"
    )
    nut_factor: Figure | None = Field(
        default=None, description="nut factor K of a joint that states none"
    )


class CommentColumns(Model):
    """Which columns of an export of comments hold what: their names as the export has them."""

    words: Text = Field(description="column with the words as written")
    name: Text | None = Field(default=None, description="column with the asker's name")
    date: Text | None = Field(default=None, description="column with the day or the moment")
    about: Text | None = Field(
        default=None, description="column with the recording: its id, title or web address"
    )
    key: Text | None = Field(
        default=None, description="column that tells one comment from another for ever"
    )
    parent: Text | None = Field(
        default=None, description="column with the key of the comment that this one replies to"
    )


class Intake(Model):
    """How questions arrive."""

    columns: CommentColumns | None = Field(
        default=None, description="the columns of exports of comments, CSV or JSON Lines"
    )
    ours: tuple[Text, ...] = Field(
        default=(),
        description="names under which the workshop itself writes: what they wrote asks nothing",
    )
    by_names: tuple[Text, ...] = Field(
        default=(),
        description="aliases of askers' own that have the form of a full name and are none",
    )


class ShowNotesHabits(Model):
    """What the place where recordings are shown accepts under them."""

    smallest_gap: Count = Field(default=10, description="least seconds between two chapters")
    fewest_chapters: Count = Field(default=3, description="fewest chapters that make a list")
    longest: Count = Field(default=5000, description="most characters of the whole block")


class RundownHabits(Model):
    """How a question-and-answer recording goes."""

    words_a_minute: Count = Field(default=140, description="how fast the answers are read aloud")
    pause: Count = Field(default=20, description="seconds between two questions")


class Workshop(Model):
    """The workshop that publishes the tree."""

    name: Text = Field(description="the name of the workshop")
    language: Annotated[str, StringConstraints(pattern=r"^[A-Za-z]{2,3}(-[A-Za-z0-9]{2,8})*$")] = (
        Field(description="language of the pages, a BCP 47 tag such as en or en-GB")
    )
    base_address: WebAddress = Field(description="web address that the site will stand at")
    contact: Text = Field(description="how to reach the workshop")
    public_contacts: tuple[Text, ...] = Field(
        default=(),
        description="e-mail addresses and telephone numbers of shops and services that pages name",
    )
    disclosure: Text = Field(description="the sentence about gifts, loans and paid work")
    motto: Text | None = Field(default=None, description="a line under the name")
    about: Text | None = Field(default=None, description="about the workshop, in Markdown")
    licence: Text | None = Field(
        default=None, description="under what licence the pages may be passed on"
    )
    defaults: Defaults = Field(
        default=Defaults(), description="what is assumed where a fastener states nothing"
    )
    intake: Intake = Field(default=Intake(), description="how questions arrive")
    shownotes: ShowNotesHabits = Field(
        default=ShowNotesHabits(), description="what is accepted under a recording"
    )
    rundown: RundownHabits = Field(
        default=RundownHabits(), description="how a question-and-answer recording goes"
    )


class Cause(Model):
    """A cause of a symptom, what tells it apart, and what mends it."""

    cause: Text = Field(description="a cause")
    tell: Text = Field(description="what tells it apart")
    fix: Text | None = Field(default=None, description="what mends it")


def _list_or_none(value: object) -> str:
    """Tell the word ``none`` from a list."""
    return "(none)" if isinstance(value, str) else "(list)"


Item = TypeVar("Item")
Listed = Annotated[
    Annotated[tuple[Item, ...], Tag("(list)")] | Annotated[Literal["none"], Tag("(none)")],
    Discriminator(_list_or_none),
]


class Before(Model):
    """What has to be at hand before the first step; nothing is said by omission."""

    people: Text = Field(description="how many people, in words")
    tools: Listed[Text] = Field(description="tools to have at hand, or none")
    supplies: Listed[Text] = Field(description="supplies to have at hand, or none")
    spares: Listed[Identifier] = Field(description="ids of parts to have at hand, or none")


class PartUse(Model):
    """A part that a repair needs, and how many."""

    part: Identifier = Field(description="id of the part")
    quantity: Count = Field(default=1, description="how many of it")


class Photo(Model):
    """A picture that a note shows."""

    file: FileName = Field(description="name of the file in content/photos")
    alt: Text = Field(description="what it shows, for somebody who cannot see it")


class RecordingMoment(Model):
    """Where in a recording a note is shown."""

    recording: Identifier = Field(description="id of the recording")
    at: Clock | None = Field(default=None, description="when the repair begins in it")


def _row_or_own(value: object) -> str:
    """Tell a reference to a register row from a fastener of the note's own."""
    return "(row)" if isinstance(value, str) else "(own)"


NoteFastener = Annotated[
    Annotated[RowReference, Tag("(row)")] | Annotated[Fastener, Tag("(own)")],
    Discriminator(_row_or_own),
]


class NoteFront(Model):
    """The front matter of a note."""

    title: Text = Field(description="what the note is about")
    standing: Standing = Field(description="draft, published or withdrawn")
    successor: NoteNumber | None = Field(
        default=None, description="number of the note that replaces a withdrawn one"
    )
    authors: Annotated[tuple[Text, ...], Field(min_length=1)] = Field(description="who wrote it")
    symptom: Annotated[tuple[Text, ...], Field(min_length=1)] = Field(
        description="what a customer says, a sentence an item"
    )
    headings: tuple[Identifier, ...] = Field(
        default=(), description="ids of the symptom headings it is listed under"
    )
    families: tuple[Identifier, ...] = Field(
        description="ids of the families it holds for; [] for a general skill"
    )
    causes: Annotated[tuple[Cause, ...], Field(min_length=1)] = Field(
        description="causes, the cheapest to test first"
    )
    fix: Text = Field(description="what mends it, in one or two sentences")
    before: Before = Field(description="what has to be at hand before the first step")
    parts: tuple[PartUse, ...] = Field(default=(), description="parts it needs")
    fasteners: tuple[NoteFastener, ...] = Field(
        default=(),
        description="rows of a register (FAMILY/ROW), or a fastener that no register has",
    )
    hazards: tuple[Identifier, ...] = Field(
        default=(), description="ids of the hazards of this repair"
    )
    photos: tuple[Photo, ...] = Field(default=(), description="pictures it shows")
    recordings: tuple[RecordingMoment, ...] = Field(
        default=(), description="recordings that show it"
    )
    works_when: Text = Field(description="how to tell that the machine is mended")
    first_published: Date = Field(description="the day it was first published")
    revised: Date = Field(description="the day it was last revised")
    corrections: tuple[Correction, ...] = Field(
        default=(), description="earlier statements of this note that were wrong"
    )


class CameBy(StrEnum):
    """How a question came."""

    LETTER = "letter"
    COMMENT = "comment"
    VISIT = "visit"
    TELEPHONE = "telephone"
    RECORDING = "recording"


class QuestionStanding(StrEnum):
    """Where a question stands."""

    WAITING = "waiting"
    ANSWERED = "answered"
    SET_ASIDE = "set aside"


class QuestionPage(StrEnum):
    """Whether an answered question gets a page of its own."""

    SHOWN = "shown"
    KEPT_BACK = "kept back"


class About(Model):
    """What a question is about, where that is known."""

    recording: Identifier | None = Field(default=None, description="id of the recording")
    at: Clock | None = Field(default=None, description="where in the recording")
    note: NoteNumber | None = Field(default=None, description="number of the note")


class QuestionFront(Model):
    """The front matter of a question; below it stand the words as they were written.

    No address, telephone number or full name of an asker stands in it.
    """

    date: Date = Field(description="the day it came")
    alias: Text = Field(description="an alias of the asker's own, initials, or withheld")
    came_by: CameBy = Field(description="letter, comment, visit, telephone or recording")
    subject: Text | None = Field(default=None, description="the subject line as it was written")
    in_short: Text | None = Field(default=None, description="the question in one line")
    about: About = Field(default=About(), description="the recording or note it is about")
    families: tuple[Identifier, ...] = Field(
        default=(), description="ids of the families it is about, as said or found out"
    )
    standing: QuestionStanding = Field(
        default=QuestionStanding.WAITING, description="waiting, answered or set aside"
    )
    answered_by: NoteNumber | None = Field(
        default=None, description="number of the note that answers it"
    )
    answered: Date | None = Field(default=None, description="the day the answer went back")
    answer: Text | None = Field(
        default=None, description="the workshop's own short answer; else the fix of the note"
    )
    same_as: NoteNumber | None = Field(
        default=None, description="number of the earlier question that asks the same"
    )
    page: QuestionPage = Field(
        default=QuestionPage.SHOWN, description="shown or kept back, once it is answered"
    )
    mark: Annotated[str, StringConstraints(pattern=r"^[0-9a-f]{16,64}$")] | None = Field(
        default=None, description="fingerprint of the message, so that none is taken in twice"
    )
