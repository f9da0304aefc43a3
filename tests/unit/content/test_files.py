"""One note: what is accepted, what is reported and where, and that nothing makes it raise."""

from __future__ import annotations

import datetime
import json
import pickle

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kbgen.content import Note, load_note
from kbgen.content.files import load_yaml, read_file, read_note
from kbgen.content.models import Standing
from kbgen.content.shape import FAMILY, HAZARDS, PART, RECORDING, THREADS, VOCABULARY
from kbgen.findings import Severity
from kbgen.kept import pack, unpack

PATH = "content/notes/0017-winder-tyre-slips.md"

# The example of the design, key by key.
FRONT = """\
title: Bobbin winder tyre slips
standing: published           # draft | published | withdrawn (with a successor)
authors: [workshop]
symptom:
  - The little wheel at the back turns but the spool never fills
  - Winder stalls when the spool is half full
families: [halverin-h]
causes:                       # cheapest to test first
  - cause: Tyre hardened and glazed
    tell: A thumbnail leaves no mark
    fix: Replace the tyre
fix: Replace the winder tyre and reset its pressure against the wheel.
before: {people: one, tools: [5 mm driver], supplies: none, spares: [winder-tyre]}
parts: [{part: winder-tyre, quantity: 1}]
fasteners: [halverin-h/winder-bracket-screw]      # rows of the family's register
hazards: [needle-strike]
photos: [{file: winder-tyre.jpg, alt: Glazed tyre beside a new one}]
recordings: [{recording: winder-evening, at: "12:40"}]
works_when: A spool fills at full speed and the winder stops by itself.
first_published: 2026-01-10
revised: 2026-03-04
"""
BODY = "Lift the winder off.\n\n- It is held by SM11/64-40.\n"

ROW = """\
name: Halverin H
summary: A flat-bed.
fasteners:
  - id: winder-bracket-screw
    where: Winder bracket to arm
    thread: SM11/64-40
    length: 8 mm
    head: slotted cheese
    torque: 1.0 N·m             # or  tightness: snug, then an eighth of a turn
    basis: measured             # measured | quoted | estimated
    source: pitch leaf and micrometer, three machines
    corrections:
      - {date: 2026-03-04, was: 9/64-40, told_by: a viewer}
"""


def note_of(front: str = FRONT, body: str = BODY) -> bytes:
    return f"---\n{front}---\n{body}".encode()


def changed(old: str, new: str) -> bytes:
    assert FRONT.count(old) == 1
    return note_of(FRONT.replace(old, new))


def test_the_example_of_the_design_loads_without_a_finding() -> None:
    note, findings = load_note(PATH, note_of())
    assert findings == []
    assert note is not None
    assert (note.number, note.slug) == (17, "winder-tyre-slips")
    assert note.front.standing is Standing.PUBLISHED
    assert note.front.revised == datetime.date(2026, 3, 4)
    assert note.front.parts[0].quantity == 1
    assert note.front.before.supplies == "none"
    assert note.front.before.tools == ("5 mm driver",)
    assert note.front.fasteners == ("halverin-h/winder-bracket-screw",)
    assert note.front.recordings[0].at == "12:40"
    assert note.body == BODY
    assert note.source.body_line == 24
    assert note.source.text.split("\n")[note.source.body_line - 1] == "Lift the winder off."


def test_the_register_row_of_the_design_loads_without_a_finding() -> None:
    family, source, findings = load_yaml(FAMILY, "content/families/halverin-h.yaml", ROW.encode())
    assert findings == []
    assert family is not None
    assert family.fasteners[0].torque == "1.0 N·m"
    assert family.fasteners[0].corrections[0].was == "9/64-40"
    place = source.place("fasteners", 0, "corrections", 0, "was")
    assert (place.line, place.column) == (13, 33)


def test_a_fastener_of_its_own_and_a_schema_comment_are_accepted() -> None:
    own = (
        "fasteners:\n  - halverin-h/needle-clamp\n"
        "  - {where: Any lid, thread: M4x0.7, basis: measured, source: a caliper}\n"
    )
    front = "# yaml-language-server: $schema=../../schemas/note.json\n" + FRONT.replace(
        "fasteners: [halverin-h/winder-bracket-screw]      # rows of the family's register\n", own
    )
    note, findings = load_note(PATH, note_of(front))
    assert findings == []
    assert note is not None
    reference, fastener = note.front.fasteners
    assert reference == "halverin-h/needle-clamp"
    assert not isinstance(fastener, str)
    assert fastener.thread == "M4x0.7"


