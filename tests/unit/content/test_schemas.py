"""JSON Schemas for editors: valid themselves, and of one mind with the loader."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml
from jsonschema import Draft202012Validator, FormatChecker

from kbgen.content import load_note, schemas

ROOT = Path(__file__).parents[3]
SCHEMAS = schemas()


class _Loader(yaml.SafeLoader):
    """Reads YAML as an editor of YAML 1.2 does: days and words stay texts."""


_Loader.yaml_implicit_resolvers = {
    first: [(tag, form) for tag, form in forms if tag.rpartition(":")[2] in ("int", "float")]
    for first, forms in yaml.SafeLoader.yaml_implicit_resolvers.items()
}


def validator(name: str) -> Draft202012Validator:
    return Draft202012Validator(SCHEMAS[name], format_checker=FormatChecker())


def files() -> Iterator[tuple[Path, str]]:
    content = ROOT / "content"
    for folder, name in (
        ("notes", "note.json"),
        ("families", "family.json"),
        ("parts", "part.json"),
        ("recordings", "recording.json"),
        ("questions", "question.json"),
    ):
        ending = "*.md" if folder in ("notes", "questions") else "*.yaml"
        for path in sorted((content / folder).glob(ending)):
            yield path, name
    for path in sorted(content.glob("*.yaml")):
        yield path, f"{path.stem}.json"


FILES = list(files())


def held(path: Path) -> Any:
    text = path.read_text(encoding="utf-8")
    if path.suffix == ".md":
        text = text.split("\n---\n")[0].removeprefix("---\n")
    return yaml.load(text, _Loader)


def test_every_kind_of_file_has_its_schema() -> None:
    assert sorted(SCHEMAS) == [
        "family.json",
        "hazards.json",
        "note.json",
        "part.json",
        "question.json",
        "recording.json",
        "symptoms.json",
        "threads.json",
        "vocabulary.json",
        "workshop.json",
    ]


@pytest.mark.parametrize("name", sorted(SCHEMAS))
def test_a_schema_is_one(name: str) -> None:
    schema = SCHEMAS[name]
    Draft202012Validator.check_schema(schema)
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert schema["$id"].endswith(name)
    assert schema["title"]
    json.dumps(schema)


def keys_of(schema: Any, where: str) -> Iterator[tuple[str, dict[str, Any]]]:
    if isinstance(schema, dict):
        for key, value in schema.get("properties", {}).items():
            yield f"{where}/{key}", value
        for key, value in schema.items():
            yield from keys_of(value, f"{where}/{key}")
    elif isinstance(schema, list):
        for value in schema:
            yield from keys_of(value, where)


@pytest.mark.parametrize("name", sorted(SCHEMAS))
def test_every_key_says_what_it_is_for(name: str) -> None:
    keys = list(keys_of(SCHEMAS[name], name))
    assert len(keys) >= 2
    assert [where for where, schema in keys if not schema.get("description")] == []


@pytest.mark.parametrize("name", sorted(SCHEMAS))
def test_no_key_may_be_left_empty_and_none_is_unknown(name: str) -> None:
    assert '"null"' not in json.dumps(SCHEMAS[name])
    models = [SCHEMAS[name], *SCHEMAS[name].get("$defs", {}).values()]
    assert all(one["additionalProperties"] is False for one in models if "properties" in one)


def test_there_is_a_demonstration() -> None:
    assert {name for _, name in FILES} == set(SCHEMAS)


@pytest.mark.parametrize(("path", "name"), FILES, ids=[path.stem for path, _ in FILES])
def test_the_demonstration_is_valid(path: Path, name: str) -> None:
    errors = [
        f"{'/'.join(map(str, error.absolute_path))}: {error.message}"
        for error in validator(name).iter_errors(held(path))
    ]
    assert errors == []


# (front matter line, what it is replaced by)
SLIPS = [
    ("title: A note", "titel: A note"),
    ("title: A note", "title: ''"),
    ("standing: published", "standing: publishd"),
    ("authors: [workshop]", "authors: workshop"),
    ("authors: [workshop]", "authors: []"),
    ("authors: [workshop]", "authors:"),
    ("families: [halverin-h]", "families: [Halverin H]"),
    ("revised: 2026-03-04", "revised: 2026-3-4"),
    ("revised: 2026-03-04", "revised: 2026-02-30"),
    ("parts: [{part: winder-tyre, quantity: 2}]", "parts: [{part: winder-tyre, quantity: two}]"),
    ("parts: [{part: winder-tyre, quantity: 2}]", "parts: [{part: winder-tyre, quantity: 0}]"),
    ("fasteners: [halverin-h/needle-clamp]", "fasteners: [needle-clamp]"),
    ("fasteners: [halverin-h/needle-clamp]", "fasteners: [{where: x}]"),
    ("works_when: It goes.", "works-when: It goes."),
]
FRONT = """\
title: A note
standing: published
authors: [workshop]
symptom: [It stops]
families: [halverin-h]
causes: [{cause: a, tell: b}]
fix: Mend it.
before: {people: one, tools: [a cloth], supplies: none, spares: none}
parts: [{part: winder-tyre, quantity: 2}]
fasteners: [halverin-h/needle-clamp]
works_when: It goes.
first_published: 2026-01-10
revised: 2026-03-04
"""


@pytest.mark.parametrize(("old", "new"), [("title: A note", "title: A note"), *SLIPS])
def test_the_schema_and_the_loader_agree(old: str, new: str) -> None:
    front = FRONT.replace(old, new)
    note, findings = load_note("content/notes/0001-a.md", f"---\n{front}---\n".encode())
    errors = list(validator("note.json").iter_errors(yaml.load(front, _Loader)))
    assert bool(errors) == bool(findings) == (note is None) == (old != new)
