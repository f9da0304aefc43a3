"""The tools in the page say what the commands say, on thousands of inputs, in a real Chromium."""

from __future__ import annotations

import json
import random
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from kbgen.content import load_tree
from kbgen.serials import describe_serial
from kbgen.text import NotationError
from kbgen.units import (
    HouseThreads,
    describe_identify,
    describe_torque,
    known_threads,
    parse_diameter,
    parse_nut_factor,
    parse_one_length,
    parse_pitch,
    parse_thread,
    parse_torque_stated,
    torque_tables,
)
from kbgen.units.complete import complete

ROOT = Path(__file__).resolve().parents[2]
EACH = 3_000
ANSWERS = """async ([tool, asked]) => {
  await kbgenReady();
  return asked.map((given) => kbgenBench[tool].answer(given));
}"""
Given = dict[str, str]
Answer = dict[str, Any]


def asked(browser: Browser, address: str, tool: str, given: list[Given]) -> list[Answer]:
    """Return what the page's script answers to each input."""
    page = browser.new_page()
    page.goto(f"{address}{tool}.html")
    answers: list[Answer] = page.evaluate(ANSWERS, [tool, given])
    page.close()
    return answers


def held(given: list[Given], answers: list[Answer], bench: Callable[[Given], Answer]) -> None:
    """Demand of each input that both sides say the same, or refuse it with the same words."""
    assert len({json.dumps(one, sort_keys=True) for one in given}) >= 2_000
    differ = []
    for one, page in zip(given, answers, strict=True):
        ours = json.loads(json.dumps(bench(one)))
        if page != ours:
            differ.append((one, ours, page))
    assert differ[:5] == [], f"{len(differ)} of {len(given)} differ"


# --- ways of writing one figure


def decimal(chance: random.Random, value: float, places: int) -> str:
    text = f"{value:.{max(0, places - chance.choice([0, 0, 0, 1, 1, 2, 4]))}f}"
    if chance.random() < 0.2:
        text = text.replace(".", ",")
    return text[1:] if text.startswith("0.") and chance.random() < 0.2 else text


def length(chance: random.Random, mm: float) -> str:
    """Return a length near ``mm`` in one of its usual spellings, and some that are none."""
    unit, worth = chance.choice(
        [
            *(
                [("mm", 1.0), (" mm", 1.0), ("\N{NO-BREAK SPACE}mm", 1.0), (" millimetres", 1.0)]
                * 3
            ),
            *([(" in", 25.4), ('"', 25.4), (" inch", 25.4), ("″", 25.4), (" inches", 25.4)] * 2),
            *((" thou", 0.0254), (" cm", 10.0), (" µm", 0.001), ("", 1.0), (" furlongs", 1.0)),
        ]
    )
    figure = decimal(chance, mm / worth, 4)
    kind = chance.random()
    if kind < 0.15:
        of = chance.choice([8, 16, 32, 64])
        top = max(1, round(mm / 25.4 * of))
        figure, unit = f"{top}/{of}", chance.choice([" in", '"', " of an inch", " inch"])
        if top > of:
            figure = f"{top // of} {top % of or 1}/{of}"
    elif kind < 0.25:
        mark = chance.choice(["-", "–", " to ", "..", " ± ", "+/-", "~", " and "])
        figure = f"{figure}{mark}{decimal(chance, (mm + chance.random()) / worth, 4)}"
    elif kind < 0.3:
        figure = chance.choice(["½", "¼", "1½", "³⁄₁₆", "0", "1 1/0", "three and a half", "forty"])
    elif kind < 0.33:
        figure, unit = "nine sixty-fourths of an inch", ""
    return (
        chance.choice([""] * 9 + [" ", "about "])
        + figure
        + unit
        + chance.choice(["", "", " ", "."])
    )


def pitch(chance: random.Random, mm: float) -> str:
    if chance.random() < 0.6:
        tpi = 25.4 / mm
        figure = decimal(chance, tpi, 1)
        if chance.random() < 0.1:
            figure = chance.choice(["11 1/2", "11½", "forty", "thirty-two", "0", "26"])
        return figure + chance.choice(
            [
                "tpi",
                " tpi",
                " TPI",
                " t.p.i.",
                " per inch",
                " threads per inch",
                "/inch",
                "",
                "-tpi",
            ]
        )
    return length(chance, mm)


# --- identify


