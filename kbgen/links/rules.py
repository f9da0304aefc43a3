"""The rules of the links: what each finding of this room looks for."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from urllib.parse import urlsplit

from kbgen.content import Note, Source, Tree, is_unsafe
from kbgen.content.models import Standing
from kbgen.findings import Finding, finding
from kbgen.links.edge import Edge, Relation
from kbgen.links.origins import sources
from kbgen.links.reference import LINK_SCHEMES, Reference, Scheme, parse_reference
from kbgen.links.target import dead, did_you_mean, standing_of
from kbgen.links.written import WrittenLink, links_in_body, links_in_fields
from kbgen.text import NotationError
from kbgen.units import HouseThreads

__all__ = [
    "dead_links",
    "fragment_edges",
    "links_to_unpublished",
    "lonely_notes",
    "written_edges",
    "written_in_file",
    "written_in_note",
]

_SCHEME = re.compile(r"([A-Za-z][A-Za-z0-9+.-]*):")
_OUTSIDE = ("http", "https", "mailto")
_MAILBOX = re.compile(r"mailto:[^@\s]+@[^@\s]+$")
_SHOWN = 60  # letters of a target that a message shows
_OUR_WORDS = ("answer",)  # of a question: whatever else stands in it, an asker wrote
_OURS = ", ".join(f"{name}:" for name in LINK_SCHEMES)


def written_edges(tree: Tree) -> tuple[list[Edge], list[Finding]]:
    """Return the links that somebody wrote, and findings for those that name nothing."""
    found = [written_in_note(note) for note in tree.notes.values()]
    found += [
        written_in_file(origin, source)
        for origin, source in sources(tree)
        if origin.scheme is not Scheme.NOTE
    ]
    return [edge for edges, _ in found for edge in edges], [one for _, w in found for one in w]


def fragment_edges(tree: Tree) -> tuple[list[Edge], list[Finding]]:
    """Return the same for what could be read of broken files: they only can be dead.

    Nothing speaks for a broken file; the list of notes stands in for it.
    """
    origin = Reference(Scheme.PAGE, "notes")
    return _edges(
        (origin, link, body.source.path)
        for body in tree.fragments
        for link in (*links_in_body(body), *links_in_fields(body.source))
    )


def _edges(
    links: Iterable[tuple[Reference, WrittenLink, str]],
) -> tuple[list[Edge], list[Finding]]:
    edges: list[Edge] = []
    wrong: list[Finding] = []
    for origin, link, path in links:
        scheme = _SCHEME.match(link.target)
        if link.image:
            wrong.append(_picture(link, path))
            continue
        if scheme is None or scheme[1] not in LINK_SCHEMES:
            wrong += _outside(link, path, scheme[1] if scheme else "")
            continue
        try:
            target = parse_reference(link.target)
        except NotationError as slip:
            hint = slip.hint or f"links inside the site begin with one of {_OURS}"
            wrong.append(_leads_nowhere(path, link.line, link.column, slip.message, hint))
            continue
        edges.append(Edge(path, link.line, link.column, origin, target, Relation.PROSE))
    return edges, wrong


def written_in_note(note: Note) -> tuple[list[Edge], list[Finding]]:
    """Return the links that a note's front matter and body hold, and what is wrong with them."""
    origin = Reference(Scheme.NOTE, str(note.number))
    return note.source.once(
        "written edges",
        lambda: _edges(
            (origin, link, note.source.path)
            for link in (*links_in_body(note), *links_in_fields(note.source))
        ),
        of_all=True,
    )


def written_in_file(origin: Reference, source: Source) -> tuple[list[Edge], list[Finding]]:
    """Return the links in the fields of a file that speaks for ``origin``, and what is wrong."""
    only = _OUR_WORDS if origin.scheme is Scheme.QUESTION else ()
    return source.once(
        f"edges of {origin}",
        lambda: _edges((origin, link, source.path) for link in links_in_fields(source, only)),
        of_all=True,
    )


def _picture(link: WrittenLink, path: str) -> Finding:
    return _leads_nowhere(
        path,
        link.line,
        link.column,
        f"the picture {_short(link.target)} stands in the prose, where it is not published",
        "put it into content/photos and name it in the front matter, under photos, with words "
        "for those who cannot see it",
    )


def _outside(link: WrittenLink, path: str, scheme: str) -> Iterator[Finding]:
    """Yield what is wrong with a link that does not use a scheme of ours."""
    if is_unsafe(link.target) or (scheme and scheme not in _OUTSIDE and not _slip_of(scheme)):
        yield _unsafe(link, path, scheme)
    elif not scheme:
        yield _leads_nowhere(
            path,
            link.line,
            link.column,
            f"{_short(link.target)} is no address: pages move about, their names do not",
            f"links inside the site begin with one of {_OURS}",
        )
    elif scheme not in _OUTSIDE:
        message = f"{scheme!r} is none of the schemes {', '.join(LINK_SCHEMES)}"
        yield _leads_nowhere(path, link.line, link.column, message, _slip_of(scheme))
    elif not _whole(link.target):
        what = "address to write to" if scheme == "mailto" else "web address"
        message = f"{_short(link.target)} is no whole {what} (RFC 3986, RFC 6068)"
        yield _leads_nowhere(path, link.line, link.column, message, "copy the whole address")


