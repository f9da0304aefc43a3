"""What tells who somebody is, is found; what only looks like it in this trade is not.

The numbers are those reserved for drama and fiction: Ofcom 01632 960000 to 960999, 020 7946
0000 to 0999 and their like, 07700 900000 to 900999; NANPA 555-0100 to 555-0199; ACMA
(02) 5550 xxxx; the numbers of other countries are made up. The domains are those of RFC 2606.
"""

from __future__ import annotations

from unittest import mock

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kbgen.personal import PersonalKind, initials, is_full_name, personal_in, region_of

MAIL, PHONE, POST, NAME = PersonalKind

POSITIVES = [
    ("write to hazel@example.org please", MAIL, "hazel@example.org"),
    ("hazel.brightwater+bobbins@mail.example.co.uk.", MAIL, None),
    ("<HAZEL@EXAMPLE.ORG>", MAIL, "HAZEL@EXAMPLE.ORG"),
    ("mailto:hazel@example.org", MAIL, "mailto:hazel@example.org"),
    ("hazel (at) example (dot) org", MAIL, "hazel (at) example (dot) org"),
    ("hazel [at] example.org", MAIL, "hazel [at] example.org"),
    ("hazel at example dot org", MAIL, "hazel at example dot org"),
    ("it's hazel_b@example.com, all small", MAIL, "hazel_b@example.com"),
    ("anna.müller@example.de", MAIL, "anna.müller@example.de"),
    ("E-Mail:hazel@example.net", MAIL, None),
    ("reply to o'brien@example.org", MAIL, "o'brien@example.org"),
    ("Call me on 01632 960123", PHONE, "01632 960123"),
    ("tel. 01632 960 123", PHONE, "01632 960 123"),
    ("(01632) 960123, evenings", PHONE, "(01632) 960123"),
    ("01632-960123", PHONE, "01632-960123"),
    ("01632960123", PHONE, "01632960123"),
    ("+44 1632 960123", PHONE, "+44 1632 960123"),
    ("+44 (0)1632 960123", PHONE, "+44 (0)1632 960123"),
    ("0044 1632 960123", PHONE, "0044 1632 960123"),
    ("my mobile is 07700 900123", PHONE, "07700 900123"),
    ("07700 900 123", PHONE, "07700 900 123"),
    ("020 7946 0123", PHONE, "020 7946 0123"),
    ("text 07700900123 any time", PHONE, "07700900123"),
    ("212-555-0142", PHONE, "212-555-0142"),
    ("(212) 555-0142", PHONE, "(212) 555-0142"),
    ("1-212-555-0142", PHONE, "1-212-555-0142"),
    ("212.555.0142", PHONE, "212.555.0142"),
    ("+1 212 555 0142", PHONE, "+1 212 555 0142"),
    ("phone 555-0142 after six", PHONE, "555-0142"),
    ("Ring 960123 after six", PHONE, "960123"),
    ("my number is 01632 960123", PHONE, "01632 960123"),
    ("Tel.: 0171/1234567", PHONE, "0171/1234567"),
    ("+49 171 1234567", PHONE, "+49 171 1234567"),
    ("06 12 34 56 78", PHONE, "06 12 34 56 78"),
    ("+33 6 12 34 56 78", PHONE, "+33 6 12 34 56 78"),
    ("+61 2 5550 1234", PHONE, "+61 2 5550 1234"),
    ("WhatsApp: +34 612 345 678", PHONE, "+34 612 345 678"),
    ("☎ 01632 960123", PHONE, "01632 960123"),
    ("phone: 0 1632 960123", PHONE, None),
    ("call 01632 960123 ext. 12", PHONE, None),
    ("you can reach me on\n01632 960123", PHONE, "01632 960123"),
    ("thank you\n+44 1632 960123\nHazel", PHONE, "+44 1632 960123"),
    ("ring me on\n555-0142 after six", PHONE, "555-0142"),
    ("I live at 14 Mill Lane, Ashby, LE65 1AA", POST, "14 Mill Lane, Ashby, LE65 1AA"),
    ("14 Mill Lane\nAshby\nLE65 1AA", POST, "14 Mill Lane\nAshby\nLE65 1AA"),
    ("send it to 7b, Old Station Road", POST, "7b, Old Station Road"),
    ("221 North Elm St. please", POST, None),
    ("the postcode is LE65 1AA", POST, "LE65 1AA"),
    ("PO Box 123", POST, "PO Box 123"),
    ("Musterstraße 12, 12345 Musterstadt", POST, "Musterstraße 12, 12345 Musterstadt"),
    ("12 rue de la Paix", POST, "12 rue de la Paix"),
    ("Calle de la Luna 14", POST, "Calle de la Luna 14"),
    ("Via Garibaldi 3", POST, "Via Garibaldi 3"),
    ("Springfield, IL 62704", POST, "Springfield, IL 62704"),
    ("Postfach 1234", POST, "Postfach 1234"),
    ("1234 AB Utrecht", POST, "1234 AB Utrecht"),
    ("D-12345 Musterstadt", POST, "D-12345 Musterstadt"),
    ("Kind regards,\nHazel Brightwater", NAME, "Hazel Brightwater"),
    ("Yours sincerely, Hazel Brightwater", NAME, "Hazel Brightwater"),
    ("Thanks!\n\nHazel M. Brightwater", NAME, "Hazel M. Brightwater"),
    ("It slips. Many thanks, Hazel Brightwater", NAME, "Hazel Brightwater"),
    ("the tyre slips\n\nHazel Brightwater", NAME, "Hazel Brightwater"),
    ("the tyre slips\n— Hazel Brightwater", NAME, "Hazel Brightwater"),
    ("My name is Hazel Brightwater and my tyre slips", NAME, "Hazel Brightwater"),
    ("I am Hazel Brightwater, from the coast", NAME, "Hazel Brightwater"),
    ("This is Hazel Brightwater again", NAME, "Hazel Brightwater"),
    ("Mit freundlichen Grüßen\nAnna Müller", NAME, "Anna Müller"),
    ("Cordialement,\nJean-Luc Dubois", NAME, "Jean-Luc Dubois"),
    ("Un saludo,\nMaría de la Cruz", NAME, "María de la Cruz"),
    ("Ich heiße Anna Müller", NAME, "Anna Müller"),
    ("Je m'appelle Jeanne Dubois", NAME, "Jeanne Dubois"),
    ("Name: Hazel Brightwater", NAME, "Hazel Brightwater"),
]