def test_a_screw_is_named_as_the_command_names_it(browser: Browser, from_disk: str) -> None:
    chance = random.Random(40)
    house = HouseThreads.of([row.thread for row in load_tree(ROOT).tree.house_threads])
    pairs = [
        (about[0][1], about[1])
        for about in json.loads(json.dumps(_figures_of(tuple(sorted(house.threads)))))
    ]
    given = []
    for _ in range(EACH):
        major, step = chance.choice(pairs)
        if chance.random() < 0.15:
            major, step = chance.uniform(0.5, 30), chance.uniform(0.2, 4)
        within = chance.choice(
            ["0.02mm"] * 9 + ["0.05 mm", "1 thou", "0,1 mm", "0.1 mm", "0 mm", "some"]
        )
        given.append(
            {
                "part": chance.choice(["screw", "screw", "hole"]),
                "diameter": length(chance, max(0.01, major - chance.choice([0, 0.05, 0.1, step]))),
                "pitch": pitch(chance, step * chance.choice([1, 1, 1.01, 0.98])),
                "within": within,
            }
        )

    def bench(one: Given) -> Answer:
        try:
            across = _read("diameter", parse_diameter, one["diameter"])
            within = _read("within", parse_one_length, one["within"])
            step = _read("pitch", parse_pitch, one["pitch"])
        except Refused as refused:
            return refused.answer
        try:
            return describe_identify(
                float(across.middle_mm),
                float(step),
                float(within + across.half_mm),
                bore=one["part"] == "hole",
                house=sorted(house.threads),
            )
        except ValueError as wrong:
            return {"wrong": str(wrong)}

    answers = asked(browser, from_disk, "measure", given)
    held(given, answers, bench)
    counts = [len(one.get("candidates", ())) for one in answers]
    assert sum(count > 1 for count in counts) > 200
    assert sum("candidates" in one and not one["candidates"] for one in answers) > 100
    assert sum("wrong" in one for one in answers) > 100


def _figures_of(house: tuple[Any, ...]) -> list[tuple[tuple[str, float], float]]:
    from kbgen.units import known_of

    return [
        ((str(about.thread), about.major), about.pitch)
        for about in (known_of(thread, memory) for thread, memory in known_threads(house))
    ]


class Refused(Exception):
    """A field that could not be read, as the script answers it."""

    def __init__(self, answer: Answer) -> None:
        super().__init__(answer["wrong"])
        self.answer = answer


def _read(field: str, parse: Callable[[str], Any], text: str) -> Any:
    try:
        return parse(text)
    except NotationError as unreadable:
        raise Refused({"field": field, "wrong": unreadable.message}) from unreadable


# --- serial numbers


def test_a_serial_number_is_looked_up_as_the_command_does(browser: Browser, from_disk: str) -> None:
    chance = random.Random(1909)
    families = load_tree(ROOT).tree.families
    with_lots = [family for family in families.values() if family.model.lots]
    given = []
    for _ in range(EACH):
        family = chance.choice(with_lots)
        lot = chance.choice(family.model.lots)
        bound = chance.choice([lot.first, lot.last])
        letters = bound.rstrip("0123456789").rstrip(" -")
        number = int(bound.removeprefix(letters).strip(" -")) + chance.choice(
            [0, 0, 1, -1, 77, -500]
        )
        figures = str(max(0, number))
        if chance.random() < 0.3:
            figures = f"{max(0, number):,}".replace(",", chance.choice([",", " ", ".", "'"]))
        text = letters + chance.choice([" ", "", "-", ".", " - ", "/"]) + figures
        for sign, letter in zip("0158826", "OISBBZG", strict=True):
            if chance.random() < 0.08:
                text = text.replace(sign, letter, chance.choice([1, 9]))
        if chance.random() < 0.1:
            text = chance.choice(["No. ", "№ ", "#", "serial no. ", "Serial "]) + text
        if chance.random() < 0.1:
            text += chance.choice(["X", " A", "?", " & 7", "Ｏ", "I"])
        if chance.random() < 0.3:
            text = text.lower()
        if chance.random() < 0.05:
            text = chance.choice(
                ["", "HA", "1234567", "8", "H 8 1", "9" * 16, "ＨＡ ２４００１", "НА 5"]
            )
        given.append({"family": family.id, "number": text})

    def bench(one: Given) -> Answer:
        family = families[one["family"]]
        names = {variant.id: variant.name for variant in family.model.variants}
        try:
            return describe_serial(one["number"], family.model.lots, names)
        except NotationError as unreadable:
            return {"field": "number", "wrong": unreadable.message}

    answers = asked(browser, from_disk, "serial", given)
    held(given, answers, bench)
    assert sum(bool(one.get("lots")) for one in answers) > 500
    assert sum(bool(one.get("other_readings")) for one in answers) > 100
    assert sum("wrong" in one for one in answers) > 50


# --- torques