def test_windows_line_ends_change_nothing() -> None:
    plain, _ = load_note(PATH, note_of())
    windows, findings = load_note(PATH, note_of().replace(b"\n", b"\r\n"))
    assert findings == []
    assert windows == plain


def test_a_note_is_handed_to_another_process_whole_and_light() -> None:
    note, _ = load_note(PATH, note_of())
    assert note is not None
    light = len(pickle.dumps(note))
    assert [token.type for token in note.tokens][:2] == ["paragraph_open", "inline"]
    assert note.tokens is note.tokens
    handed: Note = pickle.loads(pickle.dumps(note))
    assert len(pickle.dumps(note)) == light
    assert handed == note
    assert handed.tokens[1].content == "Lift the winder off."


# (old, new, code, line, column, words of the message, words of the hint)
WRONG = [
    ("symptom:", "sympton:", "key-unknown", 5, 1, "no key of a note", "did you mean `symptom`?"),
    ("symptom:", "sympton:", "key-missing", 2, 1, "`symptom` is missing", "customer"),
    ("works_when:", "works-when:", "key-unknown", 20, 1, "works-when", "`works_when`?"),
    ("quantity: 1", "quantity: 010", "value-wrong", 15, 39, "`010`", "leading zeros"),
    ("quantity: 1", "quantity: two", "value-wrong", 15, 39, "`two`", ""),
    ("quantity: 1", "quantity: 0", "value-wrong", 15, 39, "at least 1", ""),
    ("quantity: 1", "quantity: 1.0", "value-wrong", 15, 39, "whole number", ""),
    ("quantity: 1", "quantity: -1", "value-wrong", 15, 39, "whole number", ""),
    ("quantity: 1", "quantity: 12345", "value-wrong", 15, 39, "at most", ""),
    ("quantity: 1", "count: 1", "key-unknown", 15, 29, "a part of a note", "part, quantity"),
    ("standing: published ", "standing: publishd ", "value-wrong", 3, 11, "draft", "published?"),
    ("authors: [workshop]", "authors: workshop", "value-wrong", 4, 10, "a list", "[one"),
    ("authors: [workshop]", "authors: []", "value-wrong", 4, 10, "empty", "who wrote it"),
    ("authors: [workshop]", "authors:", "value-wrong", 4, 1, "nothing stands", ""),
    ("title: Bobbin winder tyre slips", "title: [a]", "value-wrong", 2, 8, "a text", ""),
    ("title: Bobbin winder tyre slips", "title: {a: b}", "value-wrong", 2, 8, "a text", ""),
    ("title: Bobbin winder tyre slips", "title: ''", "value-wrong", 2, 8, "empty text", ""),
    ("revised: 2026-03-04", "revised: 2026-3-4", "value-wrong", 22, 10, "YYYY-MM-DD", "2026-03"),
    ("revised: 2026-03-04", "revised: 2026-02-30", "value-wrong", 22, 10, "calendar", ""),
    ("revised: 2026-03-04", "revised: 20260304", "value-wrong", 22, 10, "YYYY-MM-DD", ""),
    ("revised: 2026-03-04", "revised: 4 March 2026", "value-wrong", 22, 10, "YYYY-MM-DD", ""),
    ("revised: 2026-03-04", "revised: 2026-03-04 10:00", "value-wrong", 22, 10, "YYYY", ""),
    ("revised: 2026-03-04", "revised: ２０２６-03-04", "value-wrong", 22, 10, "YYYY", ""),
    ("revised: 2026-03-04", "revised: 2025-03-04", "dates-out-of-order", 22, 10, "before", ""),
    ('at: "12:40"', "at: 12:40", "value-misread-elsewhere", 19, 46, "base 60", '"12:40"'),
    ('at: "12:40"', 'at: "12.40"', "value-wrong", 19, 46, "minutes:seconds", ""),
    ("recording: winder-evening", "recording: Winder", "value-wrong", 19, 26, "an id", ""),
    ("supplies: none", "supplies: no", "value-wrong", 14, 55, "the word none", "[one"),
    ("supplies: none, ", "", "key-missing", 14, 9, "`supplies` is missing from `before`", ""),
    ("before: {", "before: one #", "value-wrong", 14, 9, "keys with values", "people, tools"),
    ("spares: [winder-tyre]", "spares: [winder tyre]", "value-wrong", 14, 70, "an id", ""),
    ("/winder-bracket-screw]", "]", "value-wrong", 16, 13, "FAMILY/ROW", ""),
    ("file: winder-tyre.jpg", "file: a/b.jpg", "value-wrong", 18, 17, "content/photos", ""),
    ("tell: A thumbnail leaves no mark", "tells: x", "key-unknown", 11, 5, "a cause", "`tell`?"),
    ("tell: A thumbnail leaves no mark", "cause: x", "key-twice", 11, 5, "line 10", ""),
    ("title: Bobbin winder", "title: Bobbin: winder", "yaml-unreadable", 2, 14, "colon", "quot"),
    ("standing: published ", "standing: withdrawn ", "successor-missing", 3, 11, "", "number"),
    ("authors:", "successor: 18\nauthors:", "successor-missing", 4, 1, "not withdrawn", ""),
]


