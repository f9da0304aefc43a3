"""Rows of the table of codes: links and addresses."""

from kbgen.findings.code import Code, Severity

__all__ = ["LINKS"]

LINKS: tuple[Code, ...] = (
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
)
