"""The findings as they stand beside a page: its own first, then what is wrong elsewhere."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence

from markupsafe import Markup

from kbgen.findings import Finding, Severity, counts
from kbgen.links import printed_form
from kbgen.proof.proofs import Leaf, Reading

__all__ = ["page_of", "panel"]

_FILED = {"families": "m", "parts": "p", "recordings": "r"}
_NUMBERED = {"notes": "n", "questions": "q"}
_LISTS = {
    "hazards.yaml": "about.html",
    "workshop.yaml": "about.html",
    "symptoms.yaml": "symptoms.html",
    "threads.yaml": "screws.html",
    "vocabulary.yaml": "find.html",
}
_BEFORE, _AFTER = 40, 60
_SHOWN = 30
"""So many findings of one page are written out; a file that is no text has hundreds."""


def page_of(path: str) -> str:
    """Return the address of the page that a content file is about, the home page's for others."""
    _, _, inner = path.partition("/")
    folder, _, name = inner.rpartition("/")
    if folder in _FILED:
        return f"{_FILED[folder]}/{name.rpartition('.')[0]}.html"
    number = re.match(r"[Qq]?0*([1-9][0-9]{0,5})(?![0-9])", name, re.ASCII)
    if folder in _NUMBERED and number:
        return f"{_NUMBERED[folder]}/{int(number[1]):04}.html"
    return _LISTS.get(inner, "index.html")


def panel(reading: Reading, page: str, leaf: Leaf) -> Markup:
    """Return what stands beside a page. Shape: ``page`` is its address."""
    own: list[Finding] = []
    other: list[Finding] = []
    for found in reading.findings:
        about = page_of(found.path)
        (own if page in (about, printed_form(about)) else other).append(found)
    return Markup("").join(
        [
            *_standing(reading, page, leaf),
            *_own(own, reading),
            *_elsewhere(other, page),
            *_drafts(reading, page),
        ]
    )


def _standing(reading: Reading, page: str, leaf: Leaf) -> Iterator[Markup]:
    """Yield what is to be known of the page as a whole."""
    if reading.trouble:
        text = Markup('<p class="error">The tree cannot be read: {}. This is how it last was.</p>')
        yield text.format(reading.trouble)
    if leaf.failure:
        yield Markup('<p class="error">The page could not be made: {}</p>').format(leaf.failure)
    if leaf.data is None:
        yield Markup("<p>There is no such page.</p>")
    elif leaf.earlier:
        yield Markup('<p class="error">This is the page as it was before the errors.</p>')
    elif leaf.unfit:
        yield Markup('<p class="error">This page has errors, and would not be published.</p>')
    if page in dict(reading.drafts):
        yield Markup('<p class="draft">A draft: not published, readers do not see it.</p>')


def _own(findings: Sequence[Finding], reading: Reading) -> Iterator[Markup]:
    if not findings:
        yield Markup('<p class="fine">Nothing was found on this page.</p>')
        return
    pressing = [one for one in findings if one.severity is not Severity.ADVICE]
    advice = [one for one in findings if one.severity is Severity.ADVICE]
    if pressing:
        yield _listed(sorted(pressing, key=_by_severity), reading)
    if advice:
        opened = "" if pressing else Markup(" open")
        yield Markup("<details{}><summary>Advice ({})</summary>{}</details>").format(
            opened, len(advice), _listed(advice, reading)
        )


def _by_severity(found: Finding) -> tuple[int, Finding]:
    return list(Severity).index(found.severity), found


def _listed(findings: Sequence[Finding], reading: Reading) -> Markup:
    rows = Markup("").join(_row(found, reading) for found in findings[:_SHOWN])
    more = len(findings) - _SHOWN
    if more > 0:
        rows += Markup("<li>and {} more; kbgen inspect lists them all</li>").format(more)
    return Markup("<ol>{}</ol>").format(rows)


def _row(found: Finding, reading: Reading) -> Markup:
    hint = Markup('<p class="hint">{}</p>').format(found.hint) if found.hint else ""
    return Markup(
        '<li class="{severity}"><p><b>{severity}</b> {message}</p>{excerpt}{hint}'
        '<p class="place">{path}:{line}:{column}</p></li>'
    ).format(
        severity=str(found.severity),
        message=found.message,
        excerpt=_excerpt(found, reading),
        hint=hint,
        path=found.path,
        line=found.line,
        column=found.column,
    )


def _excerpt(found: Finding, reading: Reading) -> Markup:
    """Return the place in the file as it was read, what is at fault marked."""
    line = reading.lines.get((found.path, found.line), "")
    at = min(found.column - 1, len(line))
    if not line.strip():
        return Markup("")
    start, end = max(0, at - _BEFORE), at + _AFTER
    fault = re.match(r"\w\S*|\S?", line[at:])
    length = len(fault[0]) if fault else 0
    return Markup("<pre>{}{}<mark>{}</mark>{}{}</pre>").format(
        "…" if start else "",
        line[start:at],
        line[at : at + length],
        line[at + length : end],
        "…" if end < len(line) else "",
    )


def _elsewhere(findings: Sequence[Finding], page: str) -> Iterator[Markup]:
    """Yield where else errors and warnings stand, a line a page."""
    pressing = [one for one in findings if one.severity is not Severity.ADVICE]
    if not pressing:
        return
    pages: dict[str, list[Finding]] = {}
    for found in sorted(pressing, key=_by_severity):
        pages.setdefault(page_of(found.path), []).append(found)
    rows = (
        Markup('<li class="{}"><a href="{}">{}</a> {}</li>').format(
            str(group[0].severity), _link(page, address), group[0].path, _tally(group)
        )
        for address, group in list(pages.items())[:_SHOWN]
    )
    yield Markup("<h2>Elsewhere: {}</h2><ul>{}</ul>").format(
        _tally(pressing), Markup("").join(rows)
    )


def _tally(findings: Iterable[Finding]) -> str:
    tally = counts(tuple(findings))
    return ", ".join(f"{number} {name}" for name, number in tally.items() if number)


def _drafts(reading: Reading, page: str) -> Iterator[Markup]:
    if not reading.drafts:
        return
    rows = (
        Markup('<li><a href="{}">{}</a></li>').format(_link(page, address), title)
        for address, title in reading.drafts[:_SHOWN]
    )
    yield Markup("<h2>Drafts, which readers do not see</h2><ul>{}</ul>").format(
        Markup("").join(rows)
    )


def _link(page: str, address: str) -> str:
    return f"/{address}" if address != page else "#"
