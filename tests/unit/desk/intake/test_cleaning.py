"""What an asker wrote is what is kept: quotations, signatures and forwarding go."""

from __future__ import annotations

import pytest

from kbgen.desk.intake.abuse import is_abusive, is_abusive_name, without_abuse
from kbgen.desk.intake.aliases import Asker, without_personal
from kbgen.desk.intake.charsets import decoded
from kbgen.desk.intake.cleaning import readable, without_quotes, without_signature
from kbgen.desk.intake.hypertext import text_of_html

ASKS = "The tyre slips on my winder. What now?"
HEADERS = "From: Larch Row\nSent: Friday\nTo: me\nSubject: tyre\n\nFit a new one."


@pytest.mark.parametrize(
    "letter",
    [
        f"{ASKS}\n\nOn Fri, 6 Mar 2026 at 10:00, Larch Row <b@example.org> wrote:\n> Fit one.",
        f"On Fri, 6 Mar 2026 Larch Row wrote:\n> Fit one.\n> It holds.\n\n{ASKS}",
        f"> Fit one.\n\n{ASKS}\n\n> It holds.",
        f"{ASKS}\n\nOn Friday, 6 March 2026, Larch Row\n<b@example.org> wrote:\n\n> Fit one.",
        f"{ASKS}\n\nAm 06.03.26 um 10:00 schrieb Larch Row:\n> Fit one.",
        f"{ASKS}\n\nLe ven. 6 mars 2026 à 10:00, Larch Row <b@example.org> a écrit :\n> Fit one.",
        f"{ASKS}\n\nEl vie, 6 mar 2026 a las 10:00, Larch Row (<b@example.org>) escribió:\n> x",
        f"{ASKS}\n\nOn 6 March 2026 at 10:00, Larch Row <b@example.org> wrote:\nFit a new one.",
        f"{ASKS}\n\n-----Original Message-----\n{HEADERS}",
        f"{ASKS}\n\n{HEADERS}",
        f"{ASKS}\n\nVon: Larch Row\nGesendet: Freitag\nAn: mich\nBetreff: Reifen\n\nNeu.",
        f"FYI\n\n---------- Forwarded message ----------\n{HEADERS.partition('Fit')[0]}{ASKS}",
        f"Begin forwarded message:\n\n{HEADERS.partition('Fit')[0]}{ASKS}",
        f"---- Forwarded message ----\n> From: x\n> Date: y\n> To: z\n>\n> {ASKS}",
    ],
)
def test_only_what_is_new_is_kept(letter: str) -> None:
    assert without_quotes(letter) == ASKS


@pytest.mark.parametrize(
    "letter",
    [
        "On Monday my aunt wrote:\nthe machine is yours. It slips. Why?",
        "From what I saw in the film: the tyre.\nTo the point: it slips.",
        "The gap is\n>= 3 mm, is that much?",
        "I tried:\n- a new tyre\n- a new belt\nWhat now?",
        "It has two parts -- the wheel and the tyre -- and slips.",
    ],
)
def test_what_only_looks_quoted_is_kept(letter: str) -> None:
    assert without_signature(without_quotes(letter)) == letter


@pytest.mark.parametrize(
    "below",
    [
        "-- \nHazel\nTel: 123",
        "--\nHazel",
        "Sent from my telephone",
        "Von meinem Handy gesendet",
        "Envoyé de mon téléphone",
        "____________________________\nHazel",
        "This e-mail is confidential and intended only for the one it is addressed to.",
    ],
)
def test_signatures_and_notices_go(below: str) -> None:
    assert without_signature(f"{ASKS}\n\n{below}") == ASKS


def test_html_is_read_as_it_is_seen() -> None:
    html = (
        "<html><head><title>t</title><style>p{}</style></head><body><p>Dear&nbsp;bench,</p>"
        "<p>one<br>two &lt;3&gt;</p><ul><li>a<li>b</ul><div style='display:none'>hidden</div>"
        "<script>alert(1)</script><table><tr><td>x<td>y</table>"
        "<div class='mail_quote'>On Friday you wrote:<blockquote>old</blockquote></div>"
    )
    assert text_of_html(html).replace("> > \n", "").replace("> \n", "").strip("> \n") == (
        "Dear bench,\n\none\ntwo <3>\n\n- a\n- b\n\nx y\n\n> On Friday you wrote:\n> > old"
    )


def test_what_nobody_sees_is_gone() -> None:
    assert readable("a\u202eb\u200bc\u00add\x00 \r\n\r\n\r\n\r\n x ") == "a bcd\n\n x"


