"""What the templates are given: one frozen view a page kind, figures already set as markup.

Every address in a view is counted from the root of the site; the template makes it
relative with ``to(...)``. Nothing in a view is optional by omission: an empty tuple
or an empty text means that there is nothing to show.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from markupsafe import Markup

__all__ = [
    "AskedOften",
    "AskedView",
    "CardView",
    "CauseView",
    "Caution",
    "ChapterView",
    "CorrectionLine",
    "Drawn",
    "FamilyView",
    "FastenerView",
    "FitView",
    "FrontDoor",
    "IndexGroup",
    "IndexRow",
    "LinkView",
    "LotView",
    "MixupView",
    "NoteView",
    "OfferView",
    "Page",
    "PartUseView",
    "PartView",
    "PhotoView",
    "PitchRow",
    "PitchesView",
    "QuestionView",
    "RecordingView",
    "SettingView",
    "SymptomView",
    "ThreadView",
]


@dataclass(frozen=True, slots=True)
class LinkView:
    """Somewhere to go: its words, its address in the site (or outside), a few words beside it."""

    text: str | Markup
    address: str
    beside: str | Markup = ""


@dataclass(frozen=True, slots=True)
class Page:
    """What every page says of itself.

    Shape: ``kind`` names the template and the style of its head; ``purpose`` says
    what the page is for; ``families`` are those it holds for; ``body`` is the view
    of the kind; ``source`` is the content file or folder it was made from; ``stands_at``
    is the address of another page that took its place; ``anywhere`` is true of the
    page that hosts show for addresses that are none: no machine lists it.
    """

    path: str
    kind: str
    title: str
    purpose: str
    body: object
    heading: str | Markup = ""
    families: tuple[LinkView, ...] = ()
    revised: datetime.date | None = None
    source: str = ""
    leads_here: tuple[IndexGroup, ...] = ()
    bench: bool = False
    stands_at: str = ""
    anywhere: bool = False

    @property
    def canonical(self) -> str:
        """The address at which what the page is about stands today, its own if none is named."""
        return self.stands_at or self.path


@dataclass(frozen=True, slots=True)
class Caution:
    """A hazard in the parts of ANSI Z535.6, in the order they are read."""

    signal: str
    hazard: Markup
    consequence: Markup
    avoid: Markup
    defer_to: Markup


@dataclass(frozen=True, slots=True)
class CauseView:
    """A cause, what tells it apart, and what mends it."""

    cause: Markup
    tell: Markup
    fix: Markup


@dataclass(frozen=True, slots=True)
class CorrectionLine:
    """A dated line: what was said, what is right, who told, and the films that say it."""

    date: datetime.date
    what: Markup
    was: Markup
    now: Markup
    told_by: str
    at: LinkView | None = None
    place: LinkView | None = None
    said_in: tuple[LinkView, ...] = ()


@dataclass(frozen=True, slots=True)
class FastenerView:
    """A drawer label: what it is for, the designation, how tight, and what that rests on."""

    anchor: str
    where: Markup
    designation: Markup
    thread_address: str
    verdict: Markup
    drawing: Markup
    hand: str
    length: Markup
    head: str
    tightness: Markup
    share: Markup
    basis: str
    source: str
    remark: Markup
    variants: tuple[str, ...] = ()
    disputed: tuple[Markup, ...] = ()
    corrections: tuple[CorrectionLine, ...] = ()
    home: LinkView | None = None
    used_by: tuple[LinkView, ...] = ()


@dataclass(frozen=True, slots=True)
class Drawn:
    """The drawings that a page's labels share, and the one scale they are drawn to."""

    symbols: Markup
    scale: int


@dataclass(frozen=True, slots=True)
class MixupView:
    """Two places whose screws could be swapped, and what comes of it.

    Shape: ``outcome`` ranks it, worst first; ``says`` is a sentence a way, for a pair of
    which neither starts in the other's hole only why.
    """

    outcome: int
    starts: bool
    threads: tuple[Markup, Markup]
    places: Markup
    says: tuple[Markup, ...]
    drawing: Markup


@dataclass(frozen=True, slots=True)
class PhotoView:
    """A picture in two widths; ``small`` is empty where the picture itself is no wider."""

    large: str
    small: str
    width: int
    height: int
    small_width: int
    alt: str


@dataclass(frozen=True, slots=True)
class OfferView:
    """Where a part was seen on offer."""

    address: str
    shop: str
    price: Markup
    seen: datetime.date
    sponsored: bool


@dataclass(frozen=True, slots=True)
class PartUseView:
    """A part that a repair needs: how many, and on which families it fits or harms."""

    part: LinkView
    quantity: int
    fits: tuple[FitView, ...]
    obtained: str


@dataclass(frozen=True, slots=True)
class NoteView:
    """A note in the order it is read at the bench."""

    number: str
    symptoms: tuple[Markup, ...]
    headings: tuple[LinkView, ...]
    cautions: tuple[Caution, ...]
    people: str
    tools: tuple[str, ...]
    supplies: tuple[str, ...]
    spares: tuple[LinkView, ...]
    causes: tuple[CauseView, ...]
    fix: Markup
    steps: Markup
    photos: tuple[PhotoView, ...]
    fasteners: tuple[FastenerView, ...]
    mixups: tuple[MixupView, ...]
    drawn: Drawn
    parts: tuple[PartUseView, ...]
    works_when: Markup
    shown: tuple[LinkView, ...]
    asked: AskedOften
    corrections: tuple[CorrectionLine, ...]
    authors: tuple[str, ...]
    first_published: datetime.date
    card: str
    successor: LinkView | None = None