UNITS = (
    *(
        " N·m",
        "Nm",
        " Nm",
        " N m",
        " cN·m",
        " mN·m",
        " N·cm",
        " N·mm",
        " lbf·ft",
        " ft-lb",
        " ft.lb",
    ),
    *(" lbf·in", " in-lb", " inch pounds", " lbf in", " ozf·in", " oz-in", " kgf·m", " kgf·cm"),
    *(
        " kg-cm",
        " gf·cm",
        " newton metres",
        " foot pounds",
        " lb/ft",
        " lb",
        " kg",
        "",
        " mm",
        " mNm",
    ),
)
AROUND = (
    *(
        "{}",
        "{}",
        "{}",
        "{}",
        "max {}",
        "at most {}",
        "not over {}",
        "min {}",
        "up to {}",
        "{} max",
    ),
    *("{} or less", "no less than {}", "about {}", "~{}", "tighten to {}", "{} + 90 deg", "{}."),
    *(
        "{} and then half a turn",
        "{} plus a quarter turn",
        "..{}",
        "{} (35 lbf·in)",
        "{} / 9 lbf·ft",
    ),
    *("{} (9 lbf·ft)", "{} = 41 kgf·cm", "{} [8.8 lbf·in]", "{}, that is 12 N·m", "between {}"),
)


def torque(chance: random.Random) -> str:
    value = 10 ** chance.uniform(-2, 2.3)
    figure = decimal(chance, value, 3)
    kind = chance.random()
    unit = chance.choice(UNITS)
    if kind < 0.15:
        mark = chance.choice(["..", "-", "–", " to ", " and ", "…", "~"])
        figure = f"{figure}{mark}{decimal(chance, value * chance.uniform(0.8, 1.6), 2)}"
    elif kind < 0.22:
        figure += chance.choice(
            [" ± 10 %", "±0.2", " (±1)", "+1/-0", " plus or minus 2", "..", "+0.2 -0.1"]
        )
    elif kind < 0.27:
        figure += f"{unit}{chance.choice(['-', ' to ', ' and '])}{decimal(chance, value * 1.2, 2)}"
    elif kind < 0.33:
        figure = chance.choice(
            ["1/2", "1 1/2", "2½", "one and a half", "twelve", "1,200", "0", "ten"]
        )
    elif kind < 0.36:
        unit += chance.choice([" ± 0.1", " +/- 10%", " ± 0.1 N·m"])
    elif kind < 0.46:
        inch = value / 0.1129848290276167
        unit += chance.choice(
            [f" ({inch:.1f} lbf·in)", f" ({inch:.0f} lbf·ft)", f" ({inch * 10:.1f} lbf·in)"]
        )
    return chance.choice(AROUND).format(figure + unit)


def thread_text(chance: random.Random, names: list[str]) -> str:
    text = chance.choice(names)
    kind = chance.random()
    if kind < 0.15:
        text += " LH"
    elif kind < 0.3:
        text = text.replace("-", chance.choice([" - ", "–", "‑"])).replace(
            "x", chance.choice(["×", " x "])
        )
    elif kind < 0.4 and text[0] != "G":
        text = text.lower()
    elif kind < 0.45:
        text = chance.choice(["", " "]) + text.replace("1/4", "¼").replace("1/2", "½") + " "
    return text


def test_a_torque_is_converted_and_judged_as_the_command_does(
    browser: Browser, from_disk: str
) -> None:
    chance = random.Random(898)
    tables = torque_tables()
    names = [*tables["threads"], *tables["named"]]
    common = [name for name in names if tables["threads"].get(name, [9])[0] < 8]
    given = [
        {
            "torque": torque(chance),
            "thread": chance.choice(["", thread_text(chance, names), thread_text(chance, common)]),
            "strength": chance.choice(["", "", *tables["strengths"]]),
            "factor": chance.choice(
                ["", "", "", "0.15", "0,2", ".11", "1", "0.3", "2", "0", "dry", "-1"]
            ),
        }
        for _ in range(2 * EACH)
    ]

    def bench(one: Given) -> Answer:
        try:
            read, objections = _read("torque", parse_torque_stated, one["torque"])
            if not one["thread"].strip():
                described = describe_torque(read)
            else:
                thread = _read("thread", parse_thread, one["thread"])
                factor = one["factor"]
                number = _read("factor", parse_nut_factor, factor) if factor else None
                described = describe_torque(read, thread, one["strength"] or None, number)
        except Refused as refused:
            return refused.answer
        except ValueError as wrong:
            field = "factor" if "nut factor" in str(wrong) else "strength"
            return {"field": field, "wrong": str(wrong)}
        slips = [{"code": o.code, "message": o.message, "hint": o.hint} for o in objections]
        if slips:
            described["findings"] = slips + described.get("findings", [])
        return described

    answers = asked(browser, from_disk, "torque", given)
    held(given, answers, bench)
    verdicts = [one.get("verdict") for one in answers]
    for verdict in ("fits", "above proof", "above three quarters of proof", "implausibly low"):
        assert verdicts.count(verdict) > 15, verdict
    assert verdicts.count("not judged") > 5
    codes = [found["code"] for one in answers for found in one.get("findings", ())]
    assert codes.count("torque-units-disagree") > 50
    assert sum(one.get("field") == "torque" for one in answers) > 100


