"""The four forms findings are printed in: text, JSON, SARIF 2.1.0, JUnit XML.

Source: OASIS SARIF 2.1.0; the JUnit XML of common use (no published standard).
"""

from __future__ import annotations

import json
import unicodedata
from collections.abc import Callable, Sequence
from dataclasses import asdict
from urllib.parse import quote
from xml.etree import ElementTree

from kbgen import __version__
from kbgen.findings.code import Severity
from kbgen.findings.finding import Finding, counts
from kbgen.findings.table import CODES

__all__ = ["FORMS", "render"]


def _text(findings: Sequence[Finding]) -> str:
    """One line a finding, its hint indented beneath, and the counts at the end."""
    lines = []
    for found in findings:
        place = f"{found.path}:{found.line}:{found.column}"
        lines.append(_shown(f"{place}: {found.severity}: {found.message} ({found.code})"))
        if found.hint:
            lines.append(_shown(f"    hint: {found.hint}"))
    tally = counts(findings)
    lines.append(
        ", ".join(f"{tally[str(severity)]} {_plural(severity, tally)}" for severity in Severity)
    )
    return "\n".join(lines) + "\n"


def _shown(line: str) -> str:
    """Return a line with control characters shown as escapes: a file name may hold any."""
    if line.isprintable():
        return line
    return "".join(
        mark if unicodedata.category(mark) not in _UNSHOWN else ascii(mark)[1:-1] for mark in line
    )


_UNSHOWN = ("Cc", "Cf", "Cs", "Zl", "Zp")


def _plural(severity: Severity, tally: dict[str, int]) -> str:
    if severity is Severity.ADVICE:
        return "pieces of advice" if tally[severity] != 1 else "piece of advice"
    return f"{severity}s" if tally[severity] != 1 else str(severity)


def _json(findings: Sequence[Finding]) -> str:
    shape = {"findings": [asdict(found) for found in findings], "counts": counts(findings)}
    return json.dumps(shape, ensure_ascii=False, indent=2) + "\n"


_SARIF_LEVEL = {Severity.ERROR: "error", Severity.WARNING: "warning", Severity.ADVICE: "note"}


def _sarif(findings: Sequence[Finding]) -> str:
    rules = [
        {
            "id": code.name,
            "shortDescription": {"text": code.why},
            "help": {"text": f"accepted: {code.accepts}; reported: {code.reports}"},
            "defaultConfiguration": {"level": _SARIF_LEVEL[code.severity]},
        }
        for code in CODES
    ]
    index = {code.name: number for number, code in enumerate(CODES)}
    results = [
        {
            "ruleId": found.code,
            "ruleIndex": index[found.code],
            "level": _SARIF_LEVEL[found.severity],
            "message": {"text": f"{found.message}. {found.hint}" if found.hint else found.message},
            "locations": [
                {
                    "physicalLocation": {
                        "artifactLocation": {"uri": _uri(found.path), "uriBaseId": "TREE"},
                        "region": {"startLine": found.line, "startColumn": found.column},
                    }
                }
            ],
        }
        for found in findings
    ]
    driver = {"name": "kbgen", "version": __version__, "rules": rules}
    run = {
        "tool": {"driver": driver},
        "columnKind": "unicodeCodePoints",
        "originalUriBaseIds": {"TREE": {"description": {"text": "The tree that was inspected."}}},
        "results": results,
    }
    shape = {
        "$schema": "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json",
        "version": "2.1.0",
        "runs": [run],
    }
    return json.dumps(shape, ensure_ascii=False, indent=2) + "\n"


def _uri(path: str) -> str:
    """Return a path as a relative reference (RFC 3986, section 4.2; SARIF, section 3.4.3)."""
    return quote(path.encode("utf-8", "surrogateescape"))


def _junit(findings: Sequence[Finding]) -> str:
    by_path: dict[str, list[Finding]] = {}
    for found in findings:
        by_path.setdefault(found.path, []).append(found)
    errors = counts(findings)["error"]
    cases = max(1, len(findings))
    root = ElementTree.Element("testsuites", name="kbgen", tests=str(cases), failures=str(errors))
    if not findings:
        suite = ElementTree.SubElement(root, "testsuite", name="tree", tests="1", failures="0")
        ElementTree.SubElement(suite, "testcase", classname="tree", name="nothing found")
    for path, group in by_path.items():
        failures = counts(group)["error"]
        suite = ElementTree.SubElement(
            root, "testsuite", name=_legal(path), tests=str(len(group)), failures=str(failures)
        )
        for found in group:
            case = ElementTree.SubElement(
                suite,
                "testcase",
                classname=_legal(path),
                name=f"{found.code} at {found.line}:{found.column}",
            )
            body = _legal(
                f"{found.path}:{found.line}:{found.column}: {found.message}\n{found.hint}"
            )
            if found.severity is Severity.ERROR:
                node = ElementTree.SubElement(
                    case, "failure", message=_legal(found.message), type=found.code
                )
            else:
                node = ElementTree.SubElement(case, "system-out")
            node.text = body
    ElementTree.indent(root)
    return (
        '<?xml version="1.0" encoding="utf-8"?>\n'
        + ElementTree.tostring(root, encoding="unicode")
        + "\n"
    )


def _legal(text: str) -> str:
    """Return ``text`` with what XML 1.0 forbids shown as an escape (clause 2.2, Char)."""
    return "".join(
        mark
        if mark in "\t\n\r"
        or 0x20 <= ord(mark) <= 0xD7FF
        or 0xE000 <= ord(mark) <= 0xFFFD
        or ord(mark) >= 0x10000
        else f"\\x{ord(mark):02x}"
        for mark in text
    )


FORMS: dict[str, Callable[[Sequence[Finding]], str]] = {
    "text": _text,
    "json": _json,
    "sarif": _sarif,
    "junit": _junit,
}


def render(findings: Sequence[Finding], form: str) -> str:
    """Return the findings in one of the forms named in ``FORMS``.

    Raises: KeyError for a form that does not exist.
    """
    return FORMS[form](findings)
