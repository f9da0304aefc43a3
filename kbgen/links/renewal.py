"""The ledger held against what the tree publishes today: nothing published is ever lost."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from kbgen.content import LEDGER_PATH, Tree, answering_note, question_pages
from kbgen.content.models import Standing
from kbgen.findings import Finding, finding
from kbgen.links.address import (
    FIXED_PAGES,
    address_of,
    moment_anchor,
    original,
    plain_thread,
    printed_form,
)
from kbgen.links.graph import Graph
from kbgen.links.ledger import Entry, Ledger, load_ledger
from kbgen.links.reference import Reference, Scheme
from kbgen.links.target import did_you_mean
from kbgen.text import NotationError
from kbgen.units import parse_thread

__all__ = ["check_ledger", "published_addresses", "renew", "successors"]


def check_ledger(tree: Tree, graph: Graph) -> tuple[Ledger, tuple[Finding, ...]]:
    """Return the ledger as the next build will write it, and what stands against it.

    Raises: OSError where the ledger's file is there and the machine does not give it.
    """
    ledger, damage = load_ledger(tree.root)
    if damage:
        return ledger, damage
    published = published_addresses(tree, graph)
    renewed, findings = renew(ledger, published, successors(tree))
    return renewed, tuple(found for found in findings if not _may_stand(tree, ledger, found))


def _may_stand(tree: Tree, ledger: Ledger, found: Finding) -> bool:
    """Return whether an address may only seem lost because its file could not be read."""
    if not tree.broken:
        return False
    lost = next(entry for entry in ledger.entries.values() if entry.line == found.line)
    page = lost.address.partition("#")[0]
    page = original(page) or page
    broken = {
        address_of(Reference(Scheme(kind), name))
        for kind, _, name in (thing.partition(":") for thing in sorted(tree.broken))
        if kind in ("note", "family", "part", "recording", "question")
    }
    return page in broken or page.startswith(("t/", "s/", "q/"))


def published_addresses(tree: Tree, graph: Graph) -> frozenset[str]:
    """Return every address and anchor of the site that this tree becomes."""
    found = [*FIXED_PAGES, *map(address_of, graph.threads)]
    for number, note in tree.notes.items():
        if note.front.standing is Standing.PUBLISHED:
            page = address_of(Reference(Scheme.NOTE, str(number)))
            found += [page, printed_form(page)]
    found += [address_of(Reference(Scheme.SYMPTOM, name)) for name in tree.headings]
    found += [address_of(Reference(Scheme.PART, name)) for name in tree.parts]
    for name, family in tree.families.items():
        page = address_of(Reference(Scheme.FAMILY, name))
        anchors = [row.id for row in family.model.fasteners]
        anchors += [setting.id for setting in family.model.settings]
        found += [page, printed_form(page), *(f"{page}#{anchor}" for anchor in anchors)]
    for name, recording in tree.recordings.items():
        page = address_of(Reference(Scheme.RECORDING, name))
        found += [page, *(f"{page}#{moment_anchor(row.at)}" for row in recording.model.chapters)]
    asked = question_pages(tree)
    found += [address_of(Reference(Scheme.QUESTION, str(number))) for number in asked]
    return frozenset(found)


def successors(tree: Tree) -> dict[str, str]:
    """Return where old addresses lead by what the content says itself.

    A withdrawn note leads to its successor; a thread that a correction withdrew leads
    to the register row that the correction stands in; a question that has no page any
    more leads to the page of the one it repeats, else to the note that answers it.
    """
    found: dict[str, str] = {}
    for name, family in tree.families.items():
        for row in family.model.fasteners:
            place = address_of(Reference(Scheme.FASTENER, name, row.id))
            for correction in row.corrections:
                page = _page_of_thread(correction.was)
                if page:
                    found.setdefault(page, place)
    for question in tree.questions.values():
        answer = answering_note(tree, question)
        if answer is not None:
            page = address_of(Reference(Scheme.QUESTION, str(question.number)))
            found[page] = address_of(Reference(Scheme.NOTE, str(answer)))
    for number, asked in question_pages(tree).items():
        home = address_of(Reference(Scheme.QUESTION, str(number)))
        for again in asked[1:]:
            found[address_of(Reference(Scheme.QUESTION, str(again.number)))] = home
    for number, note in tree.notes.items():
        if note.front.standing is Standing.WITHDRAWN and note.front.successor is not None:
            successor = Reference(Scheme.NOTE, str(note.front.successor))
            found[address_of(Reference(Scheme.NOTE, str(number)))] = address_of(successor)
    return found


def _page_of_thread(text: str) -> str:
    """Return the address of a thread's page, empty where the text is no whole thread."""
    try:
        thread = parse_thread(text)
    except NotationError:
        return ""
    return address_of(Reference(Scheme.THREAD, str(plain_thread(thread)))) if thread.whole else ""


