"""Rows of the table of codes: what the units check objects to."""

from kbgen.findings.code import Code, Severity

__all__ = ["UNITS"]

UNITS: tuple[Code, ...] = (
    Code(
        "thread-in-no-series",
        Severity.ERROR,
        "A diameter and a pitch that no series pairs is a slip, and a wrong thread "
        "passed on ruins a casting.",
        "M4x0.7",
        "M4x0.8",
        "ISO 261; ASME B1.1; BS 84; BS 93",
    ),
    Code(
        "series-on-wrong-pair",
        Severity.ERROR,
        "A series that does not hold its pair means that one of the three is a slip.",
        "1/4-20 UNC",
        "1/4-20 UNF",
        "ASME B1.1; BS 84; BS 811",
    ),
    Code(
        "thread-not-declared",
        Severity.ERROR,
        "A house thread is declared once, with what it rests on; without that it is a rumour.",
        "13/64-32 house, where content/threads.yaml has it",
        "13/64-32 house, where it has not",
        "house rule: what no series holds is declared",
    ),
    Code(
        "thread-said-in-part",
        Severity.ADVICE,
        "What is only said in part, or fits two series, is never completed by a guess.",
        "1/4-20 UNC",
        "20 TPI; 1/4-20",
        "ASME B1.1; BS 84",
    ),
    Code(
        "torque-units-disagree",
        Severity.ERROR,
        "A torque stated in two units is two torques when they differ, and one tears the thread.",
        "12 N·m (9 lbf·ft)",
        "12 N·m (20 lbf·ft)",
        "NIST SP 811, appendix B.8",
    ),
    Code(
        "length-units-disagree",
        Severity.ERROR,
        "A length stated in two units is two lengths when they differ.",
        "9.5 mm (3/8 in)",
        "9.5 mm (1/2 in)",
        "NIST SP 811, appendix B.8",
    ),
    Code(
        "unit-spelling-ambiguous",
        Severity.WARNING,
        "A force without its arm is no torque, and which arm was meant is a guess.",
        "tighten to 12 lbf·in",
        "tighten to 12 lb",
        "NIST SP 811, appendix B.8",
    ),
)
