"""Which thing, and so which page, a content file speaks for."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.content import Source, Tree
from kbgen.links.reference import Reference, Scheme

__all__ = ["origins", "sources"]


def sources(tree: Tree) -> Iterator[tuple[Reference, Source]]:
    """Yield every content file that could be read, with what it speaks for."""
    for number, note in tree.notes.items():
        yield Reference(Scheme.NOTE, str(number)), note.source
    for name, family in tree.families.items():
        yield Reference(Scheme.FAMILY, name), family.source
    for name, part in tree.parts.items():
        yield Reference(Scheme.PART, name), part.source
    for name, recording in tree.recordings.items():
        yield Reference(Scheme.RECORDING, name), recording.source
    for number, question in tree.questions.items():
        yield Reference(Scheme.QUESTION, str(number)), question.source
    for page, file in (
        ("about", tree.workshop_file),
        ("about", tree.hazards_file),
        ("screws", tree.threads_file),
        ("symptoms", tree.symptoms_file),
        ("find", tree.vocabulary_file),
    ):
        if file is not None:
            yield Reference(Scheme.PAGE, page), file.source


def origins(tree: Tree) -> dict[str, Reference]:
    """Return what each file speaks for, by its path; captions speak for their recording."""
    found = {source.path: reference for reference, source in sources(tree)}
    for name, recording in tree.recordings.items():
        if recording.captions_path:
            found[recording.captions_path] = Reference(Scheme.RECORDING, name)
    return found
