"""The table of codes: one row for everything an inspection can report."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

__all__ = ["CODES", "Code", "Severity", "code_named"]


class Severity(StrEnum):
    """How much a finding weighs; only an error stops a build."""

    ERROR = "error"
    WARNING = "warning"
    ADVICE = "advice"


@dataclass(frozen=True, slots=True)
class Code:
    """One row of the table.

    Shape: ``name`` is a few plain words; ``why`` says why the rule exists;
    ``accepts`` and ``reports`` are the shortest example of each; ``source`` is
    the authority it rests on. Full cases stand in ``tests/cases/NAME.md``.
    """

    name: str
    severity: Severity
    why: str
    accepts: str
    reports: str
    source: str


CODES: tuple[Code, ...] = (
    # --- notation: what the units check objects to
    Code(
        "thread-in-no-series",
        Severity.ERROR,
        "A diameter and a pitch that no series pairs is a slip, and a wrong thread "
        "passed on ruins a casting.",
        "M4x0.7",
        "M4x0.8",
        "ISO 261; ASME B1.1; BS 84; BS 93",
    ),
    Code(
        "series-on-wrong-pair",
        Severity.ERROR,
        "A series that does not hold its pair means that one of the three is a slip.",
        "1/4-20 UNC",
        "1/4-20 UNF",
        "ASME B1.1; BS 84; BS 811",
    ),
    Code(
        "thread-not-declared",
        Severity.ERROR,
        "A house thread is declared once, with what it rests on; without that it is a rumour.",
        "13/64-32 house, where content/threads.yaml has it",
        "13/64-32 house, where it has not",
        "house rule: what no series holds is declared",
    ),
    Code(
        "thread-said-in-part",
        Severity.ADVICE,
        "What is only said in part, or fits two series, is never completed by a guess.",
        "1/4-20 UNC",
        "20 TPI; 1/4-20",
        "ASME B1.1; BS 84",
    ),
    Code(
        "torque-units-disagree",
        Severity.ERROR,
        "A torque stated in two units is two torques when they differ, and one tears the thread.",
        "12 N·m (9 lbf·ft)",
        "12 N·m (20 lbf·ft)",
        "NIST SP 811, appendix B.8",
    ),
    Code(
        "length-units-disagree",
        Severity.ERROR,
        "A length stated in two units is two lengths when they differ.",
        "9.5 mm (3/8 in)",
        "9.5 mm (1/2 in)",
        "NIST SP 811, appendix B.8",
    ),
    Code(
        "unit-spelling-ambiguous",
        Severity.WARNING,
        "A force without its arm is no torque, and which arm was meant is a guess.",
        "tighten to 12 lbf·in",
        "tighten to 12 lb",
        "NIST SP 811, appendix B.8",
    ),
    # --- links and addresses
    Code(
        "link-leads-nowhere",
        Severity.ERROR,
        "A reader who follows a link must arrive; a dead one costs the trust in all the others.",
        "[the tyre](part:winder-tyre), where content/parts/winder-tyre.yaml stands",
        "[the tyre](part:winder-tire), where no such part is",
        "house rule: what links promise",
    ),
    Code(
        "link-to-draft",
        Severity.ERROR,
        "A draft is not published, so a link to it would be dead on the site.",
        "[hook timing](note:17), where note 17 is published",
        "[hook timing](note:17), where note 17 is a draft",
        "house rule: what links promise",
    ),
    Code(
        "link-to-withdrawn",
        Severity.WARNING,
        "The reader is taken along to the successor, but the sentence around the link was "
        "written about the old note.",
        "[hook timing](note:23)",
        "[hook timing](note:17), where note 17 is withdrawn in favour of 23",
        "house rule: what links promise",
    ),
    Code(
        "link-scheme-unsafe",
        Severity.ERROR,
        "Some kinds of links run code, reach into the reader's machine, or give a password away.",
        "[the shop](https://shop.example.org/)",
        "[the shop](file:///etc/hosts)",
        "RFC 3986, clauses 3.1, 3.2.1 and 4.2; WHATWG URL, clause 4.3",
    ),
    Code(
        "nothing-leads-here",
        Severity.ADVICE,
        "A note that nothing names is found by lists and search alone; whoever reads about the "
        "trouble next to it never sees it.",
        "note 17, linked to by note 4 or by a chapter of a recording",
        "note 17, named by no other file",
        "house rule: cross-links",
    ),
    Code(
        "address-would-be-lost",
        Severity.ERROR,
        "Links under recordings and in letters cannot be called back: an address once published "
        "must lead somewhere for ever.",
        "m/old.html led on to m/new.html in content/addresses.tsv",
        "m/old.html in the ledger, the family's file removed, and no successor named",
        "W3C, Cool URIs don't change (1998)",
    ),
    Code(
        "address-taken-again",
        Severity.ERROR,
        "Whoever follows an old link to a number must not arrive at another subject.",
        "a new note with the next free number",
        "a new note with the number of one that was withdrawn and removed",
        "W3C, Cool URIs don't change (1998)",
    ),
    Code(
        "address-ledger-damaged",
        Severity.ERROR,
        "A ledger that cannot be read whole would let addresses be lost without a word.",
        "index.html, a tab, index.html",
        "a line without a tab, or the marks of an unfinished merge",
        "house rule: the address ledger",
    ),
    # --- files: names, bytes, YAML, keys and values
    Code(
        "file-unreadable",
        Severity.ERROR,
        "A file that cannot be read is a part of the shelf that is missing.",
        "a plain file",
        "a folder without permission, a pipe",
        "common practice, no published source",
    ),
    Code(
        "file-too-large",
        Severity.ERROR,
        "A content file is text that somebody wrote; a huge one is a slip of the hand, and "
        "would stop everything else.",
        "a note of some kilobytes",
        "a note of 1,000,001 bytes",
        "common practice, no published source",
    ),
    Code(
        "file-unknown",
        Severity.WARNING,
        "A file that nothing makes use of is mostly one that was misnamed or put into the wrong"
        " folder.",
        "content/notes/0017-winder-tyre-slips.md",
        "content/notes/winder.txt",
        "common practice, no published source",
    ),
    Code(
        "file-empty",
        Severity.ERROR,
        "A file without anything in it was begun and forgotten, or lost its text.",
        "name: Larch Row Bench",
        "nothing but blank lines",
        "common practice, no published source",
    ),
    Code(
        "name-wrong",
        Severity.ERROR,
        "The number and the id of a thing stand in its file name, and addresses are made of them.",
        "0017-winder-tyre-slips.md",
        "17 Winder Tyre.md",
        "common practice, no published source",
    ),
    Code(
        "name-collides",
        Severity.ERROR,
        "Two names that differ in capitals only are one file on many disks, and one of the two "
        "is lost.",
        "tyre.yaml, belt.yaml",
        "Tyre.jpg, tyre.jpg",
        "common practice, no published source",
    ),
    Code(
        "number-twice",
        Severity.ERROR,
        "A number is an address; two notes with one number would be published in one place.",
        "0017-a.md, 0018-b.md",
        "0017-a.md, 0017-b.md",
        "common practice, no published source",
    ),
    Code(
        "id-twice",
        Severity.ERROR,
        "An id names one thing; a reference to it must not have two answers.",
        "id: needle-clamp once",
        "id: needle-clamp twice in one register",
        "common practice, no published source",
    ),
    Code(
        "link-outside",
        Severity.ERROR,
        "A symbolic link out of the tree would publish what was never meant to be published.",
        "a link to a file in content/",
        "a link to /etc/hostname",
        "CWE-59",
    ),
    Code(
        "text-undecodable",
        Severity.ERROR,
        "Text in another encoding shows wrong letters and wrong fractions.",
        "½ in UTF-8",
        "½ in Windows-1252",
        "RFC 3629",
    ),
    Code(
        "byte-order-mark",
        Severity.WARNING,
        "UTF-8 needs no byte order mark, and many tools take it for text.",
        "---",
        "U+FEFF ---",
        "RFC 3629, section 6; the Unicode Standard, section 23.8",
    ),
    Code(
        "text-unseen",
        Severity.ERROR,
        "A character that no editor shows can hide a slip, or make a text read otherwise than "
        "it is.",
        "1/4-20 UNC",
        "1/4-20 UNC with U+202E in it",
        "the Unicode Standard, section 23.1; UTR 36, section 2.4; YAML 1.2.2, section 5.1",
    ),
    Code(
        "front-matter-missing",
        Severity.ERROR,
        "A note without its front matter says neither what it is about nor for which machines.",
        "--- title: … ---",
        "a text without ---",
        "common practice, no published source",
    ),
    Code(
        "yaml-unreadable",
        Severity.ERROR,
        "What cannot be read cannot be checked.",
        'title: "Winder: tyre"',
        "title: Winder: tyre",
        "YAML 1.2.2",
    ),
    Code(
        "yaml-tab",
        Severity.ERROR,
        "A tab looks like spaces and counts as none of them.",
        "two spaces before a key",
        "a tab before a key",
        "YAML 1.2.2, section 6.1",
    ),
    Code(
        "yaml-too-deep",
        Severity.ERROR,
        "No content file is nested deeply; deep nesting is a slip or an attack.",
        "a list in a list",
        "thirteen brackets in one another",
        "CWE-674",
    ),
    Code(
        "yaml-alias",
        Severity.ERROR,
        "An alias hides a value where it counts, and aliases of aliases can fill any memory.",
        "the value written out",
        "*screw",
        "YAML 1.2.2, section 7.1; CWE-776",
    ),
    Code(
        "yaml-tag",
        Severity.ERROR,
        "A tag gives a value a type that its reader does not see; every value here is what is "
        "written.",
        "quantity: 1",
        "quantity: !!str 1",
        "YAML 1.2.2, section 6.8.1",
    ),
    Code(
        "yaml-documents",
        Severity.ERROR,
        "A content file holds one thing; what follows a second --- would be passed over in "
        "silence.",
        "one document",
        "a second --- in a family",
        "YAML 1.2.2, section 9.2",
    ),
    Code(
        "key-twice",
        Severity.ERROR,
        "Of two equal keys one is passed over in silence, and nobody knows which.",
        "torque: 1.0 N·m once",
        "torque: twice in one row",
        "YAML 1.2.2, section 3.2.1.3",
    ),
    Code(
        "key-unknown",
        Severity.ERROR,
        "A key with a slip in it would be passed over in silence.",
        "symptom:",
        "sympton:",
        "common practice, no published source",
    ),
    Code(
        "key-missing",
        Severity.ERROR,
        "What every reader needs may not be missing.",
        "basis: measured",
        "a register row without basis",
        "common practice, no published source",
    ),
    Code(
        "value-wrong",
        Severity.ERROR,
        "A value of another shape means something else than was meant.",
        "revised: 2026-03-04",
        "revised: 2026-3-4",
        "common practice, no published source; days: ISO 8601-1",
    ),
    Code(
        "value-misread-elsewhere",
        Severity.WARNING,
        "This program keeps what is written; other readers of YAML make another value of it.",
        'at: "12:40"',
        "at: 12:40",
        "YAML 1.1 types (int, float, bool, null, timestamp); YAML 1.2.2, section 10.3",
    ),
    Code(
        "dates-out-of-order",
        Severity.ERROR,
        "A note cannot be revised before it was published.",
        "first 2026-01-10, revised 2026-03-04",
        "first 2026-03-04, revised 2026-01-10",
        "common practice, no published source",
    ),
    Code(
        "successor-missing",
        Severity.ERROR,
        "The address of a withdrawn note has to lead on, and only a withdrawn note is replaced.",
        "standing: withdrawn, successor: 18",
        "standing: withdrawn alone",
        "common practice, no published source",
    ),
    Code(
        "tightness-twice",
        Severity.WARNING,
        "A torque and a tightness in words for one fastener leave the reader to choose.",
        "torque: 1.0 N·m",
        "torque: 1.0 N·m with tightness: snug",
        "common practice, no published source",
    ),
    Code(
        "chapter-out-of-order",
        Severity.ERROR,
        "A chapter that begins after the end, or before the one above it, leads to another moment.",
        "0:00, 12:40",
        "12:40, 0:00",
        "common practice, no published source",
    ),
    Code(
        "captions-wrong",
        Severity.ERROR,
        "A caption whose time cannot be read is lost to everybody who reads instead of listening.",
        "00:12:40.000 --> 00:12:43.500",
        "12.40 --> 12.43",
        "W3C WebVTT, sections 4.1 to 4.3",
    ),
    # --- checks: what files say of each other
    Code(
        "figure-unreadable",
        Severity.ERROR,
        "A field that is a figure holds one figure of its kind; what cannot be read cannot be "
        "checked.",
        "torque: 1.0 N·m",
        "torque: hand tight or so",
        "house rule: a figure is checked",
    ),
    Code(
        "prose-contradicts-register",
        Severity.ERROR,
        "A figure has one home, the row of its family's register; a text that says otherwise "
        "sends the reader to the wrong screw.",
        "the needle clamp screw is SM1/8-44, as its row says",
        "the needle clamp screw is M4x0.7, where its row says SM1/8-44",
        "house rule: one home for a figure",
    ),
    Code(
        "caption-contradicts-register",
        Severity.WARNING,
        "A film cannot be re-cut; a slip in it lives on until a correction is written beside it.",
        "the same slip, with a correction of the recording",
        "a film that says M4x0.7 of a screw that is SM1/8-44",
        "house rule: one home for a figure",
    ),
    Code(
        "caption-figure-wrong",
        Severity.WARNING,
        "A film cannot be re-cut; a thread that cannot be needs a correction beside it.",
        "the same slip, with a correction of the recording",
        "a film that says M4x0.8",
        "ISO 261; ASME B1.1; BS 84; BS 93",
    ),
    Code(
        "withdrawn-figure-stands",
        Severity.ERROR,
        "A figure that was corrected in one place and still stands in another is believed there.",
        "the corrected figure everywhere",
        "9/64-40 in a note, where the register row has withdrawn it",
        "house rule: one home for a figure",
    ),
    Code(
        "figure-away-from-home",
        Severity.WARNING,
        "A torque that stands in a text and not in the register has no basis and no source, and "
        "nobody corrects it.",
        "tighten the bed bolt to 4 N·m, as its row says",
        "tighten the needle clamp to 4 N·m, where its row has no torque",
        "house rule: one home for a figure",
    ),
    Code(
        "places-disagree",
        Severity.ERROR,
        "One place on one family has one thread; of two statements that differ, one is wrong.",
        "two notes that give one place the same thread",
        "two notes that give one place different threads",
        "house rule: one home for a figure",
    ),
    Code(
        "figure-disputed",
        Severity.ADVICE,
        "A figure that somebody else holds to be another is worth measuring again.",
        "a row without disputed",
        "disputed: [{says: 10-32 UNF, source: a reader}]",
        "house rule: what is not certain is said",
    ),
    Code(
        "torque-above-proof",
        Severity.ERROR,
        "A torque that takes a screw of the strongest reading past its proof stress stretches it "
        "or tears the hole.",
        "M4x0.7, class 8.8, 2.5 N·m",
        "M4x0.7, class 8.8, 12 N·m",
        "ISO 898-1 (proof stress); T = K·F·d, NASA-TM-106943",
    ),
    Code(
        "torque-high",
        Severity.ADVICE,
        "Above three quarters of proof little is left for what was assumed.",
        "M4x0.7, class 8.8, 2.0 N·m",
        "M4x0.7, class 8.8, 3.4 N·m",
        "ISO 898-1 (proof stress); T = K·F·d, NASA-TM-106943",
    ),
    Code(
        "torque-low",
        Severity.ADVICE,
        "A torque that hardly loads the screw is mostly a slip of the unit.",
        "M8x1.25, 10 N·m",
        "M8x1.25, 0.1 N·m",
        "T = K·F·d, NASA-TM-106943",
    ),
    Code(
        "strength-unknown",
        Severity.ERROR,
        "A strength class that no standard has cannot be reckoned with.",
        'strength: "8.8"',
        "strength: very hard",
        "ISO 898-1; ISO 3506-1; SAE J429",
    ),
    Code(
        "mix-up",
        Severity.ADVICE,
        "Two fasteners of one family that start in each other's holes get swapped, and the "
        "second one tears the thread.",
        "3/8-24 UNF and 1/2-20 UNF on one machine",
        "3/8-24 UNF and 3/8-28 UN on one machine",
        "common practice, no published source; geometry of ASME B1.1",
    ),
    Code(
        "house-thread-is-standard",
        Severity.WARNING,
        "A house thread is one that no series holds; declared beside a series it hides what the "
        "screw is called.",
        "3/16-28 house",
        "1/4-20 house",
        "ASME B1.1; ISO 261; BS 84; BS 93; JIS B 0226",
    ),
    Code(
        "house-thread-declared-twice",
        Severity.WARNING,
        "A house thread is declared once, with one basis.",
        "3/16-28 house once",
        "3/16-28 house twice",
        "house rule: one home for a figure",
    ),
    Code(
        "mains-work-without-caution",
        Severity.ERROR,
        "Advice about mains wiring can kill; the caution stands before the first step.",
        "a note on rewiring a lamp that carries the hazard mains-shock",
        "the same note without it",
        "common practice, no published source",
    ),
    Code(
        "hazard-missing",
        Severity.ERROR,
        "A hazard lists the words that call for it, so that nobody has to remember it.",
        "white spirit in the prose, hazards: [solvent-fumes]",
        "white spirit in the prose, no hazard",
        "house rule: cautions",
    ),
    Code(
        "hazard-unknown",
        Severity.ERROR,
        "A caution that is not declared is not printed.",
        "hazards: [mains-shock]",
        "hazards: [main-shock]",
        "house rule: cautions",
    ),
    Code(
        "hazard-without-consequence",
        Severity.ERROR,
        "Who is told what happens takes the caution seriously; only a notice is not about persons.",
        "signal: danger, consequence: It can kill.",
        "signal: danger without a consequence",
        "ANSI Z535.6",
    ),
    Code(
        "part-does-not-fit",
        Severity.ERROR,
        "A note must not send somebody to buy a part that its own file says does not fit.",
        "a note on a family that the part fits",
        "a note on families none of which the part fits",
        "house rule: parts and families",
    ),
    Code(
        "part-harms",
        Severity.WARNING,
        "A part that fits and harms is the one that gets bought; a note that needs it must know.",
        "a part that fits",
        "a part that fits but harms",
        "house rule: parts and families",
    ),
    Code(
        "fit-said-twice",
        Severity.ERROR,
        "Two answers to one question whether a part fits leave the reader to choose.",
        "one row for a family",
        "two rows for a family",
        "house rule: parts and families",
    ),
    Code(
        "photo-missing",
        Severity.ERROR,
        "A picture that is not there leaves a hole in the page.",
        "photos: [{file: tyre.png, …}], where content/photos/tyre.png stands",
        "the same without the file",
        "house rule: what a page shows",
    ),
    Code(
        "successor-in-a-circle",
        Severity.ERROR,
        "A withdrawn note has to lead on to one that stands.",
        "17 → 18",
        "17 → 18 → 17",
        "house rule: what links promise",
    ),
    Code(
        "variant-unknown",
        Severity.ERROR,
        "A row or a lot of a variant that the family does not have is never shown to anybody.",
        "variants: [boss], where the family has it",
        "variants: [bos]",
        "house rule: names are declared once",
    ),
    Code(
        "lots-overlap",
        Severity.ERROR,
        "A serial number was allotted once; two lots that share one give two ages for a machine.",
        "A 1 to A 99, A 100 to A 200",
        "A 1 to A 100, A 100 to A 200",
        "house rule: serial lots",
    ),
)

_BY_NAME = {code.name: code for code in CODES}


def code_named(name: str) -> Code:
    """Return the row of ``name``.

    Raises: KeyError for a name that is not in the table.
    """
    return _BY_NAME[name]
