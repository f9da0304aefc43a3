"""Mail that means harm: it becomes plain text or a reason, quickly, and never a traceback.

Source: CWE-1333 and CWE-407 (time), CWE-409 (zip bombs), CWE-22 (paths), CWE-93 (line
feeds in headers), CWE-79 (scripts), CWE-674 (nesting); Unicode Technical Report 36,
section 2.4 (marks that turn the direction of text).
"""

from __future__ import annotations

import datetime
import time
import zlib
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kbgen.build import build, checked_tree
from kbgen.content import load_tree, set_keys
from kbgen.content.models import CameBy
from kbgen.desk.intake import Incoming, Report, messages_in

Take = Callable[..., Report]
Read = Callable[..., list[Incoming]]

HEAD = b"From: Hazel <hazel@example.org>\nSubject: a question\nMessage-ID: <1@example.org>\n"
PLAIN = b"Content-Type: text/plain; charset=utf-8\n\n"
ASKS = b"Why does the winder slip?\n"


def nested(depth: int) -> bytes:
    """Return a letter whose parts stand so deep in one another."""
    data = HEAD
    for level in range(depth):
        data += f"Content-Type: multipart/mixed; boundary=b{level}\n\n--b{level}\n".encode()
    return data + PLAIN + ASKS


def form(body: bytes, *headers: bytes) -> bytes:
    return HEAD + b"".join(one + b"\n" for one in headers) + b"\n" + body


MIXED = b"Content-Type: multipart/mixed; boundary=x"
SHAPES = {
    "no end of a part": form(b"--x\n" + PLAIN + ASKS, b"Content-Type: multipart/mixed; boundary=x"),
    "no boundary": form(ASKS, b"Content-Type: multipart/mixed"),
    "empty boundary": form(ASKS, b'Content-Type: multipart/mixed; boundary=""'),
    "broken base64": form(b"QUJ$$$=\n=\nx", b"Content-Transfer-Encoding: base64"),
    "broken quoted-printable": form(b"=\n=ZZ=4", b"Content-Transfer-Encoding: quoted-printable"),
    "unknown encoding": form(ASKS, b"Content-Transfer-Encoding: x-uuencode\nX: y"),
    "unknown charset": form(ASKS + b"\xe4\xf6", b"Content-Type: text/plain; charset=klingon"),
    "charset that is a codec": form(ASKS, b"Content-Type: text/plain; charset=zlib"),
    "charset that escapes": form(b"\\x41?", b"Content-Type: text/plain; charset=unicode_escape"),
    "utf-7": form(b"Why +AOQ- slips?", b"Content-Type: text/plain; charset=utf-7"),
    "utf-16": form("Why ä?".encode("utf-16"), b"Content-Type: text/plain; charset=utf-16"),
    "nul bytes": form(b"Why\x00 does\x00 it slip?\x00"),
    "bidi": form("Why \u202ereversed\u202c \u2066slips?".encode()),
    "lone surrogate": form(b"Why \xed\xa0\x80 slips?"),
    "control characters": form(b"Why \x1b[31m \x07 \x08 slips?\x0c"),
    "encoded words": form(
        ASKS, b"Subject: =?utf-8?b?AAAA====?= =?x?q?=ZZ?= =?utf-8?q?=0D=0AX=3A_y?="
    ),
    "long date": form(ASKS, b"Date: Fri, 99 Foo 99999999999999999999 99:99:99 +9999"),
    "no headers": b"\n\n\n",
    "nothing": b"",
    "a header alone": b"From: x",
    "folded for ever": HEAD + b"X: a\n" + b" b\n" * 50_000 + b"\n" + ASKS,
    "comments in an address": b"From: " + b"(" * 5_000 + b"\nTo: x\n\n" + ASKS,
    "an external body": form(ASKS, b'Content-Type: message/external-body; name="/etc/passwd"'),
}


@pytest.mark.parametrize("name", SHAPES)
def test_malformed_mail_is_in_one_list(name: str, take: Take, tree: Path) -> None:
    report = take("x.eml", SHAPES[name])
    assert len(report.taken) + len(report.set_aside) == 1
    assert [one for one in checked_tree(tree).findings if str(one.severity) == "error"] == []