@pytest.mark.parametrize(
    ("old", "new", "code", "line", "column", "words", "hint"),
    WRONG,
    ids=[f"{new or 'left out'}-{code}" for _, new, code, *_ in WRONG],
)
def test_wrong(
    old: str, new: str, code: str, line: int, column: int, words: str, hint: str
) -> None:
    _, findings = load_note(PATH, changed(old, new))
    found = [one for one in findings if one.code == code]
    assert [(one.line, one.column) for one in found] == [(line, column)], findings
    assert words in found[0].message
    assert hint in found[0].hint
    assert {one.code for one in findings} <= {code, "key-missing", "key-unknown"}


def test_a_misread_value_that_is_wrong_anyway_is_one_finding() -> None:
    _, findings = load_note(PATH, changed("quantity: 1", "quantity: 0x10"))
    assert [one.code for one in findings] == ["value-wrong"]


def test_a_refused_value_is_one_finding() -> None:
    _, findings = load_note(PATH, changed("authors: [workshop]", "authors: *all"))
    assert [(one.code, one.line, one.column) for one in findings] == [("yaml-alias", 4, 10)]


def test_all_findings_come_in_one_run() -> None:
    front = FRONT.replace("symptom:", "sympton:").replace("quantity: 1", "quantity: 010")
    front = front.replace("revised: 2026-03-04", "revised: 2026-3-4").replace('"12:40"', "12:40")
    _, findings = load_note("content/notes/17.md", b"\xef\xbb\xbf" + note_of(front))
    assert sorted(one.code for one in findings) == [
        "byte-order-mark",
        "key-missing",
        "key-unknown",
        "name-wrong",
        "value-misread-elsewhere",
        "value-wrong",
        "value-wrong",
    ]


def test_a_warning_leaves_the_note_usable() -> None:
    note, findings = load_note(PATH, changed('at: "12:40"', "at: 12:40"))
    assert [one.severity for one in findings] == [Severity.WARNING]
    assert note is not None
    assert note.front.recordings[0].at == "12:40"


# (name, words of the hint)
NAMES = [
    ("17-winder.md", "0017-winder.md"),
    ("0017_Winder Tyre.md", "0017-winder-tyre.md"),
    ("00017-winder.md", "0017-winder.md"),
    ("0000-winder.md", "by its number"),
    ("winder.md", "by its number"),
    ("0017-.md", "by its number"),
    ("0017-Größe.md", "0017-groe.md"),
    ("0017-winder--tyre.md", "0017-winder-tyre.md"),
]


@pytest.mark.parametrize(("name", "hint"), NAMES)
def test_names_that_are_wrong(name: str, hint: str) -> None:
    note, findings = load_note(f"content/notes/{name}", note_of())
    assert [(one.code, one.line, one.column) for one in findings] == [("name-wrong", 1, 1)]
    assert hint in findings[0].hint
    assert note is None or name == "00017-winder.md" or name == "0000-winder.md"


