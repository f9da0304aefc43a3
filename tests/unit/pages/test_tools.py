"""The pages of the tools: their tables are those of the bench, and no script holds one."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from kbgen.checks import check
from kbgen.content import load_tree
from kbgen.pages import render_site
from kbgen.units import HouseThreads, describe_identify, known_of, known_threads, tightening
from kbgen.units.standards import all_rows

ROOT = Path(__file__).resolve().parents[3]
TOOLS = ("measure", "serial", "torque")
SCRIPTS = ROOT / "templates" / "scripts"


@pytest.fixture(scope="module")
def demonstration() -> dict[str, str]:
    wanted = {f"{tool}.html" for tool in TOOLS} | {f"bench/{tool}.js" for tool in TOOLS}
    wanted |= {"bench/reading.js", "families.html", "screws.html", "index.html"}
    wanted |= {"m/halverin-h.html", "m/dunmere-k3.html"}
    files = render_site(check(load_tree(ROOT)))
    return {path: data.decode() for path, data in files if path in wanted}


def words(html: str) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", html).replace("\N{NO-BREAK SPACE}", " ").split())


def test_every_thread_of_the_tables_stands_in_a_row(demonstration: dict[str, str]) -> None:
    rows = re.findall(r'<tr><th scope="row">(.*?)</tr>', demonstration["measure.html"])
    house = HouseThreads.of([row.thread for row in load_tree(ROOT).tree.house_threads])
    assert len(rows) == len(known_threads(tuple(sorted(house.threads))))
    assert len(all_rows()) > 600


def test_a_row_reads_as_the_command_expects(demonstration: dict[str, str]) -> None:
    (found,) = describe_identify(3.55, 0.635)["candidates"]
    low, high = found["expected_mm"]
    row = next(
        line
        for line in demonstration["measure.html"].splitlines()
        if "SM" in line and "9</i>/<i>64" in line
    )
    assert f"{low:.2f}–{high:.2f}" in row


def test_each_table_is_a_script_that_hands_over_plain_data(demonstration: dict[str, str]) -> None:
    for name in ("reading", *TOOLS):
        text = demonstration[f"bench/{name}.js"]
        head = f"(self.kbgenBench=self.kbgenBench||{{}}).{name}="
        assert text.startswith(head)
        assert json.loads(text.removeprefix(head).rstrip(";\n"))


def test_sizes_stay_modest() -> None:
    """What a tool loads, in bytes compressed: its tables, what all share, and its own steps."""
    import gzip

    for tool in TOOLS:
        files = dict(render_site(check(load_tree(ROOT / "tests" / "golden" / "tree"))))
        loaded = (f"bench/{tool}.js", "bench/reading.js", "scripts/bench.js", f"scripts/{tool}.js")
        size = sum(len(gzip.compress(files[name], 9, mtime=0)) for name in loaded)
        assert size < 36_000, (tool, size)
        assert len(gzip.compress(files[f"{tool}.html"], 9, mtime=0)) < 24_000


def test_no_script_holds_a_constant_of_the_trade() -> None:
    """No figure with a decimal part but small counting, no unit's worth, no name of a series."""
    for name in ("ready", "bench", *TOOLS):
        text = re.sub(
            r"//.*|\"[^\"\n]*\"|/(?:\\.|[^/\n])+/[a-z]*", "", (SCRIPTS / f"{name}.js").read_text()
        )
        figures = set(re.findall(r"(?<![\w.])\d+\.\d+(?:e-?\d+)?", text))
        assert figures <= {"0.01"}, (name, figures)


def test_the_families_are_set_side_by_side(demonstration: dict[str, str]) -> None:
    said = words(demonstration["serial.html"])
    assert "Halverin H 1908 to 1952 15 lots 609,000 numbers" in said
    assert "By works: Vellmouth works" in said


def test_a_family_says_what_its_lots_add_up_to(demonstration: dict[str, str]) -> None:
    said = words(demonstration["m/halverin-h.html"])
    assert "609,000 numbers in 15 lots, allotted 1908 to 1952: Vellmouth works" in said
    assert "numbers in" not in words(demonstration["m/dunmere-k3.html"])


def test_three_quarters_of_proof_is_what_the_judgement_says(demonstration: dict[str, str]) -> None:
    rows = re.findall(
        r"<tr><th scope=\"row\">(.*?)</th><td>(.*?)</td><td.*?</td><td class=\"n\">(.*?)</td></tr>",
        demonstration["torque.html"],
    )
    threads = {str(thread): thread for thread, _ in known_threads()}
    held = 0
    for name, strength, dry in rows:
        thread = threads.get(words(name).replace(" / ", "/").replace(" -", "-"))
        if thread is None or strength not in ("4.6", "8.8", "grade 1", "grade 5"):
            continue
        torque = float(words(dry).split()[0])
        share = tightening(thread, torque, torque, strength, 0.20).proof_share
        assert share is not None
        assert share[0] == pytest.approx(0.75, rel=0.06)
        held += 1
    assert held > 20


def test_the_tools_are_led_to(demonstration: dict[str, str]) -> None:
    for start, tools in (
        ("index.html", TOOLS),
        ("screws.html", ("measure", "torque")),
        ("families.html", ("serial",)),
    ):
        for tool in tools:
            assert f'href="{tool}.html"' in demonstration[start]


def test_every_known_thread_has_a_window() -> None:
    for thread, memory in known_threads():
        about = known_of(thread, memory)
        assert about.screw[0] < about.major < about.screw[1]
        assert 0 < about.bore[0] < about.bore[1] < about.screw[1]
