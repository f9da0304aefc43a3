"""JSON Schemas (2020-12) of the content files, for editors; derived from the models."""

from __future__ import annotations

from typing import Any

from kbgen.content.shape import KINDS

__all__ = ["schemas"]

_DIALECT = "https://json-schema.org/draft/2020-12/schema"


def schemas() -> dict[str, dict[str, Any]]:
    """Return the schema of every kind of content file, by the schema's file name."""
    return {f"{kind.name}.json": _schema(kind.name, kind.adapter.json_schema()) for kind in KINDS}


def _schema(name: str, derived: dict[str, Any]) -> dict[str, Any]:
    titled = {"$schema": _DIALECT, "$id": f"{name}.json", "title": name}
    rest = _tidied(derived)
    rest.pop("title", None)
    return {**titled, **rest}


def _tidied(schema: Any) -> Any:
    """Return a schema without null: a key is left out rather than left empty."""
    if isinstance(schema, list):
        return [_tidied(item) for item in schema]
    if not isinstance(schema, dict):
        return schema
    tidied = {key: _tidied(value) for key, value in schema.items()}
    members = tidied.get("anyOf")
    if isinstance(members, list) and {"type": "null"} in members:
        rest = [member for member in members if member != {"type": "null"}]
        del tidied["anyOf"]
        tidied.pop("default", None)
        if len(rest) == 1:
            return {**rest[0], **tidied}
        tidied["anyOf"] = rest
    return tidied
