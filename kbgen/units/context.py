"""The words around a figure that decide what it is.

What decides is context: "ten thirty-two machine screw" is a thread, "at ten
thirty-two" a time. Common practice, no published source.
"""

from __future__ import annotations

import re
from functools import cache

__all__ = [
    "bears_thread",
    "counts_pages",
    "counts_something",
    "is_code",
    "names_many_soon",
    "names_symbol",
    "names_thread_soon",
    "says_nothing_else",
    "speaks_against",
    "speaks_for",
    "speaks_of_threads",
    "speaks_of_tightening",
]

# How far around a figure to look, at most.
NEAR = 80
# The longest stretch on either side of a figure that is taken for its sentence.
SENTENCE = 160

FASTENER = (
    r"(?:(?:set|grub|thumb|cap|machine|wing|lock)?(?:screws?|nuts?|bolts?)|studs?"
    r"|threads?(?! (?:of|per|count|weight)\b)|threaded|threading|thd|taps?|tapped|tapping|dies?"
    r"|holes?|inserts?|fasteners?|rods?|finials?|nipples?|bushings?|standoffs?|chasers?|helix"
    r"|die-?nut|thread)"
)
ADJECTIVE = (
    r"(?:machine|set|cap|grub|thumb|wing|lock|brass|steel|stainless|hex|hexagon|socket|button"
    r"|pan|flat|round|oval|fillister|cheese|countersunk|raised|head|headed|slotted|knurled|short"
    r"|long|black|oversize|clamp|needle|shoulder|coarse|fine|unc|unf|unef|unified|american"
    r"|british|whitworth|left-hand|right-hand|left|right|plug|taper|bottoming|hardened|new|old"
    r"|odd|little|same|standard|ordinary|size|sized|retaining|adjusting|adjustment|mounting"
    r"|fixing|lamp|presser|foot|bracket|hinge|bed|cover|plate|thumb-?|spare)"
)
_UNITS = (
    r"(?:hours?|hrs?|minutes?|mins?|seconds?|secs?|days?|weeks?|months?|years?|yrs?|am|pm|a\.m"
    r"|p\.m|o'?clock|mm|cm|metres?|meters?|km|miles?|inches|feet|ft|volts?|v|amps?|ma|watts?|w"
    r"|ohms?|[kmg]?hz|degrees?|deg|°|%|percent|per ?cent|pounds?|lbs?|ounces?|oz|kg|grams?|g|psi"
    r"|bar|rpm|mph|dollars?|euros?|pence|usd|each|every|people|persons|customers|machines|pages"
    r"|dozen|letters|questions|stitches|spi|turns?|times|pieces|pcs|teeth|layers?|plies|ply|wt"
    r"|weight|tex|denier|items|parts|families|homes?|students|members|viewers|minutes|spools"
    r"|bobbins|needles|points?|goals?|win|wins|loss|defeat|victory|ml|litres?|gallons?|drops?"
    r"|mesh|grit|oil|range|ratio|scale|january|february|march|april|may|june|july|august"
    r"|september|october|november|december|jan|feb|mar|apr|jun|jul|aug|sept?|oct|nov|dec)"
)


