"""Intake: from mail, exports of comments and pasted text to one question file each.

``messages_in`` reads what was handed in, ``take_in`` writes what asks something and tells
of the rest; ``forget`` takes out what its asker wishes to have taken out. Nothing that
tells who somebody is reaches the content; where it is wanted it stands in the private
file, and ``private_findings`` holds the content against that file.
"""

from kbgen.desk.intake.comments import ColumnsMissing
from kbgen.desk.intake.forgetting import Forgotten, NobodyMeant, forget, questions_of
from kbgen.desk.intake.incoming import Incoming
from kbgen.desk.intake.private import (
    ASKERS_PATH,
    Asker,
    Askers,
    PrivateFileRefused,
    load_askers,
)
from kbgen.desk.intake.private_check import private_findings
from kbgen.desk.intake.report import Known, Report, SetAside, Taken
from kbgen.desk.intake.sources import messages_in
from kbgen.desk.intake.taking import take_in

__all__ = [
    "ASKERS_PATH",
    "Asker",
    "Askers",
    "ColumnsMissing",
    "Forgotten",
    "Incoming",
    "Known",
    "NobodyMeant",
    "PrivateFileRefused",
    "Report",
    "SetAside",
    "Taken",
    "forget",
    "load_askers",
    "messages_in",
    "private_findings",
    "questions_of",
    "take_in",
]
