"""The graph of a small tree, its links back, and the addresses it publishes."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from kbgen.content import load_tree
from kbgen.links import (
    FIXED_PAGES,
    Graph,
    Relation,
    check_ledger,
    link_graph,
    named_by_note,
    parse_reference,
    published_addresses,
    written_in_note,
)
from kbgen.prose import scan_family, scan_note, scan_part, scan_recording
from kbgen.units import HouseThreads

BASE = Path(__file__).parents[2] / "cases" / "base"

SECOND = """---
title: The hook comes late
standing: {standing}
authors: [workshop]
symptom: [It skips every third stitch]
headings: [winder]
families: [halverin-h, quillant-freearm]
causes: [{{cause: The hook has slipped, tell: The marks do not meet}}]
fix: Time the hook as [the tyre](note:1) is set.
before: {{people: one, tools: none, supplies: none, spares: [winder-tyre]}}
parts: [{{part: winder-tyre, quantity: 2}}]
fasteners:
  - halverin-h/needle-clamp
  - {{where: Hook screw, thread: M5x0.8 LH, basis: measured, source: one machine}}
recordings: [{{recording: winder-evening, at: "13:00"}}]
works_when: It sews a hundred stitches.
first_published: 2026-01-10
revised: 2026-01-10
---
Loosen [the clamp](fastener:halverin-h/needle-clamp), an M4x0.7 here, and see
[the film](recording:winder-evening@12:40).
"""


@pytest.fixture
def root(tmp_path: Path) -> Path:
    shutil.copytree(BASE, tmp_path / "tree")
    return tmp_path / "tree"


def graph_of(root: Path, standing: str = "published") -> Graph:
    note = root / "content" / "notes" / "0002-hook.md"
    note.write_text(SECOND.format(standing=standing), encoding="utf-8")
    tree = load_tree(root).tree
    house = HouseThreads.of([])
    scans = [scan_note(note, house) for note in tree.notes.values()]
    scans += [scan_family(family, house) for family in tree.families.values()]
    scans += [scan_part(part, house) for part in tree.parts.values()]
    scans += [scan_recording(recording, house) for recording in tree.recordings.values()]
    return link_graph(tree, [one for scan in scans for one in scan.statements])


def back(graph: Graph, target: str, whole: bool = False) -> list[tuple[str, str]]:
    """Return who leads to a target, and why."""
    asked = graph.leads_to_page if whole else graph.leads_to
    return [(str(edge.origin), str(edge.relation)) for edge in asked(parse_reference(target))]


def test_everything_knows_what_leads_to_it(root: Path) -> None:
    graph = graph_of(root)
    assert [found.code for found in graph.findings] == ["nothing-leads-here"]
    assert back(graph, "note:1") == [
        ("note:2", "prose"),
        ("recording:winder-evening@12:40", "chapter"),
    ]
    assert ("note:2", "family") in back(graph, "family:quillant-freearm")
    assert back(graph, "symptom:winder") == [("note:1", "heading"), ("note:2", "heading")]
    assert ("part:winder-tyre", "fit") in back(graph, "family:halverin-h")
    assert back(graph, "part:winder-tyre") == [("note:2", "spare"), ("note:2", "part")]
    assert back(graph, "fastener:halverin-h/needle-clamp") == [
        ("note:2", "fastener"),
        ("note:2", "prose"),
    ]
    assert back(graph, "recording:winder-evening") == []
    assert back(graph, "recording:winder-evening", whole=True) == [
        ("note:2", "recording"),
        ("note:2", "prose"),
    ]


def test_threads_are_known_by_where_they_are_stated(root: Path) -> None:
    graph = graph_of(root)
    assert [str(reference) for reference in graph.threads] == [
        "thread:M4x0.7",
        "thread:M5x0.8",
        "thread:M6x1",
        "thread:SM1/8-40",
        "thread:SM11/64-40",
    ]
    assert back(graph, "thread:SM11/64-40") == [
        ("fastener:halverin-h/winder-bracket-screw", "thread")
    ]
    assert back(graph, "thread:M5x0.8") == [("note:2", "thread")]


def test_an_edge_knows_where_it_is_written(root: Path) -> None:
    graph_of(root)
    note = load_tree(root).tree.notes[2]
    written = [*written_in_note(note)[0], *named_by_note(note, frozenset())]
    edges = {(str(edge.target), edge.relation): (edge.line, edge.column) for edge in written}
    assert edges["family:quillant-freearm", Relation.FAMILY] == (7, 24)
    assert edges["note:1", Relation.PROSE] == (9, 34)
    assert edges["fastener:halverin-h/needle-clamp", Relation.FASTENER] == (13, 5)
    assert edges["fastener:halverin-h/needle-clamp", Relation.PROSE] == (20, 20)
    assert edges["recording:winder-evening@12:40", Relation.PROSE] == (21, 12)


def test_a_draft_leads_nowhere_on_the_site(root: Path) -> None:
    graph = graph_of(root, "draft")
    assert back(graph, "symptom:winder") == [("note:1", "heading")]
    assert parse_reference("thread:M5x0.8") not in graph.threads


@pytest.mark.parametrize(
    ("moment", "anchor"),
    [("0:00", "#t-0-00"), ("12:39", "#t-0-00"), ("12:40", "#t-12-40"), ("48:10", "#t-12-40")],
)
def test_a_moment_leads_to_the_chapter_that_runs_then(root: Path, moment: str, anchor: str) -> None:
    address = graph_of(root).address(parse_reference(f"recording:winder-evening@{moment}"))
    assert address == "r/winder-evening.html" + anchor


def test_addresses_of_the_whole_site(root: Path) -> None:
    graph = graph_of(root)
    assert published_addresses(load_tree(root).tree, graph) == {
        *FIXED_PAGES,
        "c/0001.html",
        "c/0002.html",
        "g/halverin-h.html",
        "g/quillant-freearm.html",
        "m/halverin-h.html",
        "m/halverin-h.html#needle-clamp",
        "m/halverin-h.html#winder-bracket-screw",
        "m/quillant-freearm.html",
        "m/quillant-freearm.html#bed-bolt",
        "n/0001.html",
        "n/0002.html",
        "p/winder-tyre.html",
        "r/winder-evening.html",
        "r/winder-evening.html#t-0-00",
        "r/winder-evening.html#t-12-40",
        "s/winder.html",
        "t/m4x0.7.html",
        "t/m5x0.8.html",
        "t/m6x1.html",
        "t/sm11_64-40.html",
        "t/sm1_8-40.html",
    }


def test_an_address_is_not_called_lost_while_its_file_cannot_be_read(root: Path) -> None:
    lines = ["m/halverin-h.html#needle-clamp", "n/0001.html", "p/gone.html", "t/sm1_8-40.html"]
    (root / "content" / "addresses.tsv").write_text(
        "# head\n" + "".join(f"{line}\t{line}\n" for line in lines), encoding="utf-8"
    )
    (root / "content" / "families" / "halverin-h.yaml").write_text("name: [\n", encoding="utf-8")
    graph = graph_of(root)
    _, findings = check_ledger(load_tree(root).tree, graph)
    assert [(found.code, found.line) for found in findings] == [("address-would-be-lost", 4)]


def test_a_thread_that_only_a_film_says_has_no_page(root: Path) -> None:
    """M6x1 is said and stands in a register too; M5x0.5 is a slip of the tongue."""
    film = root / "content" / "recordings" / "winder-evening.vtt"
    film.write_text(
        "WEBVTT\n\n00:01.000 --> 00:04.000\nIt is M5x0.5, I mean M6x1.\n", encoding="utf-8"
    )
    graph = graph_of(root)
    assert parse_reference("thread:M5x0.5") not in graph.threads
    assert ("recording:winder-evening", "thread") in back(graph, "thread:M6x1")