@cache
def _patterns() -> dict[str, re.Pattern[str]]:
    return {
        "soon": re.compile(
            rf"[ ,]?(?:[ \n-]\(?{ADJECTIVE}[,)]?){{0,4}}[ \n-]\(?{FASTENER}\b(?! (?:weight|spool"
            rf"|of cotton))"
        ),
        "many": re.compile(
            rf"(?:[ \n-]{ADJECTIVE}){{0,4}}[ \n-](?:[a-z]*screws|bolts|nuts|studs|holes|taps"
            rf"|inserts)\b"
        ),
        "later": re.compile(
            r"(?:[ \n-](?!of\b|at\b|in\b|on\b|for\b|when\b|until\b|before\b|after\b|per\b|a\b"
            r"|the\b)"
            rf"[a-z-]+){{0,4}}[ \n-]{FASTENER}\b"
        ),
        "bears": re.compile(
            rf"(?:\b{FASTENER}|\bsizes?|\bscrewed|\bcut|\bchased|\bcalled)\b[ ,:=(]*"
            r"(?:(?:is|are|was|were|it|it's|its|to|for|as|at least|a|an|the|take|takes|size|of"
            r"|probably|about|say|says|said|i|think|just|only|marked|needs?|wants?|should|be"
            r"|being|by|called)[ :]+){0,5}$"
        ),
        "counts": re.compile(
            rf"[ -]?(?:to |or so )?{_UNITS}\b|[ ]?[%°$£€:]|(?<=\d)[%°]"
            r"| (?:of (?:them|the|these|those|us|my|our)|a (?:day|week|month|year|time)"
            r"|per(?! inch)|in all|to (?:do|go|come))\b"
        ),
        "symbol": re.compile(r" ?[AVWKCFNJ](?![\w.])"),
        "plural": re.compile(
            r" (?!(?:brass|stainless|across|less|is|was|this|as|has|us|unless|thus|plus|always"
            r"|goes|fits|takes|holds|binds|starts|runs|seems|looks|needs|strips|reads|means"
            r"|works|stands|comes|belongs|enters|drops|stays|sits|gives|uses|wants|lies|ends"
            r"|says|screws?|asks|serves|does)\b)[a-z]{2,}s\b"
        ),
        "against": re.compile(
            r"(?:\b(?:pages?|pp?\.|lines?|chapters?|verses?|sections?|steps?|rows?|figs?\.?"
            r"|figures?|ages?|aged|mon|tues?|wed|thurs?|fri|sat|sun|between|from|scored?|won"
            r"|lost|beat|beaten|by|trail(?:s|ed|ing)?|ended|finished|extension|fax|seats?|grid|notes?"
            r"|volumes?|vols?\.?|costs?|until|till|open|sent|luke|john|mark|matthew|genesis"
            r"|exodus|isaiah|ratio|tel\.?|phone|call|ext\.?|models?|type|serial|part"
            r"|parts? (?:no|number)s?\.?|catalogue|cat\.?|ref\.?|order|lots?|batch|article"
            r"|clauses?|rules?|room|flat|bus|route|platform|every|within|lasts?|questions?"
            r"|slides?|class|iso|din|jis|bs|en|iec|item|ticket|invoice|track|weeks?|days?"
            r"|psalms?|acts|january|february|march|april|may|june|july|august|september|october"
            r"|november|december|jan|feb|mar|apr|jun|jul|aug|sept?|oct|nov|dec)"
            r"|[$£€~@])[ :#]*(?:\d+-\d+(?:,|,? and|,? or) )*$"
        ),
        "taken": re.compile(
            r"\b(?:takes?|took|taken|fits?|fitted|uses?|used|needs?|needed|wants?|accepts?"
            r"|goes|went|cut|strip(?:s|ped)|tap(?:s|ped)?|thread(?:s|ed)?|chased?|drill(?:ed)?"
            r"|screwed|is|was|are|were|it|its|it's|be|been|say|says|buy|bought|has|have"
            r"|ask(?:ed)?|try|tried|think|guess|had|with|into)"
            r"(?: (?:an?|the|to|for|in|into|out|by|size|my|your"
            r"|new|standard|only|just|probably|really|called|either|not|some|common|proper|odd|ordinary"
            r"|american|english|old|little|whatever|it|with))*[ :=(\"']{1,3}$"
        ),
        "for": re.compile(
            rf"\b{FASTENER}\b|\b(?:unc|unf|unef|bsw|bsf|whit(?:worth)?|tpi|pitch(?:es)?|metric"
            r"|coarse|fine|helicoil|inserts?|drills?|shank|gauges?|torque|tighten(?:ed)?|clamps?"
            r"|finger|thumbscrew|setscrew|washers?|spanner|wrench|lathe|castings?|brackets?"
            r"|sizes?|registers?|brass|steel|measured?|rev\b|needle|bobbin|tensions?|presser|plates?|nm|n·m|lbf)\b"
            r"|\bm\d{1,2}\b|#\d|\b\d/\d{1,2} ?[-x] ?\d\d\b|\b(?:[02468]|1[02])-(?:24|28|32|36|40|44"
            r"|48|56|64|72|80)\b|\b\d{1,2} ?ba\b"
        ),
        "goes": re.compile(
            r" (?:pairs?|went (?:in|on|through)|goes|fits|fitted|binds|bound|starts|started"
            r"|stripped|strips|sheared|snapped|seized|drops? (?:in|through)"
            r"|would not (?:go|start|enter)"
            r"|(?:is|was) (?:right|wrong|correct|too|loose|tight|it|what))\b"
        ),
        "stop": re.compile(r"[.!?;](?=\s)|\n\n"),
        "address": re.compile(
            r" (?:[a-z]+ )?(?:street|st|road|rd|lane|avenue|ave|place|square|row|terrace|hill"
            r"|mews|drive|court|close|way|yard)\b| (?:[mgk]b|v[da]c|v|lens(?:es)?)\b"
        ),
        "game": re.compile(
            r"\b(?:scores?|scored|goals?|match|innings|league|team|o'clock|train|bus|flight"
            r"|pages|aged?|born|psalm|bible|yarn|denier|odds|votes?|results?|finals?|half[ -]time"
            r"|season|beat|beaten|address|fax|extension|saturday|sunday)\b"
        ),
        "pages": re.compile(
            r"(?:\b(?:pages?|pp?\.|chapters?|verses?|ratios?|odds|scores?|scale|v)|[$£€])[ :]*$"
        ),
        "code": re.compile(
            r"(?:(?:part|serial|model|order|lot|item|ref|catalogue|cat|stock|drawing|figure|fig"
            r"|plate|p/n|sku|codes?|tables?|paragraphs?|numbers|items?|issue|ticket|invoice|room"
            r"|house|type|class|gate|grade|series)\.? )"
            r"(?:no\.? ?|number |nr\.? |#)?$"
        ),
        "at": re.compile(r"\b(?:at|by|until|till|before|after|around|about|since|past|the)[ \n]$"),
        "threads": re.compile(
            r"^(?!.*\b(?:stitch|spi\b|teeth|saw\b)).*\b(?:thread|screw|pitch|tap\b|gauge)"
        ),
        "tightening": re.compile(
            r"tighten|torque|\btight|snug|nip(?:ped)? |wrench|spanner|screw|bolt|\bnuts?\b|newton"
            r"|\bdo(?:ne|ing)? (?:it |them )?up\b|clamp|strip|pinch"
        ),
    }