@dataclass(frozen=True, slots=True)
class CardView:
    """A note's bench card: what is needed beside the machine, on one printed page.

    Shape: ``size`` is how large it is set, in hundredths; ``columns`` is how many its labels
    stand in; ``code`` is the QR code of ``address``, the note's permanent one; ``swapped``
    are pairs of threads.
    """

    note: LinkView
    number: str
    address: str
    code: Markup
    size: int
    columns: int
    cautions: tuple[Caution, ...]
    tools: tuple[str, ...]
    causes: tuple[CauseView, ...]
    fix: Markup
    fasteners: tuple[FastenerView, ...]
    swapped: tuple[tuple[Markup, Markup], ...]
    works_when: Markup


@dataclass(frozen=True, slots=True)
class PitchRow:
    """A pitch of a family at true scale, and the threads that have it."""

    pitch: Markup
    other: Markup
    comb: Markup
    threads: tuple[Markup, ...]


@dataclass(frozen=True, slots=True)
class PitchesView:
    """A family's pitch card, coarse to fine."""

    family: LinkView
    rows: tuple[PitchRow, ...]
    address: str
    code: Markup


@dataclass(frozen=True, slots=True)
class SettingView:
    """A setting of a family."""

    anchor: str
    what: Markup
    value: Markup
    basis: str
    source: str
    remark: Markup


@dataclass(frozen=True, slots=True)
class LotView:
    """A block of serial numbers."""

    first: str
    last: str
    allotted: str
    works: str
    variant: str
    basis: str
    source: str
    since: Markup


@dataclass(frozen=True, slots=True)
class FamilyView:
    """A model family."""

    name: str
    summary: Markup
    also_called: tuple[str, ...]
    recognise: tuple[Markup, ...]
    variants: tuple[tuple[str, str, Markup], ...]
    mixups: tuple[MixupView, ...]
    fasteners: tuple[FastenerView, ...]
    drawn: Drawn
    settings: tuple[SettingView, ...]
    lots: tuple[LotView, ...]
    lots_added: str
    timeline: Markup
    pitches: str
    parts: tuple[FitView, ...]
    notes: tuple[IndexRow, ...]
    questions: tuple[IndexRow, ...]
    remarks: Markup


@dataclass(frozen=True, slots=True)
class ThreadView:
    """A thread: its basic dimensions, its limits of size, and the places that use it."""

    designation: Markup
    canonical: str
    verdict: str
    series: str
    standard: str
    system: str
    drawing: Markup
    dimensions: tuple[tuple[str, Markup], ...]
    limits: tuple[tuple[str, tuple[tuple[str, Markup], ...]], ...]
    limits_note: str
    assumed: tuple[str, ...]
    declared: tuple[Markup, ...]
    places: tuple[IndexGroup, ...]


@dataclass(frozen=True, slots=True)
class FitView:
    """Whether a part suits a family (or a family a part), why, and who says so."""

    other: LinkView
    verdict: str
    why: Markup
    source: str


@dataclass(frozen=True, slots=True)
class PartView:
    """A part."""

    name: str
    also_called: tuple[str, ...]
    summary: Markup
    designation: Markup
    thread_address: str
    fits: tuple[FitView, ...]
    offers: tuple[OfferView, ...]
    obtained: str
    disclosure: str
    remarks: Markup


@dataclass(frozen=True, slots=True)
class ChapterView:
    """A moment of a recording, its transcript from there on, and the note it shows."""

    anchor: str
    at: str
    title: Markup
    moment: str
    second: int
    note: LinkView | None
    transcript: tuple[tuple[str, Markup], ...]


@dataclass(frozen=True, slots=True)
class RecordingView:
    """A recording."""

    title: str
    date: datetime.date
    address: str
    length: str
    seconds: int
    duration: str
    summary: Markup
    scale: Markup
    chapters: tuple[ChapterView, ...]
    questions: tuple[IndexRow, ...]
    corrections: tuple[CorrectionLine, ...]


@dataclass(frozen=True, slots=True)
class AskedView:
    """A question as it came: who asked, how and when, the words, and what was answered.

    Shape: ``alias`` is empty where it was withheld; ``answer`` where the page's holds.
    """

    alias: str
    way: str
    date: datetime.date
    words: Markup
    answer: Markup
    answered: datetime.date


@dataclass(frozen=True, slots=True)
class QuestionView:
    """A question, its answer with the cautions before it, and what was corrected since.

    Shape: ``asked`` is the first that asked it, ``again`` are those that asked the same;
    ``own`` says that the answer was written for it, else it is the fix of the note.
    """

    number: str
    asked: AskedView
    about: tuple[LinkView, ...]
    cautions: tuple[Caution, ...]
    answer: Markup
    own: bool
    note: LinkView
    corrections: tuple[CorrectionLine, ...]
    again: tuple[AskedView, ...]


@dataclass(frozen=True, slots=True)
class AskedOften:
    """How often a note was asked for, in a sentence that is empty if never, and the questions."""

    says: Markup
    questions: tuple[IndexRow, ...]


@dataclass(frozen=True, slots=True)
class SymptomView:
    """A heading of complaints, in customers' words, and the notes that answer them."""

    heading: str
    also: tuple[str, ...]
    notes: tuple[IndexRow, ...]


@dataclass(frozen=True, slots=True)
class IndexRow:
    """A line of a list: where it leads, what is said beneath, figures at the end of the line."""

    link: LinkView
    says: Markup | str = ""
    end: Markup | str = ""


@dataclass(frozen=True, slots=True)
class IndexGroup:
    """Lines of a list under one heading."""

    heading: str
    rows: tuple[IndexRow, ...]
    anchor: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class FrontDoor:
    """The home page: the ways in, and what changed last."""

    groups: tuple[IndexGroup, ...]
    newest: tuple[IndexRow, ...]