@pytest.mark.parametrize("name", ["0001-a.md", "12345-a-b-c.md", "0017-5-mm-driver.md"])
def test_names_that_are_right(name: str) -> None:
    note, findings = load_note(f"content/notes/{name}", note_of())
    assert findings == []
    assert note is not None
    assert note.number == int(name.partition("-")[0])


# (data, code, words)
FENCES = [
    pytest.param(b"", "file-empty", "nothing", id="empty"),
    pytest.param(b"\n \n", "file-empty", "nothing", id="blank"),
    pytest.param(b"Lift the winder off.\n", "front-matter-missing", "begins with", id="none"),
    pytest.param(b"---\ntitle: x\n", "front-matter-missing", "never ends", id="open"),
    pytest.param(b"---\n---\nText.\n", "file-empty", "nothing is written", id="empty front matter"),
    pytest.param(b"----\ntitle: x\n----\n", "front-matter-missing", "begins with", id="four"),
]


@pytest.mark.parametrize(("data", "code", "words"), FENCES)
def test_fences(data: bytes, code: str, words: str) -> None:
    note, findings = load_note(PATH, data)
    assert note is None
    assert [one.code for one in findings] == [code]
    assert words in findings[0].message


def test_a_rule_in_the_body_is_no_fence() -> None:
    note, findings = load_note(PATH, note_of(body="One.\n\n---\n\nTwo.\n"))
    assert findings == []
    assert note is not None
    assert note.body == "One.\n\n---\n\nTwo.\n"


def test_the_body_of_a_broken_note_is_kept() -> None:
    broken, findings = read_note(PATH, changed("title:", "titel:"))
    assert findings
    assert broken is not None
    assert not isinstance(broken, Note)
    assert broken.body == BODY
    assert broken.source.body_line == 24


# (kind, text, code, line, column, words)
YAML = [
    (FAMILY, ROW.replace("basis: measured", "basis: guessed"), "value-wrong", 10, 12, "quoted"),
    (FAMILY, ROW + ROW[ROW.index("  - id") :], "id-twice", 14, 9, "winder-bracket-screw"),
    (FAMILY, ROW.replace("head:", "tightness: snug\n    head:"), "tightness-twice", 10, 5, "both"),
    (FAMILY, "- a\n", "value-wrong", 1, 1, "keys with values"),
    (FAMILY, "", "file-empty", 1, 1, "family"),
    (HAZARDS, "id: x\n", "value-wrong", 1, 1, "a list"),
    (HAZARDS, "- x\n", "value-wrong", 1, 3, "keys with values"),
    (THREADS, "- {thread: a, where: b, basis: measured, sauce: c}", "key-unknown", 1, 42, "house"),
    (VOCABULARY, "- {lay: [a], trade: []}", "value-wrong", 1, 21, "empty"),
    (PART, "name: x\nobtained: stolen\n", "value-wrong", 2, 11, "gift"),
    (
        RECORDING,
        'title: x\ndate: 2026-01-10\naddress: ftp://x\nlength: "1:00"\n',
        "value-wrong",
        3,
        10,
        "https://",
    ),
    (
        RECORDING,
        "title: x\ndate: 2026-01-10\naddress: https://x.example.org\nlength: '10:00'\n"
        "chapters:\n  - {at: '5:00', title: a}\n  - {at: '4:00', title: b}\n",
        "chapter-out-of-order",
        7,
        10,
        "not after",
    ),
    (
        RECORDING,
        "title: x\ndate: 2026-01-10\naddress: https://x.example.org\nlength: '10:00'\n"
        "chapters:\n  - {at: '10:00', title: a}\n",
        "chapter-out-of-order",
        6,
        10,
        "ends at",
    ),
]


