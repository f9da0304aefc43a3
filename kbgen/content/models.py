"""The shapes of the content files, as typed, frozen models.

One model a file kind; the JSON Schema that editors use is derived from them.
Every figure is kept as written: reading threads, torques and lengths is the
business of the units room, and what prose says belongs to the prose room.
"""

from __future__ import annotations

import datetime
from enum import StrEnum
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, StringConstraints

__all__ = [
    "Before",
    "Cause",
    "Chapter",
    "Correction",
    "Defaults",
    "Disputed",
    "Family",
    "Fastener",
    "Fit",
    "FitVerdict",
    "Hazard",
    "HouseThread",
    "Lot",
    "NoteFront",
    "Obtained",
    "Offer",
    "Part",
    "PartUse",
    "Photo",
    "Recording",
    "RecordingMoment",
    "RegisterRow",
    "Setting",
    "Signal",
    "Standing",
    "SymptomHeading",
    "Variant",
    "VocabularyPair",
    "Workshop",
]


class Model(BaseModel):
    """The habits of every content model: frozen, no unknown keys, nothing guessed."""

    model_config = ConfigDict(frozen=True, extra="forbid", str_strip_whitespace=True)


Text = Annotated[str, StringConstraints(min_length=1)]
Identifier = Annotated[str, StringConstraints(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*$", max_length=64)]
Date = Annotated[datetime.date, Field(description="a day, written YYYY-MM-DD (ISO 8601)")]
WebAddress = Annotated[str, StringConstraints(pattern=r"^https?://[^\s<>\"]+$", max_length=2000)]
Clock = Annotated[
    str,
    StringConstraints(pattern=r"^(\d{1,2}:[0-5]\d:[0-5]\d|\d{1,3}:[0-5]\d)$"),
    Field(description='a time in a recording, "12:40" or "1:02:40", in quotation marks'),
]
RowReference = Annotated[
    str, StringConstraints(pattern=r"^[a-z0-9-]+/[a-z0-9-]+$"), Field(description="FAMILY/ROW")
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
    what: Text | None = None
    was: Text
    now: Text | None = None
    told_by: Text | None = None
    at: Clock | None = None


class Disputed(Model):
    """Another figure for the same place, honestly held by somebody else."""

    says: Text
    source: Text


class Fastener(Model):
    """A fastener: its thread, hand and tightness, and what they rest on."""

    where: Text
    thread: Text
    length: Text | None = None
    head: Text | None = None
    strength: Text | None = None
    torque: Text | None = None
    tightness: Text | None = None
    basis: Basis
    source: Text
    remark: Text | None = None
    variants: tuple[Identifier, ...] = ()
    disputed: tuple[Disputed, ...] = ()
    corrections: tuple[Correction, ...] = ()


class RegisterRow(Fastener):
    """A row of a family's fastener register, the only home of its figures."""

    id: Identifier


class Variant(Model):
    """A variant inside a family."""

    id: Identifier
    name: Text
    differs: Text


class Lot(Model):
    """A block of serial numbers allotted on a date at a works."""

    first: Text
    last: Text
    allotted: Annotated[str, StringConstraints(pattern=r"^\d{4}(-\d\d(-\d\d)?)?$")]
    works: Text | None = None
    variant: Identifier | None = None
    basis: Basis
    source: Text


class Setting(Model):
    """A setting of a family, such as the height of its needle bar."""

    id: Identifier
    what: Text
    value: Text
    basis: Basis
    source: Text
    remark: Text | None = None


class Family(Model):
    """A model family whose machines share castings, fasteners and settings."""

    name: Text
    summary: Text
    also_called: tuple[Text, ...] = ()
    recognise: tuple[Text, ...] = ()
    variants: tuple[Variant, ...] = ()
    fasteners: tuple[RegisterRow, ...] = ()
    settings: tuple[Setting, ...] = ()
    lots: tuple[Lot, ...] = ()
    remarks: Text | None = None


class Fit(Model):
    """Whether a part suits one family, why, and who says so."""

    family: Identifier
    verdict: FitVerdict
    why: Text
    source: Text


class Offer(Model):
    """Where a part was seen on offer, and when."""

    address: WebAddress
    seen: Date
    price: Text
    shop: Text | None = None


class Part(Model):
    """A part."""

    name: Text
    also_called: tuple[Text, ...] = ()
    summary: Text | None = None
    thread: Text | None = None
    fits: tuple[Fit, ...] = ()
    offers: tuple[Offer, ...] = ()
    obtained: Obtained
    remarks: Text | None = None


class Chapter(Model):
    """A moment of a recording at which a subject begins."""

    at: Clock
    title: Text
    note: Annotated[int, Field(ge=1, le=999_999)] | None = None


class Recording(Model):
    """A recording and its chapters."""

    title: Text
    date: Date
    address: WebAddress
    length: Clock
    summary: Text | None = None
    chapters: tuple[Chapter, ...] = ()
    corrections: tuple[Correction, ...] = ()


class HouseThread(Model):
    """A thread that no standard series holds, declared by the workshop."""

    thread: Text
    where: Text
    basis: Basis
    source: Text


class Hazard(Model):
    """A hazard in the parts of ANSI Z535.6: signal word, hazard, consequence, avoidance.

    ``calls_for`` lists words of a note that make this caution necessary.
    """

    id: Identifier
    signal: Signal
    hazard: Text
    consequence: Text | None = None
    avoid: Text
    defer_to: Text | None = None
    calls_for: tuple[Text, ...] = ()


class SymptomHeading(Model):
    """A heading under which symptoms are listed, with the words that lead there."""

    id: Identifier
    heading: Text
    also: tuple[Text, ...] = ()


class VocabularyPair(Model):
    """Lay words and the trade words that mean the same."""

    lay: Annotated[tuple[Text, ...], Field(min_length=1)]
    trade: Annotated[tuple[Text, ...], Field(min_length=1)]


class Defaults(Model):
    """What the workshop assumes where a fastener states nothing."""

    strength: Text | None = None
    nut_factor: Text | None = None


class Workshop(Model):
    """The workshop that publishes the tree."""

    name: Text
    language: Annotated[str, StringConstraints(pattern=r"^[A-Za-z]{2,3}(-[A-Za-z0-9]{2,8})*$")]
    base_address: WebAddress
    contact: Text
    disclosure: Text
    motto: Text | None = None
    about: Text | None = None
    licence: Text | None = None
    defaults: Defaults = Defaults()


class Cause(Model):
    """A cause of a symptom, what tells it apart, and what mends it."""

    cause: Text
    tell: Text
    fix: Text | None = None


class Before(Model):
    """What has to be at hand before the first step; nothing is said by omission."""

    people: Text
    tools: tuple[Text, ...] | Literal["none"]
    supplies: tuple[Text, ...] | Literal["none"]
    spares: tuple[Identifier, ...] | Literal["none"]


class PartUse(Model):
    """A part that a repair needs, and how many."""

    part: Identifier
    quantity: Annotated[int, Field(ge=1)] = 1


class Photo(Model):
    """A picture that a note shows."""

    file: Annotated[str, StringConstraints(pattern=r"^[A-Za-z0-9][A-Za-z0-9._-]*$")]
    alt: Text


class RecordingMoment(Model):
    """Where in a recording a note is shown."""

    recording: Identifier
    at: Clock | None = None


class NoteFront(Model):
    """The front matter of a note."""

    title: Text
    standing: Standing
    successor: Annotated[int, Field(ge=1, le=999_999)] | None = None
    authors: Annotated[tuple[Text, ...], Field(min_length=1)]
    symptom: Annotated[tuple[Text, ...], Field(min_length=1)]
    headings: tuple[Identifier, ...] = ()
    families: tuple[Identifier, ...]
    causes: Annotated[tuple[Cause, ...], Field(min_length=1)]
    fix: Text
    before: Before
    parts: tuple[PartUse, ...] = ()
    fasteners: tuple[RowReference | Fastener, ...] = ()
    hazards: tuple[Identifier, ...] = ()
    photos: tuple[Photo, ...] = ()
    recordings: tuple[RecordingMoment, ...] = ()
    works_when: Text
    first_published: Date
    revised: Date
    corrections: tuple[Correction, ...] = ()
