"""A figure of a registered place stands in its register; everything else is held to it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from kbgen.checks.agreement import agree
from kbgen.checks.apart import is_set_apart
from kbgen.checks.rule import Material, at
from kbgen.checks.subjects import rows_meant
from kbgen.findings import Finding
from kbgen.prose import Statement, Where
from kbgen.units import Kind

__all__ = [
    "caption_contradicts_register",
    "figure_away_from_home",
    "is_of_a_fastener",
    "prose_contradicts_register",
    "withdrawn_figure_stands",
    "withdrawn_figures",
]

_UNHELD = (Where.REGISTER, Where.DISPUTED)


@dataclass(frozen=True, slots=True)
class _Quarrel:
    """A statement that agrees with none of the rows it is about."""

    statement: Statement
    rows: tuple[str, ...]
    figures: tuple[Statement, ...]
    withdrawn: Statement | None


def prose_contradicts_register(material: Material) -> Iterator[Finding]:
    """Report what a note, a family's text or a table says otherwise than the register."""
    for quarrel in _quarrels(material):
        if quarrel.statement.where is not Where.CAPTION and quarrel.withdrawn is None:
            yield _finding("prose-contradicts-register", quarrel)


def caption_contradicts_register(material: Material) -> Iterator[Finding]:
    """Report what a film says otherwise than the register, where nothing corrects it."""
    for quarrel in _quarrels(material):
        if quarrel.statement.where is Where.CAPTION and not material.is_corrected(
            quarrel.statement
        ):
            yield _finding("caption-contradicts-register", quarrel)


def withdrawn_figure_stands(material: Material) -> Iterator[Finding]:
    """Report a figure that the register has withdrawn and that is still stated of its place."""
    for quarrel in _quarrels(material):
        withdrawn = quarrel.withdrawn
        if withdrawn is None or quarrel.statement.where is Where.CAPTION:
            continue
        now = quarrel.figures[0]
        yield at(
            quarrel.statement,
            "withdrawn-figure-stands",
            f"{quarrel.statement.value.canonical} was withdrawn for {quarrel.rows[0]} "
            f"({withdrawn.path}:{withdrawn.line}); the register has {now.value.canonical} "
            f"({now.path}:{now.line})",
            f"write {now.value.canonical} here too",
        )


def figure_away_from_home(material: Material) -> Iterator[Finding]:
    """Report a torque or a thread that a text states of a place whose row has none."""
    for statement in material.statements:
        if statement.value.kind not in (Kind.TORQUE, Kind.THREAD) or statement.withdrawn:
            continue
        if statement.where not in (Where.FRONT, Where.PROSE, Where.TABLE):
            continue
        rows = [row for row in rows_meant(material, statement) if row in material.rows]
        if len(rows) != 1 or (rows[0], statement.value.kind) in material.registered:
            continue
        if not is_set_apart(statement):
            row = material.rows[rows[0]]
            place = row.family.source.place("fasteners", row.number)
            yield at(
                statement,
                "figure-away-from-home",
                f"{statement.value.canonical} is stated here for {rows[0]}, whose row has no "
                f"{statement.value.kind} ({row.family.source.path}:{place.line})",
                "put the figure into the row with its basis, or say the tightness as the row does",
            )


def _finding(code: str, quarrel: _Quarrel) -> Finding:
    statement = quarrel.statement
    held = "; ".join(
        f"{figure.subject} has {figure.value.canonical} ({figure.path}:{figure.line})"
        for figure in quarrel.figures
    )
    hint = (
        "film cannot be re-cut: add a correction to the recording, with was and at"
        if statement.where is Where.CAPTION
        else "the register row is the figure's only home: correct this text, or the row with "
        "a correction"
    )
    return at(
        statement,
        code,
        f"{statement.value.canonical} is stated here, but the register says otherwise: {held}",
        hint,
    )


def _quarrels(material: Material) -> Sequence[_Quarrel]:
    return material.joined("quarrels", lambda: tuple(_find_quarrels(material)))


def _find_quarrels(material: Material) -> Iterator[_Quarrel]:
    withdrawn = withdrawn_figures(material)
    for statement in material.statements:
        if statement.where in _UNHELD or statement.withdrawn or not is_of_a_fastener(statement):
            continue
        rows = rows_meant(material, statement)
        figures = tuple(
            figure
            for row in rows
            if (figure := material.registered.get((row, statement.value.kind))) is not None
        )
        if not figures or any(agree(statement.value, figure.value) for figure in figures):
            continue
        if is_set_apart(statement):
            continue
        past = next(
            (
                old
                for row in rows
                for old in withdrawn.get(row, ())
                if old.value.kind is statement.value.kind and agree(statement.value, old.value)
            ),
            None,
        )
        if past is None or statement.where is not Where.CORRECTION:
            yield _Quarrel(statement, rows, figures, past)


def is_of_a_fastener(statement: Statement) -> bool:
    """Return whether a length is said of a fastener: "8 mm long", "length 8 mm"."""
    if statement.value.kind is not Kind.LENGTH:
        return True
    end = statement.at + len(statement.value.as_written)
    before = statement.sentence[: statement.at].rstrip().lower()
    return statement.sentence[end:].lstrip().startswith("long") or before.endswith(
        ("length", "length of", "length is")
    )


def withdrawn_figures(material: Material) -> Mapping[str, Sequence[Statement]]:
    """Return the figures that corrections anywhere have withdrawn, by register row."""
    found: dict[str, list[Statement]] = {}
    for statement in material.statements:
        rows = rows_meant(material, statement) if statement.withdrawn else ()
        if len(rows) == 1:
            found.setdefault(rows[0], []).append(statement)
    return found