NEGATIVES = [
    "serial number 01234567890",
    "the serial number is\n01234567890",
    "No 012345678 on the bed",
    "No. 07700900123 is stamped under the arm",
    "serial HB 0123456",
    "my machine is number 0123456789",
    "lot 0100000000 to 0100099999",
    "part 0312-456789",
    "part number 212-555-0142",
    "order 0171-1234567 of last week",
    "invoice 01632-960123",
    "the badge says 0044 1632 960",
    "numbers 1234567 to 1245678",
    "M4 4BA screw",
    "an M4 4BA thread, or B2 2BA",
    "1/4-20 UNC and 10-32 UNF",
    "SM11/64-40 0.171875 in",
    "11/64-40, 9/64-40, 3/16-28",
    "M3x0.5 M4x0.7 M5x0.8",
    "9.525 mm or 0.375 in",
    "0.0125 0.0250 0.0375",
    "0.123 456 7890",
    "3.14159265358979",
    "2026-03-04",
    "1910-12-24 at 12:40",
    "12:40 to 1:02:40",
    "04/03/2026 and 05/03/2026",
    "4.3.2026 bis 12.3.2026",
    "from 1898 to 1910 and 1920-1935",
    "made 1898, 1904, 1910, 1922",
    "£1,234.00 for two, £150 for one",
    "$ 199.95 - 249.95",
    "1 234 567 stitches",
    "needles 90/14 100/16 110/18",
    "Nm 90 100 110 120",
    "15 million machines 1234567890",
    "100 200 300 400 500 rpm",
    "1 2 3 4 5 6 7 8 9 10",
    "110-120 V, 50/60 Hz, 0.65 A",
    "ISBN 978-0-00-000000-2",
    "EAN 4006381333931",
    "https://example.org/w/01632960123",
    "https://video.example.org/watch?v=01632960123&t=760",
    "tracking 00340434161094042557",
    "the needle @ 12 o'clock",
    "@marigold, thank you",
    "I'm at 12 dot 5 turns",
    "Dear Larch Row, my machine is slow",
    "the Larch Row Bench film",
    "14 Larch trees by the lane",
    "2 Halverin machines and 1 Ostrell",
    "3 turns of the Main screw, 4 of the Lock screw",
    "Via the bed bolt 3 turns",
    "Kind regards,\nHazel",
    "Kind regards,\nHazel B.",
    "Kind regards,\nH. B.",
    "Many thanks and best wishes",
    "Thanks\n\nThe lamp works",
    "Thank you for the Film",
    "I am Very happy",
    "This is My Halverin, it slips",
    "I am Old Moss, as always",
    "Regards from the Outer Isles",
    "My name is Marigold",
    "call it a day at 120 turns or 150",
    "I rang the bell 12 times",
    "text on the plate: HB 123456",
    "5 ½ turns, 8 1/2 inches, 0.5–0.7 mm",
    "page 123, figure 4, table 12345",
    "class 15 bobbins, 20.3 x 11.7 mm",
    "32 teeth, 64 teeth, 128 teeth",
]


