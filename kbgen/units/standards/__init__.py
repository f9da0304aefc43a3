"""The published tables: which series holds which diameter and pitch, and what is published of it.

One file per table, each with its source at its head. Tables are read and
checked when they are first asked for.
"""

from __future__ import annotations

from kbgen.units.standards.load import TableError
from kbgen.units.standards.members import neighbours, pitches_of, series_of, sizes_with
from kbgen.units.standards.rows import (
    SeriesRow,
    Standing,
    all_rows,
    british_rows,
    metric_rows,
    number_size,
    pipe_rows,
    rows_of,
    sewing_rows,
    unified_inches,
    unified_rows,
    uns_rows,
)

__all__ = [
    "SeriesRow",
    "Standing",
    "TableError",
    "all_rows",
    "british_rows",
    "metric_rows",
    "neighbours",
    "number_size",
    "pipe_rows",
    "pitches_of",
    "rows_of",
    "series_of",
    "sewing_rows",
    "sizes_with",
    "unified_inches",
    "unified_rows",
    "uns_rows",
]
