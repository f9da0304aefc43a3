"""Rules over the loaded tree and what it states; hands on checked content.

``check`` runs every rule of ``RULES`` and gathers the findings of loading, of the
links and of the rules. What ``Checked`` calls published is all that may be published.
"""

from kbgen.checks.checked import Checked, Facts, check
from kbgen.checks.claims import Claim, Registers
from kbgen.checks.corrected import Corrected, Corrections, Said
from kbgen.checks.hazards import Call, cautions_called_for
from kbgen.checks.heard import Heard, Stance, heard
from kbgen.checks.known import Ahead, Want
from kbgen.checks.proofed import drafts_shown
from kbgen.checks.readings import Held, checked_tree, read_tree
from kbgen.checks.rule import Material, Row, Rule
from kbgen.checks.rules import RULES
from kbgen.checks.strength import nut_factor

__all__ = [
    "RULES",
    "Ahead",
    "Call",
    "Checked",
    "Claim",
    "Corrected",
    "Corrections",
    "Facts",
    "Heard",
    "Held",
    "Material",
    "Registers",
    "Row",
    "Rule",
    "Said",
    "Stance",
    "Want",
    "cautions_called_for",
    "check",
    "checked_tree",
    "drafts_shown",
    "heard",
    "nut_factor",
    "read_tree",
]