def test_every_thread_of_the_list_is_the_thread_of_that_name() -> None:
    tables = torque_tables()
    for canonical in tables["threads"]:
        assert str(complete(parse_thread(canonical))) == canonical
    for said, canonical in tables["named"].items():
        assert str(complete(parse_thread(said))) == canonical
    assert len(tables["threads"]) > 600


# --- the pages themselves


@pytest.fixture
def fresh(browser: Browser, base: str) -> Iterator[tuple[Page, str]]:
    context = browser.new_context()
    page = context.new_page()
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda problem: said.append(str(problem)))
    yield page, base
    context.close()
    assert said == []


def test_a_reading_is_answered_and_stands_in_the_address(fresh: tuple[Page, str]) -> None:
    page, base = fresh
    page.goto(base + "measure.html")
    page.get_by_label("Diameter", exact=True).fill("3.55 mm")
    page.get_by_label("Pitch", exact=True).fill("40 tpi")
    expect(page.get_by_role("status")).to_have_text("One thread fits.")
    expect(page.locator("#measure-results .des")).to_have_text("SM9/64-40")
    page.get_by_role("button").press("Enter")
    assert "diameter=3.55+mm" in page.url
    page.reload()
    expect(page.get_by_label("Pitch", exact=True)).to_have_value("40 tpi")
    expect(page.get_by_role("status")).to_have_text("One thread fits.")
    page.get_by_label("Pitch", exact=True).fill("3 mm")
    expect(page.get_by_role("status")).to_contain_text("None: no thread of any series")
    expect(page.locator("#measure-results li")).to_have_count(0)
    page.get_by_label("Diameter", exact=True).fill("3.55")
    expect(page.get_by_role("status")).to_contain_text("Expected a length such as")


def test_a_page_that_is_only_read_loads_no_table(browser: Browser, from_disk: str) -> None:
    page = browser.new_page()
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url.rpartition("/")[2]))
    page.goto(from_disk + "measure.html")
    expect(page.get_by_role("status")).to_have_text("")
    assert [name for name in asked if name.endswith(".js")] == ["ready.js"]
    page.get_by_label("Diameter", exact=True).focus()
    page.wait_for_function("Boolean(self.kbgenBench?.measure?.answer)")
    page.close()


def test_a_number_is_looked_up_with_its_other_readings(fresh: tuple[Page, str]) -> None:
    page, base = fresh
    page.goto(base + "serial.html?family=halverin-h&number=HA+24OO1")
    expect(page.get_by_role("status")).to_contain_text("No lot covers")
    expect(page.locator("#serial-results .where")).to_contain_text("Or is it HA 24001?")
    page.get_by_label("Number, as stamped").fill("HA 24001")
    expect(page.get_by_role("status")).to_contain_text("number 1 of 36,000")
    expect(page.locator("#serial-results .des")).to_have_text("not before September 1909")


def test_a_torque_is_converted_and_judged(fresh: tuple[Page, str]) -> None:
    page, base = fresh
    page.goto(base + "torque.html")
    page.get_by_label("Torque", exact=True).fill("12 N·m")
    expect(page.get_by_role("status")).to_have_text("12 N·m is 106 lbf·in.")
    page.get_by_label("Thread, to judge it").fill("M4x0.7")
    page.get_by_label("Strength class").select_option("8.8")
    expect(page.get_by_role("status")).to_contain_text("On M4x0.7: above proof.")
    expect(page.locator("#torque-results")).to_contain_text("Assumed: nut factor not stated")
    page.get_by_label("Torque", exact=True).fill("12")
    expect(page.get_by_role("status")).to_contain_text("Expected a torque such as")


@pytest.mark.parametrize("tool", ["measure", "serial", "torque"])
def test_without_scripts_the_tables_answer(browser: Browser, over_http: str, tool: str) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{over_http}{tool}.html")
    expect(page.get_by_role("status")).to_contain_text("answer without")
    if tool == "measure":
        page.get_by_text("3 to 4 mm").click()
        expect(page.get_by_role("row").filter(has_text="SM9/64-40")).to_be_visible()
    elif tool == "serial":
        expect(page.get_by_text("HA 24001 – HA 60000")).to_be_visible()
    else:
        expect(page.get_by_role("row").filter(has_text="0.112985").first).to_be_visible()
    context.close()
