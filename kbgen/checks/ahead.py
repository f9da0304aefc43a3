"""What can be worked out of one file alone, ahead of every look at the whole tree.

It is asked for here while the file is being read, perhaps in another process, and stays
with the file's source: the rooms that ask again find it done.
"""

from __future__ import annotations

from kbgen.checks.depth import deep_places
from kbgen.checks.hazards import Calling, mains_job, words_calling
from kbgen.checks.personal_data import given_away_in, reached_in, told_by
from kbgen.checks.unwritten import may_be_unfinished
from kbgen.content import Filed, Note, Question, models
from kbgen.links import (
    Reference,
    Scheme,
    named_by_note,
    named_by_part,
    named_by_question,
    named_by_recording,
    written_in_file,
    written_in_note,
)
from kbgen.prose import Where, scan_family, scan_fields, scan_note, scan_question
from kbgen.units import HouseThreads

__all__ = ["work_ahead"]


def work_ahead(file: object, house: HouseThreads, region: str, calling: Calling) -> None:
    """Work out what follows from the bytes of one file and what the tree declares.

    Shape: ``region`` is the country whose telephone numbers are written without a code;
    ``calling`` are the words that hazards are called for by.
    """
    if isinstance(file, Note | Filed):
        reached_in(file.source, region)
        told_by(file.source)
    if isinstance(file, Note | Question):
        file.face, file.source.digest  # noqa: B018 - asked for, so that it goes along
    elif isinstance(file, Filed):
        file.source.digest  # noqa: B018 - the same
    if isinstance(file, Note):
        scan_note(file, house)
        written_in_note(file)
        named_by_note(file, frozenset())
        deep_places(file)
        mains_job(file)
        words_calling(file, calling)
        may_be_unfinished(file.source)
    elif isinstance(file, Question):
        given_away_in(file.source, region)
        named_by_question(file, file.front.about.recording is not None)
        scan_question(file, house)
        written_in_file(Reference(Scheme.QUESTION, str(file.number)), file.source)
    elif isinstance(file, Filed):
        if isinstance(file.model, models.Family):
            scan_family(file, house)
            written_in_file(Reference(Scheme.FAMILY, file.id), file.source)
        elif isinstance(file.model, models.Part):
            scan_fields(file.source, file.model, house, Where.RECORD)
            named_by_part(file)
            written_in_file(Reference(Scheme.PART, file.id), file.source)
        elif isinstance(file.model, models.Recording):
            scan_fields(file.source, file.model, house, Where.RECORD)
            named_by_recording(file)
            written_in_file(Reference(Scheme.RECORDING, file.id), file.source)
