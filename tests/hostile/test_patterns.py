"""No regular expression of the program backtracks more than it may, on any input.

The referee is regexploit (Doyensec), which reads the parsed pattern and looks for
repeats that can share a text: from the third power on it reports. It runs in a process
of its own because it uses a module of Python that is going to leave.
Source: CWE-1333.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]

REFEREE = r"""
import importlib, pkgutil, re, sys
from pathlib import Path

patterns = {}
def watched(name):
    real = getattr(re, name)
    def call(pattern, *rest, **named):
        frame = sys._getframe(1)
        if isinstance(pattern, str) and "kbgen" in Path(frame.f_code.co_filename).parts:
            flags = re._compile(pattern, 0).flags if name != "compile" else real(
                pattern, *rest, **named).flags
            patterns.setdefault((pattern, flags), f"{frame.f_globals['__name__']}:{frame.f_lineno}")
        return real(pattern, *rest, **named)
    return call
for name in ("compile", "match", "fullmatch", "search", "sub", "split", "findall", "finditer"):
    setattr(re, name, watched(name))

import kbgen
for module in pkgutil.walk_packages(kbgen.__path__, "kbgen."):
    if not module.name.endswith("__main__"):
        importlib.import_module(module.name)
from kbgen.cli import main
root = Path(sys.argv[1])
main(["build", "--tree", str(root)])
main(["find", "--tree", str(root), "winder", "5/16-18"])
main(["scan", str(root / "content" / "families" / "halverin-h.yaml")])

from regexploit.ast.sre import SreOpParser
from regexploit.redos import find
for (pattern, flags), where in sorted(patterns.items(), key=lambda item: item[1]):
    for risk in find(SreOpParser().parse_sre(pattern, flags & ~re.UNICODE)):
        print("RISK", where, risk.starriness, risk.example(), file=sys.stderr)
for control in (r"v\w*_\w*_\w*$", r"(a*)*$"):
    assert list(find(SreOpParser().parse_sre(control, 0))), control
print("PATTERNS", len(patterns), file=sys.stderr)
"""


def test_no_pattern_can_be_made_to_backtrack(tmp_path: Path) -> None:
    shutil.copytree(ROOT / "tests" / "golden" / "tree", tmp_path / "tree")
    ran = subprocess.run(
        [sys.executable, "-W", "ignore", "-c", REFEREE, str(tmp_path / "tree")],
        capture_output=True,
        text=True,
        check=False,
    )
    assert ran.returncode == 0, ran.stderr
    assert [line for line in ran.stderr.splitlines() if line.startswith("RISK")] == []
    seen = [line for line in ran.stderr.splitlines() if line.startswith("PATTERNS")]
    assert int(seen[0].split()[1]) > 150