@pytest.mark.parametrize(
    ("data", "charset", "text", "certain"),
    [
        ("Müller".encode("iso-8859-1"), "iso-8859-1", "Müller", True),
        ("“Müller”".encode("windows-1252"), "iso-8859-1", "“Müller”", True),
        ("Müller".encode(), "iso-8859-1", "Müller", True),
        ("Müller".encode(), "us-ascii", "Müller", True),
        ("Müller".encode("windows-1252"), "", "Müller", True),
        ("Łódź".encode("iso-8859-2"), "ISO-8859-2", "Łódź", True),
        ("Анна".encode("koi8-r"), "koi8-r", "Анна", True),
        ("山田".encode("iso-2022-jp"), "iso-2022-jp", "山田", True),
        (b"M+APw-ller", "utf-7", "Müller", True),
        ("Müller".encode("windows-1252"), "x-none", "Müller", False),
        (b"M\xfcller", "utf-8", "M\ufffdller", False),
        (b"x", "zlib", "x", False),
    ],
)  # fmt: skip
def test_letters_of_many_charsets(data: bytes, charset: str, text: str, certain: bool) -> None:
    said, remark = decoded(data, charset)
    assert said == text
    assert (remark == "") is certain


@pytest.mark.parametrize(
    ("text", "left"),
    [
        ("You are idiots. Why does it slip?", "Why does it slip?"),
        ("Why does your f***ing winder slip?", "Why does your *** winder slip?"),
        ("You stupid idiots, why does it slip?", "You *** ***, why does it slip?"),
        ("sh1theads, every single one of them. The belt slips on mine.",
         "***, every single one of them. The belt slips on mine."),
    ],
)  # fmt: skip
def test_abuse_goes_and_the_question_stays(text: str, left: str) -> None:
    assert is_abusive(text)
    assert without_abuse(text).strip() == left


@pytest.mark.parametrize(
    "text",
    [
        "a second-cut bastard file will do",
        "This stupid screw will not turn!",
        "You should retard the hook a little",
        "My needle pricks my finger, you see",
        "I feel like an idiot, I lost the spring",
        "a chink of light between you and the belt",
        "grease the nipple, then the stopcock",
        "bloody thing is stuck, damn it",
        "my dog is a bitch and sleeps on the treadle",
    ],
)
def test_words_of_the_trade_and_mild_oaths_are_left(text: str) -> None:
    assert not is_abusive(text)
    assert without_abuse(text) == text


@pytest.mark.parametrize(
    ("name", "abusive"),
    [
        ("FuckYouBench", True),
        ("idiot_repairs", True),
        ("sh1thead99", True),
        ("Hazel Brightwater", False),
        ("Jürgen Fuchs", False),
        ("Scunthorpe Sewing", False),
        ("Cassandra", False),
        ("Wankel", False),
    ],
)
def test_names_that_abuse(name: str, abusive: bool) -> None:
    assert is_abusive_name(name) is abusive


@pytest.mark.parametrize(
    ("name", "words", "alias"),
    [
        ("Hazel Brightwater", "Why?", "H. B."),
        ("Hazel Brightwater", "I sign as Marigold, always. Why?", "Marigold"),
        ("Hazel Brightwater", "Call me Hazel Brightwater. Why?", "H. B."),
        ("hazel brightwater", "Why?", "H. B."),
        ("J. R. Hartley", "Why?", "J. R. H."),
        ("Mrs Brightwater", "Why?", "Mrs B."),
        ("Marigold", "Why?", "Marigold"),
        ("quilter47", "Why?", "quilter47"),
        ("", "Why?\n\nKind regards,\nHazel Brightwater", "H. B."),
        ("", "Why?\n\nCheers\nJo", "Jo"),
        ("", "Why?", "no name given"),
        ("hazel@example.org", "Why?", "no name given"),
        ("01632 960123", "Why?", "no name given"),
        ("Hazel Brightwater", "You are idiots.", "withheld"),
    ],
)
def test_the_alias_of_an_asker(name: str, words: str, alias: str) -> None:
    assert Asker(name, "", handle=False).alias(words) == alias


def test_an_own_name_goes_in_all_its_forms_and_a_colour_stays() -> None:
    said = "Anna Brown, ANNA BROWN, A. Brown, Mrs Brown, Brown, Anna: a nice shade of brown"
    text, kinds = without_personal(said, Asker("Anna Brown", "", False), "A. B.", "GB")
    assert "brown" not in text.casefold().replace("shade of brown", "")
    assert text.endswith("a nice shade of brown")
    assert kinds == {"full name"}
