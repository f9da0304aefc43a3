"""Values of our own classes → bytes → values; nothing that runs can be smuggled in."""

from __future__ import annotations

import io
import pickle
from collections.abc import Callable
from dataclasses import fields, is_dataclass
from enum import Enum
from operator import attrgetter
from typing import Any

__all__ = ["Unpackable", "pack", "unpack"]

_PLAIN = frozenset(
    {
        ("array", "array"),
        ("array", "_array_reconstructor"),
        ("builtins", "frozenset"),
        ("builtins", "set"),
        ("datetime", "date"),
        ("decimal", "Decimal"),
        ("fractions", "Fraction"),
        ("markupsafe", "Markup"),
        ("pathlib", "PosixPath"),
        ("pathlib", "WindowsPath"),
    }
)
_OWN = "kbgen."


class Unpackable(Exception):
    """Bytes that hold no value of ours."""


def _member(kind: Any, name: str) -> Any:
    """Return a member of an enumeration; in place of ``getattr``, which would give anything.

    Some Pythons (3.11.0 to 3.11.3) pack a member as the attribute of its class.
    """
    if isinstance(kind, type) and issubclass(kind, Enum) and name in kind.__members__:
        return kind.__members__[name]
    raise Unpackable(f"{kind!r} has no member {name!r} that is kept")


_KNOWN: dict[tuple[str, str], Any] = {("builtins", "getattr"): _member}


class _Unpickler(pickle.Unpickler):
    """A reader that makes values of our own models, and plain ones, and calls nothing else."""

    def find_class(self, module: str, name: str) -> Any:
        """Return a class that may be made; refuse every other name."""
        known = _KNOWN.get((module, name))
        if known is None:
            known = _KNOWN[module, name] = self._allowed(module, name)
        return known

    def _allowed(self, module: str, name: str) -> Any:
        if (module, name) in _PLAIN:
            return super().find_class(module, name)
        if module.startswith(_OWN) and "." not in name:
            found = super().find_class(module, name)
            if isinstance(found, type) and found.__module__ == module and _holds_values(found):
                return found
        raise Unpackable(f"{module}.{name} is nothing that is kept")


def _holds_values(kind: type) -> bool:
    """Return whether a class only holds values: making one does nothing else."""
    if issubclass(kind, Enum) or hasattr(kind, "model_fields"):
        return True
    if issubclass(kind, tuple):
        return hasattr(kind, "_fields")
    return is_dataclass(kind) and bool(kind.__dataclass_params__.frozen)  # type: ignore[attr-defined]


_Reader = Callable[[Any], tuple[Any, ...]]
_READERS: dict[type, _Reader | None] = {}


class Packer(pickle.Pickler):
    """A writer of frozen dataclasses and named tuples as what they are made of.

    Dataclasses are read in half the time so, and named tuples written.
    """

    def reducer_override(self, value: Any) -> Any:
        """Return either as its type and the values of its fields; leave all else alone."""
        kind = type(value)
        try:
            values_of = _READERS[kind]
        except KeyError:
            values_of = _READERS[kind] = _reader(kind)
        return NotImplemented if values_of is None else (kind, values_of(value))


def _reader(kind: type) -> _Reader | None:
    """Return what reads the fields of a value that is made of them and nothing else."""
    if issubclass(kind, tuple) and hasattr(kind, "_fields"):
        return tuple
    if not is_dataclass(kind) or not kind.__dataclass_params__.frozen:  # type: ignore[attr-defined]
        return None
    setting = getattr(kind, "__setstate__", None)
    names = [one.name for one in fields(kind)]
    if setting is not None and setting.__module__ != "dataclasses":
        return None  # it has a way of its own
    if len(names) < 2 or not all(one.init for one in fields(kind)):
        return None
    return attrgetter(*names)


def pack(value: Any) -> bytes:
    """Return the bytes of a value."""
    whole = io.BytesIO()
    Packer(whole, protocol=5).dump(value)
    return whole.getvalue()


def unpack(data: bytes) -> Any:
    """Return the value in the bytes. Raises: Unpackable for anything that is none of ours."""
    try:
        return _Unpickler(io.BytesIO(data)).load()
    except Unpackable:
        raise
    except Exception as error:  # damaged bytes fail in any way they like
        raise Unpackable(str(error)) from error
