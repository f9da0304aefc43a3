"""Two hundred letters and comments of invented people, shaped as real ones are.

Everything is made by rule, so that every run has the same bag. Each message asks something
that has a word of its own (``swatch017``), by which it is found again. Domains are those
of RFC 2606; telephone numbers are those that Ofcom and NANPA reserve for fiction.
"""

from __future__ import annotations

import base64
import csv
import io
import json
import quopri
from collections.abc import Iterator
from dataclasses import dataclass, field
from email.header import Header

__all__ = ["Bag", "Person", "Sent", "bag"]


@dataclass(frozen=True)
class Person:
    """Somebody who asks, with all that must never be published."""

    name: str
    e_mail: str
    telephone: str
    street: str
    charset: str = "utf-8"
    close: str = "Kind regards"
    abusive: bool = False


@dataclass(frozen=True)
class Sent:
    """A message: its bytes or row, who sent it, and the word by which it is known."""

    word: str
    person: Person
    becomes: str  # taken, known or set aside
    data: bytes = b""
    row: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Bag:
    """All of it, as the files that a workshop would hand in."""

    mailbox: bytes
    letters: tuple[bytes, ...]
    table: bytes
    lines: bytes
    sent: tuple[Sent, ...]


PEOPLE = (
    Person("Hazel Brightwater", "hazel.b@example.org", "01632 960101", "14 Mill Lane"),
    Person("Jürgen Weißmüller", "jw@example.de", "+49 30 23125 101", "Musterstraße 12",
           "iso-8859-1", "Mit freundlichen Grüßen"),
    Person("Zoë Lindqvist-Hale", "zoe@mail.example.com", "07700 900102", "3 Quayside Terrace",
           "windows-1252", "Best wishes"),
    Person("Łukasz Brzozowy", "lb@example.net", "+48 22 555 01 03", "Ulica Lipowa 7",
           "iso-8859-2", "Pozdrawiam"),
    Person("Анна Соколовская", "anna@example.ru", "+7 495 555 01 04", "PO Box 104",
           "koi8-r", "С уважением"),
    Person("山田花子", "hanako@example.jp", "+81 3 5550 0105", "PO Box 105", "iso-2022-jp"),
    Person("Γιώργος Παπαδόπουλος", "gp@example.gr", "+30 21 0555 0106", "PO Box 106",
           "iso-8859-7"),
    Person("María de la Cruz Peña", "maria@example.es", "+34 612 555 107", "Calle de la Luna 14",
           "iso-8859-15", "Un saludo"),
    Person("Jean-Luc Dubosquet", "jl@example.fr", "06 12 34 01 08", "12 rue des Lilas", "utf-8",
           "Cordialement"),
    Person("O'Malley, Siobhán", "siobhan@example.ie", "(01632) 960109", "9 Harbour Road",
           "utf-8", "Many thanks"),
    Person("Wanda J. Thistlewood", "wanda@example.us", "(212) 555-0110", "221 North Elm Street",
           "us-ascii", "Sincerely"),
    Person("Dr. Tobias van der Meulen", "tobias@example.nl", "+31 20 555 0111", "Kerkstraat 5",
           "utf-8", "Met vriendelijke groet"),
    Person("İpek Yıldırım", "ipek@example.tr", "+90 212 555 01 12", "PO Box 112", "iso-8859-9"),
    Person("張偉明", "wm@example.tw", "+886 2 5550 0113", "PO Box 113", "big5"),
    Person("Dagny Åkerblom", "dagny@example.se", "+46 8 5550 0114", "Storgatan 3", "utf-8",
           "Hälsningar"),
    Person("Prudence Farthingale", "pru@example.co.uk", "020 7946 0115", "7b Old Station Road"),
    Person("Basil Grumbleton", "basil@example.org", "01632 960116", "1 Bog Lane", abusive=True),
    Person("FuckYou LarchRow", "hater@example.com", "212-555-0117", "PO Box 117", abusive=True),
    Person("Rex Mortlake", "rex@example.net", "+44 (0)1632 960118", "88 Dock Road", abusive=True),
    Person("Idiot Hunter", "ih@example.org", "07700900119", "PO Box 119", abusive=True),
)  # fmt: skip

ASKED = (
    "The little wheel behind the hand wheel turns and the spool never fills",
    "My presser foot drops off in the middle of a seam",
    "The lamp nods down until it touches the cloth",
    "How tight is the needle clamp screw meant to be",
    "There is a bang and white smoke from the pedal",
    "The handle of the crank machine wobbles and clicks",
    "The thread frays and breaks after a hand's breadth",
    "I let go of the pedal and the machine goes on by itself",
    "The reverse lever has gone all stiff",
    "Which bulb does the lamp of the portable take",
)
INSULTS = (
    "You are idiots.",
    "What the f*** do you lot think you are doing!",
    "You absolute wankers.",
    "Fuck off with your advice.",
)


