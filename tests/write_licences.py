"""Writes tests/DEPENDENCIES.md: every locked dependency with its licence, from its own metadata.

python tests/write_licences.py
"""

from __future__ import annotations

import re
from importlib import metadata
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
HEAD = """# What this program stands on

Every package that a user or a contributor installs, as `requirements.lock` holds it,
with the licence that it states itself. Written by `tests/write_licences.py`; run it
after every `make lock`. What a user installs, directly or by another of them, is marked.

| package | licence | for users |
|---|---|---|
"""


def licence_of(name: str) -> str:
    """Return what a package says of its licence: the expression, the classifiers, or the field."""
    about = metadata.metadata(name)
    expression = about.get("License-Expression")
    classifiers = [
        line.rpartition(" :: ")[2]
        for line in about.get_all("Classifier", [])
        if line.startswith("License ::") and line != "License :: OSI Approved"
    ]
    if not expression and not classifiers and not about.get("License"):
        return _first_line_of_its_file(name)
    field = (about.get("License") or "").strip().splitlines()
    return expression or ", ".join(classifiers) or (field[0][:60] if field else "not stated")


def _first_line_of_its_file(name: str) -> str:
    """Return the first line of the licence file that a package brings, which names it."""
    for file in metadata.files(name) or ():
        if "licen" in file.name.lower():
            lines = Path(str(file.locate())).read_text("utf-8").split("\n")
            return next((line.strip() for line in lines if line.strip()), "not stated")
    return "not stated"


def needed_by_users() -> set[str]:
    """Return the packages that kbgen needs when it runs, and what they need in turn."""
    found: set[str] = set()
    waiting = ["kbgen"]
    while waiting:
        name = waiting.pop()
        try:
            needs = metadata.requires(name) or ()
        except metadata.PackageNotFoundError:
            continue
        for need in needs:
            other = normal(re.split(r"[<>=!~\[; (]", need)[0])
            if "extra ==" not in need and other not in found:
                found.add(other)
                waiting.append(other)
    return found


def normal(name: str) -> str:
    """Return a name as registries compare it. Source: PEP 503."""
    return re.sub(r"[-_.]+", "-", name).lower()


def main() -> None:
    """Write the list."""
    lock = (ROOT / "tests" / "requirements.lock").read_text("utf-8")
    names = re.findall(r"^([A-Za-z0-9._-]+)==", lock, re.MULTILINE)
    users = needed_by_users()
    rows = [
        f"| `{name}` | {licence_of(name)} | {'yes' if normal(name) in users else ''} |\n"
        for name in sorted(names, key=str.lower)
    ]
    (ROOT / "tests" / "DEPENDENCIES.md").write_text(HEAD + "".join(rows), encoding="utf-8")


if __name__ == "__main__":
    main()