def names_thread_soon(low: str, at: int, *, strictly: bool) -> bool:
    """Return whether a word for a fastener follows ``at``, behind adjectives.

    Shape: ``strictly`` takes only adjectives of fasteners between; else any
    words but those that turn the sentence elsewhere.
    """
    patterns = _patterns()
    if patterns["soon"].match(low, at):
        return True
    return not strictly and patterns["later"].match(low, at) is not None


def names_many_soon(low: str, at: int) -> bool:
    """Return whether several fasteners are named behind ``at``: "brass screws"."""
    return _patterns()["many"].match(low, at) is not None


def bears_thread(low: str, at: int) -> bool:
    """Return whether the words before ``at`` announce a thread: "tapped", "the thread is"."""
    return _patterns()["bears"].search(low[max(0, at - 60) : at]) is not None


def names_symbol(plain: str, at: int) -> bool:
    """Return whether a unit's capital follows ``at``: "10-32 A" are amperes."""
    return _patterns()["symbol"].match(plain, at) is not None


def counts_something(low: str, at: int) -> bool:
    """Return whether what follows ``at`` is a unit or a thing counted."""
    patterns = _patterns()
    return patterns["counts"].match(low, at) is not None


def speaks_against(low: str, start: int, end: int) -> bool:
    """Return whether the context says that a pair of whole numbers is no number size."""
    patterns = _patterns()
    before = low[max(0, start - 45) : start]
    if patterns["against"].search(before):
        return True
    if patterns["plural"].match(low, end) is not None:
        return True
    return patterns["game"].search(low, max(0, start - 60), min(len(low), end + 60)) is not None


def speaks_for(low: str, start: int, end: int) -> bool:
    """Return whether the sentence says that a pair of whole numbers is a thread.

    Shape: a verb of fitting or of being right before it, or a word of the trade or
    another designation in the same sentence, not further than ``SENTENCE`` away.
    Lists of what else a pair could be never end: scores, addresses, extensions.
    """
    patterns = _patterns()
    before, after = low[max(0, start - SENTENCE) : start], low[end : end + SENTENCE]
    begin = max((match.end() for match in patterns["stop"].finditer(before)), default=0)
    stop = patterns["stop"].search(after)
    rest = after[: stop.start() if stop else None]
    if patterns["address"].match(rest):
        return False
    if patterns["taken"].search(before[-40:]) or patterns["goes"].match(rest):
        return True
    return any(patterns["for"].search(part) for part in (before[begin:], rest))


def says_nothing_else(low: str, start: int, end: int) -> bool:
    """Return whether the text is nothing but what stands from ``start`` to ``end``."""
    if start > NEAR or len(low) - end > NEAR:
        return False
    before = low[:start].strip(" \n\"'([")
    return before in ("", "a", "an", "the") and not low[end:].strip(" .?!\n\"')]")


def counts_pages(low: str, start: int) -> bool:
    """Return whether the word before ``start`` makes a page, a ratio or a price of a figure."""
    return _patterns()["pages"].search(low[max(0, start - 14) : start]) is not None


def is_code(low: str, start: int) -> bool:
    """Return whether the words before ``start`` announce a number of another kind."""
    return _patterns()["code"].search(low[max(0, start - 30) : start]) is not None


def told_by_clock(low: str, start: int) -> bool:
    """Return whether the word before ``start`` announces a time of day."""
    return _patterns()["at"].search(low[max(0, start - 10) : start]) is not None


def speaks_of_threads(low: str, start: int, end: int) -> bool:
    """Return whether threads, and not stitches, are spoken of near by."""
    near = low[max(0, start - 80) : end + 60]
    return _patterns()["threads"].search(near) is not None


def speaks_of_tightening(low: str, start: int, end: int) -> bool:
    """Return whether a tightness is spoken of near by."""
    found = _patterns()["tightening"].search(low, max(0, start - 70), min(len(low), end + 50))
    return found is not None
