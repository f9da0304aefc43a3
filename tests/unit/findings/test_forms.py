"""The four forms of findings, held to the standards that define them."""

import json
from xml.etree import ElementTree

import pytest

from kbgen.findings import CODES, FORMS, Severity, counts, finding, render, stops_build

ERROR = finding("thread-in-no-series", "content/notes/0014-a.md", 14, 9, "M4x0.8 <is> not", "see")
SECOND = finding("thread-in-no-series", "content/families/x.yaml", 2, 1, "bell \x07 & é")


def test_the_text_form_is_file_line_column_severity_message_code_and_hint():
    first, second, tally = render([ERROR], "text").splitlines()
    assert first == ("content/notes/0014-a.md:14:9: error: M4x0.8 <is> not (thread-in-no-series)")
    assert second == "    hint: see"
    assert tally == "1 error, 0 warnings, 0 pieces of advice"


def test_a_file_name_with_any_character_spoils_no_form():
    odd = finding("name-wrong", "content/notes/a\nb \x1b[31m%\udcff.md", 1, 1, "a\nb", "c\x1bd")
    first, second, _ = render([odd], "text").splitlines()
    assert first == ("content/notes/a\\nb \\x1b[31m%\\udcff.md:1:1: error: a\\nb (name-wrong)")
    assert second == "    hint: c\\x1bd"
    (result,) = json.loads(render([odd], "sarif"))["runs"][0]["results"]
    place = result["locations"][0]["physicalLocation"]["artifactLocation"]
    assert place["uri"] == "content/notes/a%0Ab%20%1B%5B31m%25%FF.md"
    ElementTree.fromstring(render([odd], "junit").encode("utf-8"))


def test_the_json_form_has_the_stable_shape():
    shape = json.loads(render([ERROR], "json"))
    assert set(shape) == {"findings", "counts"}
    assert list(shape["findings"][0]) == [
        "path", "line", "column", "code", "severity", "message", "hint",
    ]  # fmt: skip
    assert shape["counts"] == {"error": 1, "warning": 0, "advice": 0}


def test_sarif_has_what_version_2_1_0_requires():
    # SARIF 2.1.0 (OASIS, 2020): 3.13.2 version, 3.14.6 tool, 3.18.1 driver, 3.19.8 name,
    # 3.27.11 message, 3.27.6 ruleIndex points at the rule of that id, 3.30.5 startLine >= 1.
    log = json.loads(render([ERROR, SECOND], "sarif"))
    assert log["version"] == "2.1.0"
    (run,) = log["runs"]
    rules = run["tool"]["driver"]["rules"]
    assert run["tool"]["driver"]["name"] == "kbgen"
    assert len({rule["id"] for rule in rules}) == len(CODES)
    for result in run["results"]:
        assert rules[result["ruleIndex"]]["id"] == result["ruleId"]
        assert result["message"]["text"]
        (location,) = result["locations"]
        region = location["physicalLocation"]["region"]
        assert region["startLine"] >= 1
        assert region["startColumn"] >= 1


@pytest.mark.parametrize("findings", [[], [ERROR], [ERROR, SECOND]], ids=["none", "one", "two"])
def test_junit_counts_what_it_lists(findings):
    root = ElementTree.fromstring(render(findings, "junit"))
    cases = root.findall(".//testcase")
    assert int(root.attrib["tests"]) == len(cases)
    assert int(root.attrib["failures"]) == len(root.findall(".//failure")) == len(findings)


def test_every_form_renders_no_findings_at_all():
    assert all(render([], form) for form in FORMS)


def test_only_errors_stop_a_build():
    assert stops_build([ERROR])
    assert not stops_build([])
    assert counts([ERROR, SECOND]) == {"error": 2, "warning": 0, "advice": 0}


def test_each_code_has_one_complete_row():
    assert len({code.name for code in CODES}) == len(CODES)
    for code in CODES:
        assert code.why, code.name
        assert code.accepts, code.name
        assert code.reports, code.name
        assert code.source, code.name
        assert code.name == code.name.lower().strip()
        assert not any(mark.isdigit() for mark in code.name), "a code is words, not a number"
        assert isinstance(code.severity, Severity)