@pytest.mark.parametrize(("text", "kind", "stretch"), POSITIVES, ids=lambda one: str(one)[:40])
def test_what_tells_who_somebody_is(text: str, kind: PersonalKind, stretch: str | None) -> None:
    found = personal_in(text)
    assert [one.kind for one in found] == [kind], found
    if stretch is not None:
        assert text[found[0].start : found[0].end] == stretch


@pytest.mark.parametrize("text", NEGATIVES, ids=lambda text: text[:40])
def test_what_only_looks_like_it(text: str) -> None:
    assert [text[one.start : one.end] for one in personal_in(text)] == []


def test_the_sets_are_as_large_as_they_claim() -> None:
    assert len(set(POSITIVES)) >= 60
    assert len(set(NEGATIVES)) >= 60


@pytest.mark.parametrize(
    ("name", "full"),
    [
        ("Hazel Brightwater", True),
        ("HAZEL BRIGHTWATER", True),
        ("Brightwater, Hazel", True),
        ("Mrs Hazel Brightwater", True),
        ("Hans van der Berg", True),
        ("María José Núñez", True),
        ("HazelBrightwater", True),
        ("hazel.brightwater", True),
        ("Анна Петрова", True),
        ("山田太郎", True),
        ("Marigold", False),
        ("Hazel B.", False),
        ("H. B.", False),
        ("Mrs T.", False),
        ("Old Moss", False),
        ("Nanna Bear", False),
        ("Lou from way out west", False),
        ("Iris and Jo", False),
        ("quilter47", False),
        ("hazel_in_hobart", False),
        ("bargain hunter", False),
        ("withheld", False),
        ("no name given", False),
    ],
)
def test_a_full_name_by_its_form(name: str, full: bool) -> None:
    assert is_full_name(name) is full


@pytest.mark.parametrize(
    ("name", "short"),
    [
        ("Hazel Brightwater", "H. B."),
        ("Brightwater, Hazel", "H. B."),
        ("Mrs Brightwater", "Mrs B."),
        ("HazelBrightwater", "H. B."),
        ("Hans van der Berg", "H. B."),
        ("Jean-Luc Dubois", "J. D."),
        ("Анна Петрова", "А. П."),
        ("山田太郎", "山."),
    ],
)
def test_initials(name: str, short: str) -> None:
    assert initials(name) == short


@pytest.mark.parametrize(
    ("language", "region"), [("en-GB", "GB"), ("en", "GB"), ("de-AT", "AT"), ("fr", "FR")]
)
def test_the_country_of_a_language(language: str, region: str) -> None:
    assert region_of(language) == region


PIECES = st.sampled_from(
    [
        *("+", "(", ")", "-", ".", "/", " ", "\n", ",", ";ext=", " x", " ext. ", "\t", "#", "٠"),
        *("ring ", "Tel.: ", "phone", "my number is ", "text me ", "call", "☎", "no. ", "00", "0"),
        *("2026-03-04", "01632 960123", "96012", "4 44", "²", "7946", "555-0123", "1", "spring "),
    ]
)


@settings(max_examples=300)
@given(st.lists(PIECES, max_size=14).map("".join))
def test_a_run_of_digits_let_go_at_the_first_glance_is_no_number(text: str) -> None:
    with mock.patch("kbgen.personal.data._may_be_telephone", return_value=True):
        expected = personal_in(text, "GB", [PHONE])
    assert personal_in(text, "GB", [PHONE]) == expected