def renew(
    ledger: Ledger, published: Collection[str], named: Mapping[str, str]
) -> tuple[Ledger, list[Finding]]:
    """Return the ledger for what is published now, and every address that would be lost.

    Shape: ``named`` says where old addresses lead by the content's own word.
    """
    trail = _Trail(ledger, frozenset(published), named)
    leads = {address: address for address in published}
    leads |= {old: end for old in named if old.startswith("n/") and (end := trail.end(old))}
    findings: list[Finding] = []
    for address, entry in ledger.entries.items():
        if address in leads:
            findings += _taken_again(entry) if leads[address] == address else []
            continue
        end = trail.end(address)
        if end:
            leads[address] = end
        elif original(address) not in ledger.entries:  # else that one is reported
            findings.append(_lost(entry, trail))
    return Ledger.of(leads), findings


@dataclass(frozen=True, slots=True)
class _Trail:
    """The way from an old address to one that stands."""

    ledger: Ledger
    published: frozenset[str]
    named: Mapping[str, str]

    def end(self, address: str) -> str:
        """Return the standing address that an old one leads to in the end, else empty."""
        seen: set[str] = set()
        while address and address not in self.published:
            if address in seen:
                return ""
            seen.add(address)
            address = self.next(address)
        return address

    def next(self, address: str) -> str:
        """Return where an address leads in one step, empty where nobody says.

        An anchor of a page that moved as a whole goes along if it is there under the
        same name; a card goes along with the page that it was printed of.
        """
        if address in self.named:
            return self.named[address]
        entry = self.ledger.entries.get(address)
        if entry is not None and not entry.stands:
            return entry.leads_to
        if page := original(address):
            end = self.end(page).partition("#")[0]
            card = printed_form(end)
            return card if card in self.published else end
        page, hash_, anchor = address.partition("#")
        moved = self.end(page).partition("#")[0] if hash_ else ""
        along = f"{moved}#{anchor}"
        return along if moved and moved != page and along in self.published else ""


def _lost(entry: Entry, trail: _Trail) -> Finding:
    """Say that an address would be lost, and what could succeed it."""
    folder = entry.address.rpartition("/")[0]
    kind = "anchor" if "#" in entry.address else "address"
    fresh = sorted(
        address
        for address in trail.published
        if address not in trail.ledger.entries
        and address.rpartition("/")[0] == folder
        and ("#" in address) == ("#" in entry.address)
    )
    told = f"this {kind} was published and nothing stands there now"
    step = trail.next(entry.address)
    if step:
        told = f"this {kind} leads to {step}, and that is not published either"
    example = fresh[0] if len(fresh) == 1 else ""
    hint = f"did you mean {example}?" if example else did_you_mean(entry.address, fresh, "")
    if entry.address.startswith("n/"):
        way = "withdraw the note with a successor (standing: withdrawn) instead of removing it, or "
    elif entry.address.startswith("q/"):
        way = (
            "set page: kept back instead of removing the question: its address then leads to the "
            "note that answered it; or "
        )
    else:
        way = ""
    return finding(
        "address-would-be-lost",
        LEDGER_PATH,
        entry.line,
        entry.column,
        f"{entry.address}: {told}; links to it are out in the world",
        f"{way}write here the address that takes its place" + (f"; {hint}" if hint else ""),
    )


def _taken_again(entry: Entry) -> list[Finding]:
    """Say that a note's number is used again after its address had led on."""
    if entry.stands or not entry.address.startswith("n/"):
        return []
    return [
        finding(
            "address-taken-again",
            LEDGER_PATH,
            entry.line,
            entry.column,
            f"{entry.address} leads on to {entry.leads_to}, and a note of that number is "
            "published again: a number is never used twice",
            f"give the note the next free number; if it is the same note, write {entry.address} "
            "here again",
        )
    ]