@pytest.mark.parametrize(
    ("kind", "text", "code", "line", "column", "words"),
    YAML,
    ids=[f"{kind.name}-{code}-{number}" for number, (kind, _, code, *_) in enumerate(YAML)],
)
def test_yaml_files(kind: object, text: str, code: str, line: int, column: int, words: str) -> None:
    _, _, findings = load_yaml(kind, "content/x.yaml", text.encode())  # type: ignore[arg-type]
    assert (code, line, column) in [(one.code, one.line, one.column) for one in findings]
    assert all(one.code in (code, "key-missing") for one in findings), findings
    assert words in " ".join(one.message + one.hint for one in findings if one.code == code)


def test_a_list_file_with_nothing_in_it_is_an_empty_list() -> None:
    model, _, findings = load_yaml(HAZARDS, "content/hazards.yaml", b"# none yet\n")
    assert (model, findings) == ((), [])


@settings(deadline=None)
@given(st.binary(max_size=300))
def test_arbitrary_bytes_never_raise(data: bytes) -> None:
    note, findings = load_note(PATH, data)
    assert note is not None or findings


@settings(deadline=None)
@given(st.binary(max_size=60), st.integers(0, len(note_of())))
def test_arbitrary_bytes_in_a_note_never_raise(data: bytes, at: int) -> None:
    whole = note_of()
    note, findings = load_note(PATH, whole[:at] + data + whole[at:])
    assert note is not None or findings
    assert all(one.line >= 1 and one.column >= 1 for one in findings)


VALUES = st.recursive(
    st.text(max_size=8),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(st.sampled_from(["part", "quantity", "thread", "x"]), inner, max_size=3)
    ),
    max_leaves=8,
)


@settings(deadline=None)
@given(
    st.sampled_from(
        sorted({line.partition(":")[0] for line in FRONT.split("\n") if line[:1].isalpha()})
    ),
    VALUES,
)
def test_a_value_of_any_shape_is_accepted_or_reported_at_its_key(key: str, value: object) -> None:
    front = "".join(
        f"{line}\n" if not line.startswith(f"{key}:") else f"{key}: {json.dumps(value)}\n"
        for line in json_lines()
    )
    number = next(n for n, line in enumerate(front.split("\n")) if line.startswith(f"{key}:")) + 2
    _, findings = load_note(PATH, note_of(front))
    assert all(one.line == number for one in findings if one.code == "value-wrong"), findings


def json_lines() -> list[str]:
    """The example with every value on the line of its key."""
    lines: list[str] = []
    for line in FRONT.splitlines():
        if line.startswith(" "):
            continue
        lines.append(
            {
                "symptom:": "symptom: [a]",
                "causes:": "causes: [{cause: a, tell: b}]",
            }.get(line.split(" ")[0], line)
        )
    return lines


@pytest.mark.parametrize(
    ("path", "text"),
    [
        pytest.param(PATH, f"---\n{FRONT}---\nWords.\n", id="note"),
        pytest.param(PATH, "---\ntitle: 'A\n  b'\nparts: {\n---\nWords.\n", id="broken note"),
        pytest.param(PATH, "Words: none\n", id="no front matter"),
        pytest.param("content/parts/tyre.yaml", 'name: Tyre\nfits: [{why: "a\\n"}]\n', id="part"),
        pytest.param("content/parts/tyre.yaml", "\tname: Tyre\n", id="unreadable part"),
        pytest.param("content/parts/tyre.yaml", "", id="empty part"),
    ],
)
def test_what_was_kept_has_every_value_in_its_place(path: str, text: str) -> None:
    source = read_file(path, text.encode())[0].source
    assert dict(unpack(pack(source)).marks) == dict(source.marks)


def test_notes_that_were_kept_share_the_names_of_what_they_are_about() -> None:
    own = "- {where: Stud, thread: M4x0.7, basis: measured, source: Gauge}\n"
    text = FRONT.replace("fasteners: [", f"fasteners:\n  - halverin-h/stud\n  {own}rest: [")
    text = "".join(line for line in text.splitlines(True) if not line.startswith("rest: "))
    note, _ = read_note(PATH, f"---\n{text}---\nWords.\n".encode())
    assert isinstance(note, Note)
    first, second = unpack(pack(note.front)), unpack(pack(note.front))
    assert first == second == note.front
    assert [type(one).__name__ for one in first.fasteners] == ["str", "Fastener"]
    assert first.families[0] is second.families[0]
    assert first.before.spares[0] is second.parts[0].part