def bag() -> Bag:
    """Return the whole bag: 100 in the mailbox, 40 letters, 40 rows, 20 lines."""
    boxed = [_letter(number) for number in range(100)]
    loose = [_letter(number) for number in range(100, 120)]
    again = [Sent(one.word, one.person, "known", one.data) for one in boxed[3:83:4]]
    table = [_comment(number) for number in range(120, 160)]
    lines = [_comment(number) for number in range(160, 180)]
    mailbox = b"".join(
        b"From MAILER Fri Mar  6 21:04:11 2026\n" + _escaped(one.data) + b"\n" for one in boxed
    )
    return Bag(
        mailbox,
        tuple(one.data for one in [*loose, *again]),
        _table([one.row for one in table]),
        "".join(json.dumps(one.row, ensure_ascii=False) + "\n" for one in lines).encode(),
        (*boxed, *loose, *again, *table, *lines),
    )


def _escaped(data: bytes) -> bytes:
    """Return a letter as a mailbox keeps it (RFC 4155)."""
    return b"".join(
        b">" + line if line.lstrip(b">").startswith(b"From ") else line
        for line in data.replace(b"\r\n", b"\n").splitlines(keepends=True)
    )


def _person(number: int) -> Person:
    return PEOPLE[(number * 7 + number // 20) % len(PEOPLE)]


def _asks(number: int, person: Person) -> str:
    asked = f"{ASKED[number % len(ASKED)]}, on the one I call swatch{number:03}."
    insult = INSULTS[number % len(INSULTS)] if person.abusive else ""
    return f"{insult} {asked} What should I do?".strip()


def _letter(number: int) -> Sent:
    person, word = _person(number), f"swatch{number:03}"
    if number % 25 == 24:
        return Sent(word, person, "set aside", _automatic(number, person))
    said = _around(number, person, _asks(number, person))
    return Sent(word, person, "taken", _formed(number, person, said))


def _around(number: int, person: Person, asked: str) -> str:
    """Return what stands around a question in a letter: greeting, close, quotations."""
    shown = person.name.replace("O'Malley, Siobhán", "Siobhán O'Malley")
    close = f"{person.close},\n{shown}"
    reach = (
        f"Write to {person.e_mail} or ring {person.telephone}.",
        f"My number is {person.telephone}. I live at {person.street}.",
        f"My name is {shown} and I am in no hurry.",
        "",
    )[number % 4]
    letter = f"Dear Larch Row,\n\n{asked}\n{reach}\n\n{close}\n"
    quoted = "> We fitted a new tyre.\n> It holds.\n"
    wrote = f"On Fri, 6 Mar 2026 at 10:00, {shown} <{person.e_mail}>\nwrote:\n"
    match number % 8:
        case 1:
            return f"{letter}\n{wrote}{quoted}"
        case 2:
            return f"{wrote}{quoted}\n{letter}"
        case 3:
            return (
                f"{letter}-- \n{shown}\n{person.street}\nTel: {person.telephone}\n{person.e_mail}\n"
            )
        case 4:
            return f"{letter}\nSent from my telephone\n"
        case 5:
            return (
                "---------- Forwarded message ----------\n"
                f"From: {shown} <{person.e_mail}>\nDate: Fri, 6 Mar 2026\nSubject: a question\n"
                f"To: bench@example.org\n\n{letter}"
            )
        case 6:
            return (
                f"{letter}\n-----Original Message-----\nFrom: Larch Row Bench\nSent: Friday\n"
                "To: you\nSubject: tyre\n\nWe fitted a new tyre.\n"
            )
    return letter


def _encodable(text: str, charset: str) -> bytes:
    return text.encode(charset, "replace" if charset == "us-ascii" else "xmlcharrefreplace")


def _headers(number: int, person: Person, *more: str) -> bytes:
    name = person.name
    shown = name if name.isascii() else Header(name, person.charset).encode()
    if name.isascii() and "," in name:
        shown = f'"{name}"'
    subject = f"Re: about swatch{number:03}"
    if number % 6 == 0:
        subject = f"Re: {name} – swatch{number:03}"
    lines = [
        f"From: {shown} <{person.e_mail}>",
        "To: bench@example.org",
        f"Subject: {subject if subject.isascii() else Header(subject, 'utf-8').encode()}",
        f"Date: Fri, {1 + number % 28} May 2026 21:04:11 +0200",
        "MIME-Version: 1.0",
        *more,
    ]
    if number % 10 != 9:
        lines.append(f"Message-ID: <{number}.{abs(number * 7919)}@mail.example.org>")
    return "\n".join(lines).encode() + b"\n"


def _formed(number: int, person: Person, said: str) -> bytes:
    """Return a letter in one of the forms that mail takes."""
    charset = person.charset
    if charset == "us-ascii":
        said = said.encode("ascii", "ignore").decode()
    body = _encodable(said, charset)
    plain = f"Content-Type: text/plain; charset={charset}"
    match number % 7:
        case 0:
            return _headers(
                number, person, plain, "Content-Transfer-Encoding: quoted-printable"
            ) + b"\n" + quopri.encodestring(body)  # fmt: skip
        case 1:
            return _headers(
                number, person, plain, "Content-Transfer-Encoding: base64"
            ) + b"\n" + base64.encodebytes(body)  # fmt: skip
        case 2:
            return _headers(
                number, person, plain, "Content-Transfer-Encoding: 8bit"
            ) + b"\n" + body  # fmt: skip
        case 3:
            return _headers(
                number, person, "Content-Type: text/html; charset=utf-8",
                "Content-Transfer-Encoding: 8bit",
            ) + b"\n" + _html(said)  # fmt: skip
        case 4:
            return _headers(number, person, "Content-Type: multipart/alternative; boundary=b") + (
                b"\n--b\n" + plain.encode() + b"\nContent-Transfer-Encoding: base64\n\n"
                + base64.encodebytes(body) + b"\n--b\nContent-Type: text/html; charset=utf-8\n\n"
                + _html(said) + b"\n--b--\n"
            )  # fmt: skip
        case 5:
            return _headers(number, person, "Content-Type: multipart/mixed; boundary=m") + (
                b"\n--m\n" + plain.encode() + b"\nContent-Transfer-Encoding: quoted-printable\n\n"
                + quopri.encodestring(body) + b"\n--m\nContent-Type: image/jpeg; "
                b'name="machine.jpg"\nContent-Disposition: attachment; filename="machine.jpg"\n'
                b"Content-Transfer-Encoding: base64\n\n/9j/4AAQSkZJRg==\n--m--\n"
            )  # fmt: skip
    flowed = "\n".join(_flowed(line) for line in said.split("\n"))
    return _headers(
        number, person, f"{plain}; format=flowed", "Content-Transfer-Encoding: 8bit"
    ) + b"\n" + _encodable(flowed, charset)  # fmt: skip


def _flowed(line: str) -> str:
    """Return a line broken as RFC 3676 has it."""
    if line.startswith((">", "From: ", "-- ")) or len(line) < 60:
        return line if line == "-- " else line.rstrip()
    at = line.rfind(" ", 0, 60)
    return f"{line[: at + 1]}\n{_flowed(line[at + 1 :])}"


def _html(said: str) -> bytes:
    text = said.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    blocks = "".join(f"<p>{one}</p>" for one in text.replace("\n\n", "\0").split("\0"))
    return (
        "<html><head><style>p { color: #111 }</style></head><body>"
        + blocks.replace("\n", "<br>\n") + "<script>alert(1)</script></body></html>"
    ).encode()  # fmt: skip


def _automatic(number: int, person: Person) -> bytes:
    header = ("Auto-Submitted: auto-replied", "Precedence: bulk", "List-Id: <sew.example.org>",
              "X-Autoreply: yes")[number // 25 % 4]  # fmt: skip
    return _headers(number, person, header, "Content-Type: text/plain") + b"\nI am away.\n"


def _comment(number: int) -> Sent:
    person, word = _person(number), f"swatch{number:03}"
    asked = _asks(number, person)
    becomes = "taken"
    if number % 20 == 19:
        asked, becomes, person = f"{word} see the answer above", "set aside", Person(
            "Larch Row Bench", "bench@example.org", "", "")  # fmt: skip
    elif number % 20 == 18:
        asked, becomes = "Great video, thank you!", "set aside"
    reach = (f" Mail me: {person.e_mail}", f" {person.telephone}", f" I am {person.name}.", "")
    row = {
        "id": f"c{number}",
        "author": person.name,
        "comment": asked + (reach[number % 4] if becomes == "taken" else ""),
        "written": (f"2026-05-{1 + number % 28:02}T12:00:00Z", "1778000000")[number % 2],
        "film": "winder-evening",
        "reply_to": "",
    }
    return Sent(word, person, becomes, row=row)


def _table(rows: list[dict[str, str]]) -> bytes:
    out = io.StringIO(newline="")
    writer = csv.DictWriter(out, list(rows[0]), delimiter=";")
    writer.writeheader()
    writer.writerows(rows)
    return out.getvalue().encode("utf-8-sig")


def secrets(people: tuple[Person, ...] = PEOPLE) -> Iterator[str]:
    """Yield everything that must not be found anywhere."""
    for person in people:
        yield from (person.name, person.e_mail, person.telephone, person.street)
        if "," in person.name:
            last, _, first = person.name.partition(", ")
            yield f"{first} {last}"
