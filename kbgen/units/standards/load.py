"""Read a published table: a comment head, a header, one row a line."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal, InvalidOperation
from fractions import Fraction
from pathlib import Path

__all__ = ["TableError", "head", "inches", "number", "table"]

HERE = Path(__file__).parent


class TableError(ValueError):
    """A published table that does not hold what its header promises."""


def table(name: str, columns: tuple[str, ...]) -> Iterator[dict[str, str]]:
    """Yield the rows of the table ``name``, each as a mapping of its columns.

    Shape: no cell holds a comma; an empty cell is "".
    Raises: TableError when the head, the header or a row has the wrong shape.
    """
    lines = _text(name).splitlines()
    first = next((n for n, line in enumerate(lines) if not line.startswith("#")), len(lines))
    heading = " ".join(lines[:first])
    for word in ("Standard:", "Units:", "Seen:"):
        if word not in heading:
            raise TableError(f"{name}: the head of the table lacks '{word}'")
    if first == len(lines) or tuple(lines[first].split(",")) != columns:
        raise TableError(f"{name}:{first + 1}: expected the columns {','.join(columns)}")
    for n, line in enumerate(lines[first + 1 :], first + 2):
        cells = line.split(",")
        if len(cells) != len(columns):
            raise TableError(f"{name}:{n}: {len(cells)} cells for {len(columns)} columns")
        yield dict(zip(columns, cells, strict=True))


def head(name: str) -> str:
    """Return what the head of the table ``name`` says about its source."""
    lines = _text(name).splitlines()
    return " ".join(line[1:].strip() for line in lines if line.startswith("#"))


def number(cell: str) -> Decimal:
    """Return the number in ``cell``, as written.

    Raises: TableError when there is none, or none above zero.
    """
    try:
        value = Decimal(cell)
    except InvalidOperation:
        raise TableError(f"expected a number, found '{cell}'") from None
    if value <= 0:
        raise TableError(f"expected a number above zero, found '{cell}'")
    return value


def inches(size: str) -> Fraction:
    """Return the nominal diameter in inches of a size ``1/4``, ``1 1/8`` or ``1.370``.

    Raises: TableError when ``size`` is no such size.
    """
    try:
        return sum((Fraction(part) for part in size.split(" ")), Fraction(0))
    except (ValueError, ZeroDivisionError):
        raise TableError(f"expected a size in inches, found '{size}'") from None


def _text(name: str) -> str:
    return (HERE / name).read_text(encoding="utf-8")