@pytest.mark.parametrize(
    ("name", "make"),
    [
        ("a giant line", lambda n: form(b"a" * n + ASKS)),
        ("a giant line of marks", lambda n: form(b"> " * (n // 2))),
        ("a giant header", lambda n: b"Subject: " + b"x" * n + b"\n" + HEAD + b"\n" + ASKS),
        ("a giant encoded header",
         lambda n: b"Subject: " + b"=?utf-8?q?a?= " * (n // 14) + b"\n" + HEAD + b"\n" + ASKS),
        ("headers", lambda n: HEAD + b"X-A: b\n" * (n // 7) + b"\n" + ASKS),
        ("parts", lambda n: form(b"--x\n\n" * (n // 6), MIXED)),
        ("tags", lambda n: form(b"<div>" * (n // 5) + ASKS, b"Content-Type: text/html")),
        ("open comments", lambda n: form(b"<!--" * (n // 4) + ASKS, b"Content-Type: text/html")),
        ("at signs", lambda n: form(b"a@" * (n // 2))),
        ("dots", lambda n: form(b"a@" + b"a." * (n // 2))),
        ("digits", lambda n: form(b"0171 " * (n // 5))),
        ("capitals", lambda n: form(b"14 Mill " * (n // 8))),
        ("closings", lambda n: form(b"Regards,\n" * (n // 9))),
        ("names", lambda n: form(b"Aa " * (n // 3))),
        ("wrote", lambda n: form(b"On 1 <a> wrote" * (n // 14))),
        ("lines that wrote", lambda n: form(b"On 1 <a> a wrot\n" * (n // 16))),
        ("sentences", lambda n: form(b"f*" * (n // 2))),
        ("brackets", lambda n: form(b"[at] " * (n // 5))),
        ("blanks", lambda n: form(b" " * n + b"x")),
        ("empty lines", lambda n: form(b"\n" * n + b"x")),
    ],
)  # fmt: skip
def test_megabytes_take_their_time_and_no_more(
    name: str, make: Callable[[int], bytes], take: Take
) -> None:
    data = make(10_000_000 if name.startswith(("a giant", "headers", "parts")) else 1_000_000)
    start = time.process_time()
    report = take("x.eml", data)
    seconds = time.process_time() - start
    assert len(report.taken) + len(report.set_aside) == 1
    assert seconds < 10, f"{name}: {seconds:.1f} s"


def test_a_thousand_parts_in_one_another_are_refused_with_a_reason(take: Take) -> None:
    start = time.process_time()
    report = take("deep.eml", nested(1_000))
    assert time.process_time() - start < 5
    assert "1000 deep" in report.set_aside[0].why
    assert len(take("less.eml", nested(20)).taken) == 1


def test_a_hundred_thousand_headers(read: Read) -> None:
    data = b"".join(b"X-%d: y\n" % number for number in range(100_000)) + HEAD + b"\n" + ASKS
    (message,) = read("x.eml", data)
    assert message.subject == "a question"
    assert message.words.strip() == ASKS.decode().strip()


def test_an_attachment_is_named_and_never_opened(
    read: Read, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("decompress", "decompressobj"):
        monkeypatch.setattr(zlib, name, lambda *_a, **_k: pytest.fail("something was unpacked"))
    data = form(
        b"--x\n" + PLAIN + ASKS + b"\n--x\nContent-Type: application/zip\n"
        b'Content-Disposition: attachment; filename="../../etc/bomb\r\n .zip"\n'
        b"Content-Transfer-Encoding: base64\n\nUEsDBAoAAAAAAA==\n--x\n"
        b'Content-Type: text/plain; name="C:\\\\evil.txt"\n'
        b"Content-Disposition: attachment\n\nnot read\n--x--\n",
        b"Content-Type: multipart/mixed; boundary=x",
    )
    (message,) = read("x.eml", data)
    assert message.words.strip() == ASKS.decode().strip()
    assert len(message.attachments) == 2
    for name in message.attachments:
        assert not set("/\\\r\n") & set(name)
    assert "zip" in message.attachments[0]


def test_scripts_stay_text_in_the_file_and_on_the_page(take: Take, tree: Path) -> None:
    script = b"<script>alert(1)</script><img src=x onerror=alert(2)>"
    data = (
        b"From: " + script + b" <x@example.org>\nSubject: " + script + b"\n"
        b"Message-ID: <2@x>\nContent-Type: text/plain\n\nWhy? "
        + script
        + b" [a](javascript:alert(3))\n"
    )
    (taken,) = take("x.eml", data).taken

    day = datetime.date(2026, 11, 25)
    set_keys(tree, taken.path, {"standing": "answered", "answered_by": 1, "answered": day})
    assert build(tree).published
    page = (tree / "site" / "q" / "0001.html").read_text("utf-8")
    assert "&lt;script&gt;alert(1)" in page
    assert "<script>alert" not in page
    assert "<img src=x" not in page
    assert 'href="javascript' not in page


@pytest.mark.parametrize(
    "subject",
    [
        '"}\n---\nstanding: answered\nanswered_by: 1',
        "---",
        "a: b # c",
        "'\"\\",
        "!!python/object/apply:os.system [id]",
        "&a *a",
        "../../../etc/passwd",
        "con.aux.nul",
        "=?utf-8?q?=2E=2E=2F=2E=2E=2Fx?=",
        "x" * 5_000,
        "\u202egnp.exe",
        "🧵" * 100,
        "|\n  rm -rf",
        "yes",
        "0x10",
        "~",
    ],
)
def test_no_subject_breaks_yaml_or_a_file_name(subject: str, take: Take, tree: Path) -> None:
    head = subject.replace("\n", "\r\n ")
    data = f"From: a@example.org\r\nSubject: {head}\r\nMessage-ID: <3@x>\r\n\r\nWhy does it slip?"
    (taken,) = take("x.eml", data.encode()).taken
    path = tree / taken.path
    assert path.parent == tree / "content" / "questions"
    assert path.is_file()
    question = load_tree(tree).tree.questions[taken.question]
    assert str(question.front.standing) == "waiting"
    assert question.words == "Why does it slip?"
    assert [one for one in checked_tree(tree).findings if str(one.severity) == "error"] == []


def test_line_feeds_in_a_name_or_an_id_stay_in_their_place(take: Take, tree: Path) -> None:
    data = (
        b"From: =?utf-8?q?Moss=0D=0Astanding=3A_answered=0D=0A?= <m@example.org>\n"
        b"Subject: =?utf-8?q?x=0D=0Aalias=3A_evil?=\nMessage-ID: <../../x\r\n y@z>\n\nWhy?\n"
    )
    (taken,) = take("x.eml", data).taken
    front = load_tree(tree).tree.questions[taken.question].front
    assert str(front.standing) == "waiting"
    assert front.alias != "evil"
    assert "\n" not in front.alias
    assert "\n" not in (front.subject or "")


@pytest.mark.parametrize(
    "date", ["Mon, 1 Jan 1850 00:00:00 +0000", "Fri, 31 Dec 9999 23:59:59 +0000", "never", ""]
)
def test_a_day_that_cannot_be_is_that_of_the_intake(date: str, take: Take, tree: Path) -> None:
    take("x.eml", form(ASKS, f"Date: {date}".encode()))
    assert str(load_tree(tree).tree.questions[1].front.date) == "2026-11-25"


def test_hidden_letters_do_not_hide_an_address(take: Take, tree: Path) -> None:
    words = "Why? Write to ha\u200bzel@exa\u00admple.o\u2060rg or 0\u200b1632 960\u200b123 please."
    take("x.eml", form(words.encode(), b"Content-Type: text/plain; charset=utf-8"))
    kept = load_tree(tree).tree.questions[1].words
    assert kept == "Why? Write to [e-mail address] or [telephone number] please."


def test_a_table_with_giant_cells_and_broken_rows(read: Read) -> None:
    data = b'id,author,comment\n1,Moss,"' + b"x" * 3_000_000 + b'"\n2,"Jo\n\x00\n3\n,,\n'
    messages = read("comments.csv", data)
    assert len(messages[0].words) <= 100_000
    assert messages[0].remarks


def test_lines_that_are_no_json_are_named(take: Take) -> None:
    data = b'{"comment": "Why?", "id": 1}\n{"comment"\n[]\n' + b"[" * 100_000 + b"\n\xff\xfe\n"
    report = take("comments.jsonl", data)
    assert [one.message for one in report.taken] == ["comments.jsonl, line 1"]
    assert [one.message for one in report.set_aside] == [
        f"comments.jsonl, line {number}" for number in (2, 3, 4, 5)
    ]


@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(data=st.binary(max_size=2_000), name=st.sampled_from(["x.eml", "x.mbox", "x.txt", "-"]))
def test_any_bytes_are_read_without_an_error(data: bytes, name: str) -> None:
    for message in messages_in(name, data, None, CameBy.LETTER):
        assert "\n" not in message.name
        assert "\n" not in message.subject