def _whole(target: str) -> bool:
    """Return whether an address outside the site names a host, or somebody to write to."""
    if target.startswith("mailto:"):
        return _MAILBOX.match(target) is not None
    try:
        host = urlsplit(target).hostname
    except ValueError:
        return False
    return bool(host) and not re.search(r"\s", host or "")


def _short(target: str) -> str:
    """Return a target as a message shows it."""
    return repr(target if len(target) <= _SHOWN else f"{target[: _SHOWN - 1]}…")


def _slip_of(scheme: str) -> str:
    """Return a hint at the scheme of ours that was meant, empty where none is near."""
    return did_you_mean(scheme.lower(), LINK_SCHEMES, "")


def _unsafe(link: WrittenLink, path: str, scheme: str) -> Finding:
    """Say why a link is not published, and what to write instead."""
    if not scheme:
        what, hint = "an address without its scheme", "write https: in front of it"
    elif scheme in _OUTSIDE:
        what, hint = "an address with a name or a password in it", "write it without"
    else:
        what = f"a link of the kind {scheme}:"
        hint = f"links begin with https:, http:, mailto: or one of {_OURS}, in small letters"
    message = (
        f"{what} is not published: it could run or give away something ({_short(link.target)})"
    )
    return finding("link-scheme-unsafe", path, link.line, link.column, message, hint)


def _leads_nowhere(path: str, line: int, column: int, message: str, hint: str) -> Finding:
    return finding("link-leads-nowhere", path, line, column, message, hint)


def dead_links(
    tree: Tree, house: HouseThreads, candidates: Iterable[Edge]
) -> tuple[list[Edge], list[Finding]]:
    """Return the links whose target is there, and a finding for each of the others."""
    alive: list[Edge] = []
    wrong: list[Finding] = []
    known: dict[Reference, tuple[str, str] | None] = {}
    for edge in candidates:
        if edge.target not in known:
            found = dead(tree, house, edge.target)
            known[edge.target] = (found.message, found.hint) if found else None
        reason = known[edge.target]
        if reason is None:
            alive.append(edge)
        else:
            wrong.append(_leads_nowhere(edge.path, edge.line, edge.column, *reason))
    return alive, wrong


def links_to_unpublished(tree: Tree, edges: Iterable[Edge]) -> Iterator[Finding]:
    """Yield the published places that lead to a draft or to a withdrawn note.

    A note's own successor is where it leads once it is withdrawn: that one must be
    published too. What a draft leads to is its own affair until it is published.
    """
    unpublished = {
        Reference(Scheme.NOTE, str(number)): note
        for number, note in tree.notes.items()
        if note.front.standing is not Standing.PUBLISHED
    }
    for edge in edges:
        if edge.target not in unpublished:
            continue
        origin = standing_of(tree, edge.origin)
        gone = origin is Standing.WITHDRAWN and edge.relation is not Relation.SUCCESSOR
        if origin is not Standing.DRAFT and not gone:
            yield from _to_unpublished(unpublished[edge.target], edge)


def _to_unpublished(note: Note, edge: Edge) -> Iterator[Finding]:
    number = note.number
    place = (edge.path, edge.line, edge.column)
    if note.front.standing is Standing.DRAFT:
        yield finding(
            "link-to-draft",
            *place,
            f"note {number} is a draft, which is not published: readers would find nothing there",
            f"publish {note.source.path} (standing: published), or leave the link out until then",
        )
        return
    if edge.relation is Relation.SUCCESSOR:
        return
    successor = note.front.successor
    yield finding(
        "link-to-withdrawn",
        *place,
        f"note {number} is withdrawn"
        + (f"; its successor is note {successor}" if successor else ""),
        f"link to note:{successor}" if successor else "leave the link out",
    )


def lonely_notes(tree: Tree, edges: Iterable[Edge]) -> Iterator[Finding]:
    """Yield the published notes that no other file names."""
    reached = {
        edge.target.target
        for edge in edges
        if edge.target.scheme is Scheme.NOTE and edge.origin != edge.target
    }
    for number, note in tree.notes.items():
        if note.front.standing is Standing.PUBLISHED and str(number) not in reached:
            place = note.source.place("title")
            yield finding(
                "nothing-leads-here",
                note.source.path,
                place.line,
                place.column,
                f"no other note, chapter, family or part leads to note {number}",
                f"link to it where somebody with that trouble is reading: [words](note:{number})",
            )
